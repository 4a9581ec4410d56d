import { expect, test } from "vitest";
import { moved } from "./window";

test.each([
  ["nearer", [0, 100], [25, 75]],
  ["farther", [40, 60], [30, 70]],
  ["farther", [0, 100], null],
  ["earlier", [10, 50], [0, 40]],
  ["earlier", [0, 50], null],
  ["later", [50, 90], [60, 100]],
  ["later", [60, 100], null],
  ["nearer", [10, 14], null],
] as const)("%s of %j is %j", (step, [from_s, to_s], expected) => {
  expect(moved({ from_s, to_s }, 100, step)).toEqual(expected);
});
