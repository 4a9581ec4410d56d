// A figure as it is typed at a desk: digits and a unit, kept apart until it is sent.

import type { Figure } from "../generated/Figure";
import type { Unit } from "../generated/Unit";

export interface Typed {
  digits: string;
  unit: Unit;
}

/** The figure, or nothing where nothing was typed. The digits go as they stand; the server judges them. */
export function figureOf({ digits, unit }: Typed): Figure | undefined {
  const typed = digits.trim();
  return typed === "" ? undefined : { digits: typed, unit };
}

/** A figure to start a form from. */
export function typed(figure: Figure | null | undefined, unit: Unit): Typed {
  return { digits: figure?.digits ?? "", unit: figure?.unit ?? unit };
}
