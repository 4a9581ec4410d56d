import { render } from "@testing-library/svelte";
import { expect, test } from "vitest";
import type { SteadyState } from "../../generated/SteadyState";
import Ring from "./Ring.svelte";

const shapes = (state: SteadyState | null, count = 0): string =>
  [...render(Ring, { state, count }).container.querySelectorAll("svg, circle, path, text")]
    .map((each) => each.getAttribute("class") ?? each.textContent ?? "").join(" ");

test("each way in which a pressure behaves has a shape of its own", () => {
  const all = [null, "settling", "drifting", "hunting", "steady"] as const;
  expect(new Set(all.map((state) => shapes(state))).size).toBe(all.length);
});

test("how often it was read stands in the middle until it is steady", () => {
  expect(render(Ring, { state: "settling", count: 4 }).container.textContent).toContain("4");
  expect(render(Ring, { state: "steady", count: 4 }).container.textContent?.trim()).toBe("");
});
