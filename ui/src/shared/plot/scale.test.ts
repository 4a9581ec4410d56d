import { expect, test } from "vitest";
import { marks, place, spanOf } from "./scale";

test("the marks are round and lie within the span", () => {
  expect(marks({ low: 48.5, high: 71.5 })).toEqual([50, 60, 70]);
  expect(marks({ low: -1.3, high: 0.2 })).toEqual([-1, -0.5, 0]);
});

test("one figure alone still has a span", () => {
  const span = spanOf([70], 10);
  expect(span.low).toBeLessThan(70);
  expect(span.high - span.low).toBeGreaterThanOrEqual(10);
});

test("the ends of the span lie at the ends of the drawing", () => {
  const span = { low: 50, high: 70 };
  expect([place(50, span, 300, 0), place(60, span, 300, 0), place(70, span, 300, 0)]).toEqual([300, 150, 0]);
});
