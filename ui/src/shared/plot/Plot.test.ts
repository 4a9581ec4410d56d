import { render } from "@testing-library/svelte";
import { expect, test } from "vitest";
import Plot from "./Plot.svelte";

const points = [{ turns: 0, pressure: 70, flowing: true }, { turns: -0.5, pressure: 62, flowing: true }];
const line = [
  { turns: -1, pressure: 54, low: 51, high: 57 },
  { turns: -0.5, pressure: 62, low: 61, high: 63 },
  { turns: 0, pressure: 70, low: 67, high: 73 },
];

const drawn = (over: { line?: typeof line }): Element =>
  render(Plot, { props: { points, unit: "psi", target: 50, tolerance: 2, ...over } }).container;

test("the learned line is drawn in its band, which is there and back again", () => {
  const plot = drawn({ line });
  expect(plot.querySelector(".learned")?.getAttribute("d")?.match(/[ML]/g)).toHaveLength(3);
  expect(plot.querySelector(".around")?.getAttribute("d")?.match(/[ML]/g)).toHaveLength(6);
  expect(plot.textContent).toContain("what it should read, and its band");
});

test("without anything learned there are the readings alone", () => {
  const plot = drawn({});
  expect(plot.querySelectorAll("circle")).toHaveLength(2);
  expect(plot.querySelector(".learned")).toBeNull();
});

test("nothing is drawn outside the drawing", () => {
  const far = [{ turns: -1, pressure: -900, low: -2000, high: 900 }, { turns: 0, pressure: 70, low: 60, high: 80 }];
  const path = drawn({ line: far }).querySelector(".around")?.getAttribute("d") ?? "";
  const heights = [...path.matchAll(/[ML][\d.-]+ ([\d.-]+)/g)].map((each) => Number(each[1]));
  expect(Math.min(...heights)).toBeGreaterThanOrEqual(0);
  expect(Math.max(...heights)).toBeLessThanOrEqual(300);
});
