import { fireEvent, render, screen, within } from "@testing-library/svelte";
import { expect, test } from "vitest";
import { NoAnswer } from "../../src/bridge/bridge";
import App from "../../src/tablet/App.svelte";
import { SCREENS } from "../../src/tablet/state/route";
import { FakeBridge } from "../stage/fake-bridge";
import { fixtures, open } from "./open";

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

test.each(SCREENS)("on %s the card, the way back, the caller and the whereabouts are one touch away", async (name) => {
  await open({ screen: name });
  for (const each of ["Runaway", "Put it back", "I am Ana", /14 only here/, "All jobs"]) {
    expect(screen.getByRole("button", { name: each })).toBeTruthy();
  }
  expect(screen.getByText("64 psi", { selector: ".mate .figure" })).toBeTruthy();
});

test("the runaway card says what to shut, in order", async () => {
  await open({ screen: "readings" });
  await press("Runaway");
  const lines = within(screen.getByRole("dialog", { name: "If the outlet climbs" })).getAllByRole("listitem");
  expect(lines.map((line) => line.textContent)).toEqual(fixtures.head().runaway.map((line, at) => `${at + 1}${line.say.en}`));
});

test("a zone over its limit shouts on every screen, voice first", async () => {
  const bridge = new FakeBridge();
  bridge.head = fixtures.head({ alarm: { reading: fixtures.reading({ figure: { digits: "84", unit: "psi" } }), limit: { digits: "80", unit: "psi" } } });
  await open({ screen: "pre_job" }, bridge);
  expect(screen.getByRole("alert").textContent).toMatch(/Outlet reads 84 psi\. The limit is 80 psi\..*by voice/);
});

test("a request that changed after the valve was set is told with both figures", async () => {
  const bridge = new FakeBridge();
  bridge.head = fixtures.head({
    request_changed: { worked_to: { digits: "55", unit: "psi" }, asked: { digits: "52.5", unit: "psi" }, said: fixtures.said(), entries: [] },
  });
  await open({ screen: "steps" }, bridge);
  expect(screen.getByText("Set for 55 psi. Asked now: 52.5 psi.")).toBeTruthy();
});

test("where nobody said who uses the tablet, that is asked first", async () => {
  const bridge = new FakeBridge();
  bridge.home = { ...bridge.home, me: null };
  history.replaceState(null, "", "#/");
  render(App, { bridge });
  await fireEvent.input(await screen.findByRole("textbox", { name: "Your name" }), { target: { value: " Ana " } });
  await press("That is me");
  expect(bridge.commands).toEqual([{ set_me: { name: "Ana" } }]);
});

test("no answer is told apart from a no: whether it was saved is not known", async () => {
  const bridge = await open({ screen: "crew" });
  bridge.refusal = new NoAnswer("gone");
  await fireEvent.click(screen.getByRole("switch", { name: "Link with crew and office" }));
  expect((await screen.findByRole("alert")).textContent).toContain("Whether the last press was saved is not known");
});

test("leaving the link is a command", async () => {
  const bridge = await open({ screen: "crew" });
  await fireEvent.click(screen.getByRole("switch", { name: "Link with crew and office" }));
  expect(bridge.commands).toEqual([{ link: { on: false } }]);
});
