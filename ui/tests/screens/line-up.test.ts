import { fireEvent, screen, within } from "@testing-library/svelte";
import { expect, test } from "vitest";
import { body, fixtures, open } from "./open";

const block = fixtures.lineUp.elements.find((each) => each.element === "downstream_block");
const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

test("a new state takes the place of the one that was shown", async () => {
  const bridge = await open({ screen: "line_up" });
  const element = fixtures.lineUp.elements[0];
  await press("Upstream block valve: Open");
  await fireEvent.click(screen.getByRole("radio", { name: "Shut" }));
  await press("Add turns counted");
  for (const key of ["1", "4", "Decimal point", "5"]) await press(key);
  await press("Record: Shut");
  expect(body(bridge, "line_up")).toMatchObject({
    asset: fixtures.VALVE, element: "upstream_block", position: "shut", replaces: element?.standing.replaces,
    counted: { digits: "14.5", unit: "turn" },
  });
});

test("a disagreement is written out with both sides, and is nobody's average", async () => {
  await open({ screen: "line_up" });
  const both = within(screen.getByRole("group", { name: "Disagreement: Downstream block valve" }));
  expect(both.getByText("Shut").parentElement?.textContent).toContain("Ana");
  expect(both.getByText("Throttled").parentElement?.textContent).toContain("Luis");
});

test("a named person settles it with a finding and a reason, over exactly what was shown", async () => {
  const bridge = await open({ screen: "line_up" });
  await press("Settle Downstream block valve");
  const sheet = within(screen.getByRole("dialog", { name: "Settle: Downstream block valve" }));
  const settle = sheet.getByRole<HTMLButtonElement>("button", { name: "Settle it" });
  await fireEvent.click(sheet.getByRole("radio", { name: /^Throttled, as said by Luis/ }));
  expect(settle.disabled).toBe(true);
  await fireEvent.input(sheet.getByRole("textbox", { name: "Why" }), { target: { value: "both looked" } });
  await fireEvent.click(settle);
  expect(body(bridge, "resolution")).toEqual({
    kind: "resolution", reason: "both looked",
    about: {
      register: {
        register: { of: "position", asset: fixtures.VALVE, element: "downstream_block" },
        replaces: block?.standing.replaces,
        value: { kind: "line_up", asset: fixtures.VALVE, element: "downstream_block", position: "throttled" },
      },
    },
  });
});
