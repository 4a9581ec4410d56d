// The units that a pad offers, in the order of the trade.

import type { Unit } from "../../generated/Unit";

export const PRESSURE_UNITS: readonly Unit[] = ["psi", "kPa", "bar", "m H2O", "ft H2O"];
export const FLOW_UNITS: readonly Unit[] = ["gpm", "L/s", "m3/h"];

/** The units with one more where it is not among them, so that the unit last used can be used again. */
export function withUnit(units: readonly Unit[], unit: Unit): readonly Unit[] {
  return units.includes(unit) ? units : [...units, unit];
}
