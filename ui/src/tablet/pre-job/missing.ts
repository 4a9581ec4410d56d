// What the checks miss, each once, with the particular to key it in where it is one.

import type { Check } from "../../generated/Check";
import type { ParticularView } from "../../generated/ParticularView";

export interface Missing {
  name: string;
  /** None: the request's or a gauge's. */
  particular: ParticularView | null;
}

/** Names that are the request's own. */
const OF_REQUEST = new Set(["request", "tolerance", "zone_limit"]);

/** Each missing thing once, in the order met. What cannot be keyed in on this screen is left out. */
export function missingOf(checks: readonly Check[], particulars: readonly ParticularView[]): Missing[] {
  const names = new Set(checks.flatMap((check) => check.not_known.map((each) => each.name)));
  // One sheet puts the whole request right.
  if (names.has("request")) ["tolerance", "zone_limit"].forEach((name) => names.delete(name));
  return [...names].flatMap((name): Missing[] => {
    const particular = particulars.find((each) => each.name === name) ?? null;
    return particular !== null || OF_REQUEST.has(name) || name === "gauge" ? [{ name, particular }] : [];
  });
}
