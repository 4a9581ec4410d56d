import { fireEvent, render, screen } from "@testing-library/svelte";
import { expect, test, vi } from "vitest";
import Pad from "./Pad.svelte";

function pad(digits: string, sign = false): { onwrite: ReturnType<typeof vi.fn>; onunit: ReturnType<typeof vi.fn> } {
  const onwrite = vi.fn();
  const onunit = vi.fn();
  render(Pad, { label: "Outlet", digits, unit: "psi", units: ["psi", "kPa"], sign, onwrite, onunit });
  return { onwrite, onunit };
}

test("a pressed digit goes behind the others", async () => {
  const { onwrite } = pad("60.");
  await fireEvent.click(screen.getByRole("button", { name: "0" }));
  expect(onwrite).toHaveBeenCalledWith("60.0");
});

test("the unit is one press away", async () => {
  const { onunit } = pad("60");
  await fireEvent.click(screen.getByRole("radio", { name: "kPa" }));
  expect(onunit).toHaveBeenCalledWith("kPa");
});

test("a keyboard works as well, but not while words are typed", async () => {
  const { onwrite } = pad("6");
  await fireEvent.keyDown(window, { key: "4" });
  expect(onwrite).toHaveBeenCalledExactlyOnceWith("64");
  const field = document.body.appendChild(document.createElement("input"));
  await fireEvent.keyDown(field, { key: "4" });
  expect(onwrite).toHaveBeenCalledOnce();
  field.remove();
});

test("where a figure may be below zero there is a sign, else there is none", () => {
  pad("6");
  expect(screen.queryByRole("button", { name: "Change sign" })).toBeNull();
});
