// What a condition misses, read from its code: `kind:name:...`. A code that is not understood leads to its screen only.

import type { Purpose } from "../../generated/Purpose";
import type { Route } from "./route";

export interface Want {
  readonly kind: string;
  /** The point, element, control, particular, gauge or step it is about; empty where it is about none. */
  readonly name: string;
  readonly purpose: Purpose | null;
  /** When a gauge's zero is to be checked, where that is what is missing. */
  readonly zero: "before" | "after" | null;
}

const PURPOSES: readonly Purpose[] = ["as_found", "working", "static_setting", "baseline", "lock_up", "as_left"];
const ZEROS = { zero_before: "before", zero_after: "after" } as const;

/** Reads the code of a condition. Of several, any of which will do, it is the first that is put right on a screen. */
export function wantOf(code: string): Want {
  const all = code.split("|").map(oneOf);
  return all.find((want) => !ELSEWHERE.includes(want.kind)) ?? all[0] ?? oneOf("");
}

/** What is put right by marking a step, not on a screen. */
const ELSEWHERE: readonly string[] = ["step", "choice"];

function oneOf(code: string): Want {
  const [kind = "", name = "", ...more] = code.split(":");
  const zero = more.find((word): word is keyof typeof ZEROS => word in ZEROS);
  return {
    kind, name, purpose: PURPOSES.find((purpose) => more[0] === purpose) ?? null,
    zero: kind === "gauge" && zero !== undefined ? ZEROS[zero] : null,
  };
}

/** Whether one entry is enough to put it right. A whole line-up takes as many as it has elements. */
export function isOneEntry(want: Want): boolean {
  return want.kind !== "line_up";
}

/** What is to be put right at a place, if anything. */
export function wantAt(route: Route): Want | null {
  return route.at === "job" && route.want !== undefined ? wantOf(route.want) : null;
}
