import { expect, test } from "vitest";
import { type Route, readRoute, writeRoute } from "./route";

const PLACES: Route[] = [
  { at: "home" },
  { at: "job", job: "0190", screen: "setting" },
  { at: "job", job: "0190", screen: "steps", valve: "v 1", procedure: "reducing", step: "bleed/air" },
  { at: "job", job: "0190", screen: "readings", want: "reading:outlet:as_found", back: "steps", step: "as_found.pressures" },
];

test.each(PLACES)("the address of $at leads back to it", (place) => {
  expect(readRoute(writeRoute(place))).toEqual(place);
});

test.each(["", "#", "#token=ab", "#/job/1/kitchen", "#/jobs"])("%j leads home", (hash) => {
  expect(readRoute(hash)).toEqual({ at: "home" });
});
