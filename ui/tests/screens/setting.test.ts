import { fireEvent, screen, within } from "@testing-library/svelte";
import { afterEach, expect, test } from "vitest";
import { prefs } from "../../src/shared/prefs/prefs.svelte";
import { FakeBridge } from "../stage/fake-bridge";
import { body, fixtures, open, recorded } from "./open";

afterEach(() => {
  prefs.turns = "fraction";
  prefs.language = "en";
});

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

test("one press records the planned turn as it was shown, with the request and the reading it came from", async () => {
  const bridge = await open({ screen: "setting" });
  await press("Turned it: 1/2 turn counter-clockwise");
  expect(body(bridge, "screw_move")).toMatchObject({
    screw: "pilot", turn: { digits: "-1/2", unit: "turn" }, request: fixtures.REQUEST,
    planned_from: fixtures.points[0]?.newest?.said.entry,
  });
});

test("in flats the same turn is recorded in flats", async () => {
  prefs.turns = "flats";
  const bridge = await open({ screen: "setting" });
  await press("Turned it: 3 flats counter-clockwise");
  expect(body(bridge, "screw_move").turn).toEqual({ digits: "-3", unit: "flat" });
});

test("after a turn the reading says that it is old, and the next thing is to read again", async () => {
  const bridge = new FakeBridge();
  bridge.screens["setting"] = { setting: fixtures.waiting() };
  await open({ screen: "setting" }, bridge);
  expect(screen.getByText("Before the last turn")).toBeTruthy();
  expect(screen.getByText("Wait until it settles")).toBeTruthy();
  expect(screen.queryByRole("button", { name: /^Turned it/ })).toBeNull();
  await press("Read the outlet");
  expect(screen.getByRole("dialog", { name: "Read Outlet" })).toBeTruthy();
});

test("a turn that was not the planned one is said in whole turns and a part", async () => {
  const bridge = await open({ screen: "setting" });
  await press("Turned otherwise");
  const sheet = within(screen.getByRole("dialog", { name: "How far was it turned?" }));
  await fireEvent.click(sheet.getByRole("radio", { name: /counter-clockwise/ }));
  await fireEvent.click(sheet.getByRole("radio", { name: "1" }));
  await fireEvent.click(sheet.getByRole("radio", { name: "3/8" }));
  await fireEvent.click(sheet.getByRole("button", { name: "Turned it: 1 3/8 turns counter-clockwise" }));
  expect(body(bridge, "screw_move").turn).toEqual({ digits: "-1 3/8", unit: "turn" });
});

test("another's words are read back first; a no keeps the sheet with what was typed", async () => {
  const bridge = await open({ screen: "setting" });
  await press("I am Ana");
  await fireEvent.click(screen.getByRole("radio", { name: "Called by Luis" }));
  expect(screen.getByRole("button", { name: "Luis calls, Ana keys" })).toBeTruthy();

  await press("Read the outlet");
  for (const key of ["6", "2", "Decimal point", "0"]) await fireEvent.click(screen.getByRole("button", { name: key }));
  await press("Save reading");
  const back = within(screen.getByRole("dialog", { name: "Read it back" }));
  expect(back.getByText("Outlet: 62.0 psi")).toBeTruthy();
  await fireEvent.click(back.getByRole("button", { name: "No, change it" }));
  expect(bridge.commands).toEqual([]);
  expect(screen.getByRole("group", { name: "Outlet" }).textContent).toContain("62.0");

  await press("Save reading");
  await press("Yes, save it");
  expect(recorded(bridge)).toMatchObject({ called_by: fixtures.LUIS.id, body: { kind: "reading", figure: { digits: "62.0", unit: "psi" } } });
});

test("without a plan it says why, in the person's language", async () => {
  const bridge = new FakeBridge();
  bridge.screens["setting"] = { setting: fixtures.setting({ plan: null, no_plan: ["no_rate", "a_reason_of_tomorrow"] }) };
  prefs.language = "es";
  await open({ screen: "setting" }, bridge);
  expect(screen.getByText("La razón del resorte no está anotada.")).toBeTruthy();
  expect(screen.getByText("a_reason_of_tomorrow")).toBeTruthy();
});

