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
