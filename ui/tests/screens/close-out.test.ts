import { fireEvent, screen, within } from "@testing-library/svelte";
import { expect, test } from "vitest";
import { Refused } from "../../src/bridge/bridge";
import { FakeBridge } from "../stage/fake-bridge";
import { fixtures, open } from "./open";

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

function ready(): FakeBridge {
  const bridge = new FakeBridge();
  bridge.screens["close_out"] = { close_out: { ...fixtures.closeOut, missing: [], review: [], can_sign: true, cannot_sign: [] } };
  return bridge;
}

test("what is missing is listed with the way to it, and there is nothing to sign", async () => {
  await open({ screen: "close_out" });
  expect(screen.getByRole("heading", { name: "Still missing (3)" })).toBeTruthy();
  expect(screen.getByRole("button", { name: /^Go to Readings: Outlet as left/ })).toBeTruthy();
  expect(screen.queryByRole("button", { name: "Sign the record" })).toBeNull();
  expect(screen.getByText("Something is still missing.")).toBeTruthy();
});

test("initials carry the number of entries that was shown", async () => {
  const bridge = await open({ screen: "close_out" });
  await press("Luis initials");
  await fireEvent.click(within(screen.getByRole("dialog")).getByRole("button", { name: "Luis initials" }));
  expect(bridge.commands).toEqual([{ initial: { job: fixtures.JOB, person: fixtures.LUIS.id, entries: 8 } }]);
});

test("what is missing stands under the phase that it belongs to", async () => {
  await open({ screen: "close_out" });
  expect(screen.getByRole("heading", { name: "Tune and prove (1)" })).toBeTruthy();
  expect(screen.getByRole("heading", { name: "Of the whole job (2)" })).toBeTruthy();
});

test("the signer reads what is signed before there is anything to press", async () => {
  const bridge = ready();
  await open({ screen: "close_out" }, bridge);
  await press("Sign the record");
  const sheet = within(screen.getByRole("dialog", { name: "Sign as lead tech" }));
  const content = within(await sheet.findByRole("region", { name: "This is what you sign" }));
  for (const words of ["52.5 psi", "Within the tolerance", "Set at less than the minimum flow", "Photograph the plate"]) {
    expect(content.getAllByText(words, { exact: false }).length).toBeGreaterThan(0);
  }
  expect(content.getByText("Every entry (1)")).toBeTruthy();
});

test("a job is asked for as a table in the person's language", async () => {
  const bridge = ready();
  await open({ screen: "close_out" }, bridge);
  await press("Save as a table (CSV)");
  expect(await screen.findByText("Saved as J-2041-r1.csv")).toBeTruthy();
  expect(bridge.queries).toContainEqual({ export: { job: fixtures.JOB, form: "csv", language: "en" } });
});

test("the digest that was shown is signed, even when another has arrived since", async () => {
  const bridge = ready();
  await open({ screen: "close_out" }, bridge);
  await press("Sign the record");
  bridge.screens["close_out"] = { close_out: { ...fixtures.closeOut, missing: [], review: [], can_sign: true, cannot_sign: [], record: { digest: "ffff", entries: 46 } } };
  bridge.tell();
  const sheet = within(screen.getByRole("dialog", { name: "Sign as lead tech" }));
  expect(await sheet.findByText("The record changed while you were looking at it.")).toBeTruthy();
  bridge.refusal = new Refused("record_changed", "another by now");
  await fireEvent.click(sheet.getByRole("button", { name: "Sign the record" }));
  expect((await sheet.findByRole("alert")).textContent).toContain("Nothing of it was saved");
  await fireEvent.click(sheet.getByRole("button", { name: "Sign the record" }));
  expect(bridge.commands).toEqual([{ sign: { job: fixtures.JOB, person: fixtures.ANA.id, digest: fixtures.closeOut.record.digest } }]);
});
