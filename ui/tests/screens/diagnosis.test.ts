import { fireEvent, screen, within } from "@testing-library/svelte";
import { afterEach, expect, test } from "vitest";
import { prefs } from "../../src/shared/prefs/prefs.svelte";
import { FakeBridge } from "../stage/fake-bridge";
import { body, fixtures, open } from "./open";

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

afterEach(() => {
  prefs.language = "en";
});

test("the one thing to look at next is asked, and the answer is recorded as a particular of the valve", async () => {
  const bridge = await open({ screen: "diagnosis" });
  expect(screen.getByRole("heading", { name: "Is the gauge's cock shut, or its snubber or line plugged?" })).toBeTruthy();
  await press("No: Gauge and its line are clear");
  expect(body(bridge, "particulars")).toMatchObject({ name: "seen.gauge_line_blocked", value: { text: "no" }, replaces: [] });
});

test("a cause that fits comes first, with what speaks for it, and one ruled out says what speaks against it", async () => {
  await open({ screen: "diagnosis" });
  const region = screen.getByRole("region", { name: "What may be behind it" });
  const [first, , last] = within(region).getAllByRole("listitem");
  expect(first?.textContent).toMatch(/Pilot, strainer or restriction blocked.*Fits/);
  expect(first?.textContent).toContain("For it: Cover pressure does not follow");
  expect(last?.textContent).toMatch(/Against it: Cover pressure does not follow.*Ruled out/);
});

test("what somebody answered can be said otherwise, replacing the answer that was shown", async () => {
  const bridge = await open({ screen: "diagnosis" });
  await press("Say otherwise: Cover pressure does not follow");
  expect(body(bridge, "particulars")).toMatchObject({ name: "seen.cover_follows_screw", value: { text: "yes" }, replaces: ["e-10"] });
});

test("where nothing is wrong on record, the person says what is", async () => {
  const bridge = new FakeBridge();
  bridge.screens["diagnosis"] = { diagnosis: { ...fixtures.diagnosis, symptom: null, causes: [], next: null, seen: [] } };
  await open({ screen: "diagnosis" }, bridge);
  await press(/It hunts/);
  expect(location.hash).toContain("symptom=hunting");
});

test("it is reached from the readings, in Spanish too", async () => {
  prefs.language = "es";
  await open({ screen: "readings" });
  await press("¿Por qué no responde?");
  expect(await screen.findByText("Mire esto ahora")).toBeTruthy();
});

test("whether the valve is right is told in words, with what its gauge can tell", async () => {
  await open({ screen: "readings" });
  await fireEvent.click(screen.getByRole("radio", { name: "Right?" }));
  const right = screen.getByRole("region", { name: "Is it right?" });
  expect(right.textContent).toContain("Cannot tell with this gauge");
  expect(right.textContent).toContain("± 1.1 psi");
  const pairs = screen.getByRole("region", { name: "Two gauges or two people" });
  expect(pairs.textContent).toMatch(/Differ: 4 psi.*at the same time.*gauge assumed/);
});

test("a point shows how sure its reading is, whether it has settled, and what is wrong with its gauge", async () => {
  await open({ screen: "readings" });
  const outlet = screen.getByRole("button", { name: "Read Outlet" }).closest("li");
  expect(outlet?.textContent).toMatch(/± 1\.1 psi.*Settled.*Outside 25-75 % of its scale/);
});
