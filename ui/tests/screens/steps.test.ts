import { fireEvent, screen, within } from "@testing-library/svelte";
import { expect, test } from "vitest";
import type { StepView } from "../../src/generated/StepView";
import { FakeBridge } from "../stage/fake-bridge";
import { body, fixtures, open } from "./open";

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

function at(over: Partial<StepView>): FakeBridge {
  const bridge = new FakeBridge();
  const step = { ...(fixtures.steps.step as StepView), ...over };
  bridge.screens["steps"] = { steps: { ...fixtures.steps, step } };
  return bridge;
}

test("with everything there, one press marks the step done", async () => {
  const bridge = await open({ screen: "steps" }, at({ evidence: [] }));
  await press("Done");
  expect(body(bridge, "step_mark")).toMatchObject({ procedure: "reducing", step: "set.outlet_cock", outcome: "done", replaces: [] });
});

test("with something missing the next thing is where it is put right; an override needs a reason and names all of it", async () => {
  const bridge = await open({ screen: "steps" });
  expect(screen.queryByRole("button", { name: "Done" })).toBeNull();
  expect(screen.getByRole("button", { name: "Go to Line-up: Outlet cock: open" })).toBeTruthy();
  await press("Override");
  const sheet = within(screen.getByRole("dialog", { name: "Go on without it: say why" }));
  await fireEvent.input(sheet.getByRole("textbox", { name: "Why" }), { target: { value: "cock handle missing" } });
  await fireEvent.click(sheet.getByRole("button", { name: "Override" }));
  expect(body(bridge, "step_mark")).toMatchObject({
    outcome: "done", reason: "cock handle missing",
    overridden: ["position:outlet_cock:open", "reading:spool:within_limit"],
  });
});

test("a hard stop offers no override, no done and no way round", async () => {
  const stops = [{ code: "zone_limit", say: { en: "Shut the outlet cock.", es: "Cierre la llave de salida." }, in_force: true }];
  await open({ screen: "steps" }, at({ stops, status: "stopped" }));
  expect(screen.getByRole("alert").textContent).toContain("Shut the outlet cock.");
  for (const name of ["Done", "Override", "Not done"]) expect(screen.queryByRole("button", { name })).toBeNull();
});

test("a question is answered by its options", async () => {
  const options = [{ id: "flowing", say: { en: "Yes, water can be moved", es: "Sí" } }, { id: "static", say: { en: "No", es: "No" } }];
  const bridge = await open({ screen: "steps" }, at({ options, evidence: [] }));
  await press("Yes, water can be moved");
  expect(body(bridge, "step_mark").outcome).toEqual({ chosen: "flowing" });
});

test("marking again takes the place of the mark that was shown", async () => {
  const mark = fixtures.stands<"done">("done");
  const bridge = await open({ screen: "steps" }, at({ status: "done", mark, evidence: [] }));
  await press("Mark again");
  await press("Not done");
  await fireEvent.input(screen.getByRole("textbox", { name: "Why" }), { target: { value: "left open" } });
  await fireEvent.click(within(screen.getByRole("dialog")).getByRole("button", { name: "Not done" }));
  expect(body(bridge, "step_mark")).toMatchObject({ outcome: "not_done", replaces: mark.replaces, overridden: [] });
});

test("the jump opens the very cock, and what is recorded there leads back to the step", async () => {
  const bridge = await open({ screen: "steps" });
  await press("Go to Line-up: Outlet cock: open");
  const sheet = within(await screen.findByRole("dialog", { name: "Outlet cock of the pilot line" }));
  await fireEvent.click(sheet.getByRole("radio", { name: "Open" }));
  await fireEvent.click(sheet.getByRole("button", { name: "Record: Open" }));
  expect(body(bridge, "line_up")).toMatchObject({ element: "outlet_cock", position: "open" });
  expect(await screen.findByRole("heading", { name: "Open the outlet cock" })).toBeTruthy();
});
