// The units that a pad offers beside one another, in the order of the trade.

import type { Unit } from "../../generated/Unit";

export const PRESSURE_UNITS: readonly Unit[] = ["psi", "kPa", "bar", "m H2O", "ft H2O"];
export const FLOW_UNITS: readonly Unit[] = ["gpm", "L/s", "m3/h"];
const FAMILIES: readonly (readonly Unit[])[] = [PRESSURE_UNITS, FLOW_UNITS, ["in", "mm"], ["ft", "m"], ["s", "min"]];

/** The units with one more where it is not among them, so that the unit last used can be used again. */
export function withUnit(units: readonly Unit[], unit: Unit): readonly Unit[] {
  return units.includes(unit) ? units : [...units, unit];
}

/** The units to offer where one is in use: its family, or it alone. */
export function unitsBeside(unit: Unit): readonly Unit[] {
  return FAMILIES.find((family) => family.includes(unit)) ?? [unit];
}
