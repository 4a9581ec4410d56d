import { fireEvent, render, screen, within } from "@testing-library/svelte";
import { afterEach, expect, test } from "vitest";
import History from "../../src/tablet/history/History.svelte";
import Procedures from "../../src/tablet/procedures/Procedures.svelte";
import { prefs } from "../../src/shared/prefs/prefs.svelte";
import { FakeBridge } from "../stage/fake-bridge";
import { fixtures, open } from "./open";

afterEach(() => {
  prefs.language = "en";
});

test("the drift since the last visit is told in words, with both figures as they were read", () => {
  render(History, { history: fixtures.compared });
  expect(screen.getByText("It drifted")).toBeTruthy();
  expect(screen.getAllByText("54.5 psi").length).toBeGreaterThan(0);
  expect(screen.getByText("58 psi")).toBeTruthy();
  expect(screen.getByText("3.5 psi")).toBeTruthy();
  expect(screen.getByText(/Pilot strainer half blocked/)).toBeTruthy();
});

test("a first visit says that it is the first on record", () => {
  render(History, { history: { visits: [], drift: null, rate: null, predicted: null } });
  expect(screen.getByText("First visit on record")).toBeTruthy();
});

test("where there is work to do, a first visit takes no room", () => {
  render(History, { history: { visits: [], drift: null, rate: null, predicted: null }, brief: true });
  expect(screen.queryByText("First visit on record")).toBeNull();
});

test("a pressure read without flow is no drift, and no change is shown", () => {
  const drift = fixtures.compared.drift;
  if (drift === null) throw new Error("the fixture has a drift");
  render(History, { history: { ...fixtures.compared, drift: { ...drift, verdict: "not_flowing" } } });
  expect(screen.getByText(/does not show the setting/)).toBeTruthy();
  expect(screen.queryByText("3.5 psi")).toBeNull();
});

test("a refused file is named with its line and the reason, in either language", () => {
  prefs.language = "es";
  render(Procedures, { hand: fixtures.atHand, onreload: () => Promise.resolve() });
  expect(screen.getByText("relief-own.toml, línea 41: Un paso que no existe")).toBeTruthy();
  expect(screen.getByText("there is no step `set_relief.lid`")).toBeTruthy();
  expect(screen.getByText("Ronda semanal")).toBeTruthy();
  expect(screen.getByText("Archivo del dueño round.toml")).toBeTruthy();
});

test("the folder is read again when asked", async () => {
  let asked = 0;
  render(Procedures, { hand: fixtures.atHand, onreload: () => Promise.resolve(void (asked += 1)) });
  await fireEvent.click(screen.getByRole("button", { name: "Read the folder again" }));
  expect(asked).toBe(1);
});

test("with two screws the one in hand is chosen, and the choice is asked of the tablet", async () => {
  const bridge = new FakeBridge();
  const words = (en: string, es: string) => ({ en, es });
  bridge.screens["setting"] = {
    setting: fixtures.setting({
      screws: [
        { screw: "pilot", name: words("Reducing pilot", "Piloto reductor"), sets: words("Outlet", "Salida") },
        { screw: "sustaining_pilot", name: words("Sustaining pilot", "Piloto sostenedor"), sets: words("Inlet", "Entrada") },
      ],
    }),
  };
  await open({ screen: "setting" }, bridge);
  const group = screen.getByRole("group", { name: "Screw in hand" });
  await fireEvent.click(within(group).getByLabelText("Sustaining pilot: sets Inlet"));
  expect(location.hash).toContain("screw=sustaining_pilot");
});

test("a job whose procedure is not here says that it can only be read", async () => {
  const bridge = new FakeBridge();
  bridge.head = fixtures.head({ procedure_missing: true });
  await open({ screen: "pre_job" }, bridge);
  expect(screen.getByText("This tablet does not have the procedure of this job")).toBeTruthy();
});

test("an owner's procedure is marked with its file where its steps are walked", async () => {
  const bridge = new FakeBridge();
  bridge.screens["steps"] = { steps: { ...fixtures.steps, owner: { file: "ours.toml", digest: "9f2c4e1ab07d55c6" } } };
  await open({ screen: "steps" }, bridge);
  expect(screen.getByText(/Owner's file ours.toml/)).toBeTruthy();
});
