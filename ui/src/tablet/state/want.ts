// What a condition misses, read from its code: `kind:name:...`. A code that is not understood leads to its screen only.

import type { Purpose } from "../../generated/Purpose";
import type { Route } from "./route";

export interface Want {
  readonly kind: string;
  /** The point, element, control, particular or step it is about; empty where it is about none. */
  readonly name: string;
  readonly purpose: Purpose | null;
}

const PURPOSES: readonly Purpose[] = ["as_found", "working", "static_setting", "baseline", "lock_up", "as_left"];

/** Reads the code of a condition. */
export function wantOf(code: string): Want {
  const [kind = "", name = "", ...more] = code.split(":");
  return { kind, name, purpose: PURPOSES.find((purpose) => more[0] === purpose) ?? null };
}

/** What is to be put right at a place, if anything. */
export function wantAt(route: Route): Want | null {
  return route.at === "job" && route.want !== undefined ? wantOf(route.want) : null;
}
