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
