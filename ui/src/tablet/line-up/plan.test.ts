import { expect, test } from "vitest";
import type { Branch } from "../../generated/Branch";
import type { ElementView } from "../../generated/ElementView";
import { lineUp } from "../../../tests/stage/fixtures";
import { type Place, type Plan, type Row, plan } from "./plan";

type What = [id: string, over: Partial<ElementView>];

function elements(...all: What[]): ElementView[] {
  const [any] = lineUp.elements;
  if (any === undefined) throw new Error("the fixture has no element");
  return all.map(([element, over]) => ({ ...any, element, branch: "main", side: "upstream", class: "block_valve", tap: null, ...over }));
}

const CIRCUIT = (branch: Branch): What[] => [
  ["inlet_gauge_cock", { class: "gauge_cock", branch }],
  ["inlet_cock", { class: "cock", side: "control", tap: "inlet", branch }],
  ["cover_cock", { class: "cock", side: "control", tap: "cover", branch }],
  ["cover_vent", { class: "vent", side: "control", tap: "cover", branch }],
  ["outlet_cock", { class: "cock", side: "control", tap: "outlet", branch }],
  ["spool_vent", { class: "vent", side: "downstream", branch }],
];
const BYPASS: What = ["bypass", { class: "bypass", side: "around", branch: "bypass" }];
const HYDRANT: What = ["hydrant", { class: "hydrant", side: "zone" }];
const block = (id: string, side: "upstream" | "downstream", branch: Branch): What => [id, { side, branch }];

const single = plan(elements(block("up", "upstream", "main"), ...CIRCUIT("main"), block("down", "downstream", "main"), BYPASS, HYDRANT), "main");
const parallel = plan(elements(
  block("low_up", "upstream", "low_flow"), block("large_up", "upstream", "large"), ...CIRCUIT("large"),
  block("low_down", "downstream", "low_flow"), block("large_down", "downstream", "large"), BYPASS, HYDRANT,
), "large");
const withRelief = plan(elements(block("up", "upstream", "main"), ...CIRCUIT("main"), block("down", "downstream", "main"), block("relief", "upstream", "relief"), BYPASS), "main");
const relief = plan(elements(block("relief", "upstream", "relief"), ...CIRCUIT("relief"), block("gate", "downstream", "relief")), "relief");

const names = ({ rows }: Plan): string[] => rows.map((row) => row.names?.part ?? row.element?.element ?? "valves");
const of = ({ rows }: Plan, id: string): Row => {
  const row = rows.find((each) => each.element?.element === id);
  if (row === undefined) throw new Error(`no row is about ${id}`);
  return row;
};
const says = (place: Place | null): string => (place === null ? "" : `${place.part}/${place.branch}`);
const down = (row: Row, x: number): string[] => row.pipes.filter((pipe) => pipe.x === x).map((pipe) => `${says(pipe.above)} > ${says(pipe.below)}`);

test("a single station runs from the supply to the zone, its valve between what feeds the pilot and what it lets go", () => {
  expect(names(single)).toEqual([
    "supply", "up", "inlet_gauge_cock", "inlet_cock", "cover_cock", "cover_vent", "valves", "outlet_cock", "spool_vent", "down", "bypass",
    "zone", "hydrant",
  ]);
});

test("a block valve parts what is before it from what is behind it", () => {
  const row = of(single, "up");
  expect(down(row, row.x)).toEqual(["supply/main > inlet/main"]);
  expect(down(of(single, "down"), row.x)).toEqual(["outlet/main > zone/main"]);
});

test("the bypass goes past the valve from supply to zone, in a pipe of its own", () => {
  const row = of(single, "bypass");
  expect(row.x).toBeLessThan(of(single, "up").x);
  expect(down(row, row.x)).toEqual(["supply/main > zone/main"]);
  expect(down(of(single, "up"), row.x)).toEqual(["supply/main > supply/main"]);
});

test("the pilot's line begins at the inlet cock, turns into what it lets through at the valve, and ends at the outlet cock", () => {
  const pilot = Math.max(...single.rows.flatMap((row) => row.pipes.map((pipe) => pipe.x)));
  const line = single.rows.flatMap((row) => down(row, pilot));
  expect(line).toEqual([
    " > pilot/main", "pilot/main > pilot/main", "pilot/main > pilot/main", "pilot/main > pilot_outlet/main", "pilot_outlet/main > ",
  ]);
});

test("valves side by side stand in one row, each in its own pipe between supply and zone", () => {
  const valves = parallel.rows.find((row) => row.valves.length > 0)?.valves ?? [];
  expect(valves.map((valve) => valve.branch)).toEqual(["low_flow", "large"]);
  expect(valves.map((valve) => valve.cover !== null), "the control circuit is that of the valve in hand").toEqual([false, true]);
  const low = of(parallel, "low_up");
  expect(down(low, low.x)).toEqual(["supply/main > inlet/low_flow"]);
  const large = of(parallel, "large_down");
  expect(down(large, large.x)).toEqual(["outlet/large > zone/main"]);
});

test("a relief valve hangs on the zone and ends at its outfall", () => {
  expect(names(withRelief).slice(-4)).toEqual(["zone", "relief", "valves", "outfall"]);
  const row = of(withRelief, "relief");
  expect(down(row, row.x)).toEqual(["zone/main > inlet/relief"]);
  expect(names(relief)[0]).toBe("zone");
  expect(names(relief).slice(-2)).toEqual(["gate", "outfall"]);
});

test.each([["single", single], ["parallel", parallel], ["with relief", withRelief], ["relief", relief]] as const)(
  "no pipe of a %s station breaks off between two rows, and none needs more room than a phone has", (_, { rows, width }) => {
    rows.slice(1).forEach((row, at) => {
      const above = new Map((rows[at]?.pipes ?? []).filter((pipe) => pipe.below !== null).map((pipe) => [pipe.x, says(pipe.below)]));
      const here = new Map(row.pipes.filter((pipe) => pipe.above !== null).map((pipe) => [pipe.x, says(pipe.above)]));
      for (const [x, place] of above) expect(here.get(x)?.split("/")[0], `${x} from row ${at}`).toBe(place.split("/")[0]);
    });
    expect(width).toBeLessThanOrEqual(190);
  },
);
