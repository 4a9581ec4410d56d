import { expect, test } from "vitest";
import { type Key, finished, isFigure, keyOf, press } from "./digits";

const typed = (keys: string, sign = false): string =>
  [...keys].reduce((digits, key) => press(digits, key as Key, sign), "");

test.each(["60.0", "054", "0.50", "131.59", "7"])("%s stays as it was typed", (keys) => {
  expect(typed(keys)).toBe(keys);
});

test("a second point changes nothing", () => expect(typed("5.4.2")).toBe("5.42"));

test("a point first stands behind a zero that one can see", () => expect(typed(".5")).toBe("0.5"));

test("a sign is taken only where one may be", () => {
  expect(typed("-5")).toBe("5");
  expect(typed("5-", true)).toBe("-5");
  expect(typed("5--", true)).toBe("5");
});

test("erase takes the last character, clear takes all", () => {
  expect(press("54.0", "erase", false)).toBe("54.");
  expect(press("54.0", "clear", false)).toBe("");
});

test("no more characters than a gauge shows", () => expect(typed("1234567890")).toBe("123456789"));

test("a point with nothing behind it is left off at the end", () => {
  expect(finished("54.")).toBe("54");
  expect(finished("54.0")).toBe("54.0");
});

test.each([["", false], ["-", false], ["5", true], ["5.", true], ["-0.5", true]])("%j is a figure: %s", (digits, is) => {
  expect(isFigure(digits)).toBe(is);
});

test("a keyboard's comma is the pad's point", () => {
  expect([keyOf(","), keyOf("7"), keyOf("Backspace"), keyOf("a")]).toEqual([".", "7", "erase", null]);
});
