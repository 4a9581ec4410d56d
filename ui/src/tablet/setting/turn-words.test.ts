import { afterEach, expect, test } from "vitest";
import type { Turn } from "../../generated/Turn";
import { prefs } from "../../shared/prefs/prefs.svelte";
import { turnFigure, turnWords } from "./turn-words";

afterEach(() => {
  prefs.turns = "fraction";
  prefs.language = "en";
});

const down: Turn = { turns: -1.125, degrees: 405, flats: 6.75, fraction: "1 1/8", way: "counter_clockwise" };

test.each([
  ["fraction", "1 1/8 turns counter-clockwise", { digits: "-1 1/8", unit: "turn" }],
  ["degrees", "405° counter-clockwise", { digits: "-405", unit: "deg" }],
  ["flats", "6.8 flats counter-clockwise", { digits: "-6.8", unit: "flat" }],
] as const)("in %s it is said and recorded as it was shown", (words, said, figure) => {
  prefs.turns = words;
  expect(turnWords(down)).toBe(said);
  expect(turnFigure(down)).toEqual(figure);
});

test("a part of a turn is one turn's", () => {
  expect(turnWords({ turns: 0.25, degrees: 90, flats: 1.5, fraction: "1/4", way: "clockwise" })).toBe("1/4 turn clockwise");
});
