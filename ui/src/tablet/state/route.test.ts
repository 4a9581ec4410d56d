import { expect, test } from "vitest";
import { type Route, readRoute, screenFor, writeRoute } from "./route";

const PLACES: Route[] = [
  { at: "home" },
  { at: "job", job: "0190", screen: "setting" },
  { at: "job", job: "0190", screen: "diagnosis", symptom: "hunting" },
  { at: "job", job: "0190", screen: "logger", entry: "e1", from: "10", to: "20" },
  { at: "job", job: "0190", screen: "steps", valve: "v 1", procedure: "reducing", step: "bleed/air" },
  { at: "job", job: "0190", screen: "readings", want: "reading:outlet:as_found", back: "steps", step: "as_found.pressures" },
];

test.each(PLACES)("the address of $at leads back to it", (place) => {
  expect(readRoute(writeRoute(place))).toEqual(place);
});

test.each(["", "#", "#token=ab", "#/job/1/kitchen", "#/jobs"])("%j leads home", (hash) => {
  expect(readRoute(hash)).toEqual({ at: "home" });
});

test.each([
  ["line_up", "line_up"],
  ["flow", "readings"],
  ["atmosphere", "readings"],
  ["gauges", "pre_job"],
  ["notes", null],
] as const)("what is met under %j is met on the screen %j", (code, screen) => {
  expect(screenFor(code)).toBe(screen);
});