/** The setting screen with something else on it. */
async function shows(over: Parameters<typeof fixtures.setting>[0]): Promise<FakeBridge> {
  const bridge = new FakeBridge();
  bridge.screens["setting"] = { setting: fixtures.setting(over) };
  await open({ screen: "setting" }, bridge);
  return bridge;
}

test("what the gauge should read after the turn is shown with its band, and what was learned beside the plot", async () => {
  await open({ screen: "setting" });
  expect(screen.getByText("Expect 62.5 psi")).toBeTruthy();
  expect(screen.getByText("between 60.7 and 64.6 psi")).toBeTruthy();
  expect(screen.getByText("14.60 psi/turn")).toBeTruthy();
  expect(screen.getByText("13.21 to 16.02 psi/turn")).toBeTruthy();
  expect(screen.getByText("learned from 2 turns")).toBeTruthy();
  expect(screen.getByText("teaches nothing: no flow shown")).toBeTruthy();
  expect(screen.getByText("Back to as found: 1 1/2 turns clockwise")).toBeTruthy();
});

test("while the pressure is on its way the ring says how, and there is nothing to turn", async () => {
  const settled = { ...fixtures.setting().settled!, state: "settling" as const, slope_per_minute: "-4.2", samples: 4 };
  await shows({ plan: null, no_plan: ["still_settling"], settled });
  expect(screen.getByText("Still on its way")).toBeTruthy();
  expect(screen.getByText("-4.2 psi a minute")).toBeTruthy();
  expect(screen.queryByRole("button", { name: /^Turned it/ })).toBeNull();
  expect(screen.getByRole("button", { name: "Read the outlet" })).toBeTruthy();
});

test("a swing is told by how far and how often", async () => {
  const amplitude = { digits: "1.5", unit: "psi" } as const;
  const settled = { ...fixtures.setting().settled!, state: "hunting" as const, amplitude, period_s: "12.0" };
  await shows({ plan: null, no_plan: ["hunting"], settled });
  expect(screen.getByText("1.5 psi either way, every 12.0 s")).toBeTruthy();
});

test("where nobody has shown flow it is one press to show it", async () => {
  await shows({ flow: null, warnings: ["no_flow_evidence", "dead_band_large"] });
  expect(screen.getByText("Much is lost on turning back: come to the target from one side.")).toBeTruthy();
  await press("Show that water moves");
  expect(screen.getByRole("dialog")).toBeTruthy();
});

test("a turn without an answer makes showing flow the next thing to press", async () => {
  await shows({ plan: null, no_plan: ["prove_flow_again"] });
  expect(screen.getByText("No answer to the last turn. Wait, then show again that water moves.")).toBeTruthy();
  expect(screen.getByRole("button", { name: "Show that water moves" }).className).toContain("main");
});

test("what is better left says why", async () => {
  const plan = fixtures.setting().plan!;
  await shows({ plan: { ...plan, leave_it: true, leave: "gauge_cannot_tell" } });
  expect(screen.getByText("This gauge cannot tell it from what is asked. Leave it.")).toBeTruthy();
  expect(screen.queryByRole("button", { name: /^Turned it/ })).toBeNull();
});

test("the last move says how likely it ends within tolerance", async () => {
  const plan = fixtures.setting().plan!;
  await shows({ plan: { ...plan, moves: 1, chance: 93 } });
  expect(screen.getByText("93 in 100 to be within tolerance")).toBeTruthy();
});

test("how turns are said is chosen on the spot", async () => {
  await open({ screen: "setting" });
  await fireEvent.click(screen.getByRole("radio", { name: "Degrees" }));
  expect(screen.getByRole("button", { name: "Turned it: 180° counter-clockwise" })).toBeTruthy();
});
