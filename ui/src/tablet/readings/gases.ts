// The four figures of an air test, in the order in which they are read: oxygen, flammable, toxic.

import type { Unit } from "../../generated/Unit";

export const GASES = [
  ["oxygen", "%"],
  ["flammable", "% LFL"],
  ["carbon_monoxide", "ppm"],
  ["hydrogen_sulphide", "ppm"],
] as const satisfies readonly (readonly [string, Unit])[];

export type Gas = (typeof GASES)[number][0];
