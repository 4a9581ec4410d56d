import { expect, test } from "vitest";
import { arc } from "./arc";

const near = (value: number): unknown => expect.closeTo(value, 6);

test("a quarter turn clockwise ends at three o'clock, heading down", () => {
  expect(arc(0.25, 100, 80, 0).end).toEqual({ x: near(180), y: near(100), heading: 180 });
});

test("a quarter turn counter-clockwise ends at nine o'clock, heading down", () => {
  expect(arc(-0.25, 100, 80, 0).end).toEqual({ x: near(20), y: near(100), heading: -180 });
});

test("a whole turn ends one ring further in than it began", () => {
  expect(arc(1, 100, 80, 10).end).toMatchObject({ x: near(100), y: near(30) });
});

test("more turns than can be counted on a drawing are drawn as three", () => {
  expect(arc(11, 100, 80, 10)).toEqual(arc(3, 100, 80, 10));
});
