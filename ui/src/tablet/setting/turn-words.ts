// A turn of the screw as the person prefers to hear it: plain fraction, degrees or flats. All three come from the core.

import type { Figure } from "../../generated/Figure";
import type { Turn } from "../../generated/Turn";
import { prefs } from "../../shared/prefs/prefs.svelte";
import { t } from "../../words/words.svelte";

/** How much: `1 1/8 turns`, `405°`, `6.8 flats`. */
export function amountOf(turn: Turn): string {
  const words = t().setting;
  switch (prefs.turns) {
    case "fraction":
      return words.turnsOf(turn.fraction, Math.abs(turn.turns) <= 1);
    case "degrees":
      return `${whole(turn.degrees)}°`;
    case "flats":
      return words.flatsOf(tenths(turn.flats), turn.flats <= 1);
  }
}

/** How much and which way. */
export function turnWords(turn: Turn): string {
  return turn.way === "none" ? t().setting.ways.none : `${amountOf(turn)} ${t().setting.ways[turn.way]}`;
}

/** The turn as a figure to record: the digits that the person was shown, clockwise positive. */
export function turnFigure(turn: Turn): Figure {
  const sign = turn.way === "counter_clockwise" ? "-" : "";
  switch (prefs.turns) {
    case "fraction":
      return { digits: sign + turn.fraction, unit: "turn" };
    case "degrees":
      return { digits: sign + whole(turn.degrees), unit: "deg" };
    case "flats":
      return { digits: sign + tenths(turn.flats), unit: "flat" };
  }
}

const whole = (value: number): string => value.toFixed(0);
const tenths = (value: number): string => value.toFixed(1).replace(/\.0$/, "");
