// Where a person is: in the address behind the `#`, so that back, forward and a reload work.

import type { Symptom } from "../../generated/Symptom";

export type ScreenName = "pre_job" | "line_up" | "steps" | "setting" | "readings" | "diagnosis" | "logger" | "close_out" | "crew";

/** The screens in the order of the work, as the way around shows them. */
export const SCREENS: readonly ScreenName[] = [
  "pre_job", "line_up", "steps", "setting", "readings", "close_out", "crew",
];

/** Screens that are reached from others only. */
const BESIDE: readonly ScreenName[] = ["diagnosis", "logger"];

export interface JobRoute {
  readonly at: "job";
  readonly job: string;
  readonly screen: ScreenName;
  readonly valve?: string;
  /** The screw in hand, where the valve has several. */
  readonly screw?: string;
  readonly procedure?: string;
  readonly step?: string;
  /** What is wrong, where that is looked into. */
  readonly symptom?: Symptom;
  /** The logger's file that is drawn, and the seconds of its window. */
  readonly entry?: string;
  readonly from?: string;
  readonly to?: string;
  /** What is to be put right here, by the code of the condition that misses it. */
  readonly want?: string;
  /** Where to go once it is. */
  readonly back?: ScreenName;
}

const TOLD = ["valve", "screw", "procedure", "step", "symptom", "entry", "from", "to", "want"] as const;

export type Route = { readonly at: "home" } | JobRoute;

/** Reads an address; what makes no sense leads home. */
export function readRoute(hash: string): Route {
  const [path = "", query = ""] = hash.replace(/^#\/?/, "").split("?");
  const [place, job, screen] = path.split("/");
  const known = screenNamed(screen ?? "");
  if (place !== "job" || !job || known === null) return { at: "home" };
  const told = new URLSearchParams(query);
  const part = (name: (typeof TOLD)[number]): Record<string, string> => {
    const value = told.get(name);
    return value ? { [name]: value } : {};
  };
  const back = screenNamed(told.get("back") ?? "");
  return {
    at: "job", job: decodeURIComponent(job), screen: known,
    ...part("valve"), ...part("screw"), ...part("procedure"), ...part("step"), ...part("symptom"), ...part("entry"), ...part("from"), ...part("to"), ...part("want"), ...(back === null ? {} : { back }),
  };
}

/** The address of a place. */
export function writeRoute(route: Route): string {
  if (route.at === "home") return "#/";
  const told = new URLSearchParams();
  for (const name of [...TOLD, "back"] as const) {
    const value = route[name];
    if (value) told.set(name, value);
  }
  const query = told.size > 0 ? `?${told}` : "";
  return `#/job/${encodeURIComponent(route.job)}/${route.screen}${query}`;
}

/** A screen by its code, as views name it. `null` for one this version does not have. */
export function screenNamed(code: string): ScreenName | null {
  return ([...SCREENS, ...BESIDE] as readonly string[]).includes(code) ? (code as ScreenName) : null;
}

/** Where conditions are met that have a part of a screen to themselves. */
const PARTS: Readonly<Record<string, ScreenName>> = { flow: "readings", atmosphere: "readings", gauges: "pre_job" };

/** The screen where a condition is met, by the code that views name. `null` where none here meets it. */
export function screenFor(code: string): ScreenName | null {
  return screenNamed(code) ?? PARTS[code] ?? null;
}
