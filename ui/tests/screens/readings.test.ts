import { fireEvent, screen, waitFor, within } from "@testing-library/svelte";
import { expect, test } from "vitest";
import { Refused } from "../../src/bridge/bridge";
import { body, fixtures, open } from "./open";

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));
const pick = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("radio", { name }));
const key = async (...keys: string[]): Promise<void> => {
  for (const each of keys) await press(each);
};

test("a reading keeps its digits and unit, and starts from the point's last gauge and unit", async () => {
  const bridge = await open({ screen: "readings" });
  await press("Read Inlet");
  await key("1", "3", "1", "Decimal point", "5", "0");
  await press("Save reading");
  expect(body(bridge, "reading")).toMatchObject({
    point: "inlet", figure: { digits: "131.50", unit: "psi" }, gauge: "G-1180", water: "flowing", request: null,
  });
  await waitFor(() => expect(screen.queryByRole("dialog")).toBeNull());
});

test("an as-left reading names the request that stands", async () => {
  const bridge = await open({ screen: "readings" });
  await press("Read Outlet");
  await pick("As left");
  await pick("kPa");
  await key("3", "5", "9");
  await press("Save reading");
  expect(body(bridge, "reading")).toMatchObject({
    purpose: "as_left", figure: { digits: "359", unit: "kPa" }, request: fixtures.REQUEST,
  });
});

test("a refusal says what happened and loses nothing typed", async () => {
  const bridge = await open({ screen: "readings" });
  bridge.refusal = new Refused("disk_full", "no space");
  await press("Read Outlet");
  await key("5", "2");
  await press("Save reading");
  const sheet = within(screen.getByRole("dialog", { name: "Read Outlet" }));
  expect((await sheet.findByRole("alert")).textContent).toContain("storage of this tablet is full");
  expect(sheet.getByRole("group", { name: "Outlet" }).textContent).toContain("52");
  expect(screen.queryByText("Saved on this tablet")).toBeNull();
  await press("Save reading");
  expect(body(bridge, "reading").figure.digits).toBe("52");
  const lines = await screen.findAllByText("Saved on this tablet");
  expect(lines.map((line) => line.closest("[role=status]") !== null), "seen in the lid, heard by whoever listens").toEqual([false, true]);
});

test("what arrives while the pad is open does not change it under the hand", async () => {
  const bridge = await open({ screen: "readings" });
  await press("Read Outlet");
  await key("5", "2");
  bridge.screens["readings"] = { readings: { ...fixtures.readings, points: [], request: "another" } };
  bridge.tell();
  await screen.findByRole("dialog", { name: "Read Outlet" });
  await pick("As left");
  await press("Save reading");
  expect(body(bridge, "reading")).toMatchObject({ figure: { digits: "52" }, request: fixtures.REQUEST });
});

test("an air test is four figures off one meter", async () => {
  const bridge = await open({ screen: "readings" });
  await pick("Air");
  await press("Add an air test");
  await pick("At the floor");
  await pick("Yes");
  await key("2", "0", "Decimal point", "9");
  await press("Flammable");
  await key("0");
  await press("CO");
  await key("3");
  await press("H₂S");
  await key("1");
  await press("Save");
  expect(body(bridge, "atmosphere_test")).toMatchObject({
    asset: fixtures.STATION, level: "bottom", meter: "M-77", bump_tested: true,
    oxygen: { digits: "20.9", unit: "%" }, flammable: { digits: "0", unit: "% LFL" },
    carbon_monoxide: { digits: "3", unit: "ppm" }, hydrogen_sulphide: { digits: "1", unit: "ppm" },
  });
});

test("an entry is taken back with a reason, never without", async () => {
  const bridge = await open({ screen: "readings" });
  await pick("Story");
  await press("Take back: Reading: Hydrant or tap 64 psi");
  const sheet = within(screen.getByRole("dialog", { name: "Take this entry back" }));
  const take = sheet.getByRole<HTMLButtonElement>("button", { name: "Take back" });
  expect(take.disabled).toBe(true);
  await fireEvent.input(sheet.getByRole("textbox", { name: "Why" }), { target: { value: " wrong hydrant " } });
  await fireEvent.click(take);
  expect(body(bridge, "withdrawn")).toEqual({
    kind: "withdrawn", entry: fixtures.readings.timeline[0]?.said.entry, reason: "wrong hydrant",
  });
});
