import { fireEvent, render, screen } from "@testing-library/svelte";
import { expect, test, vi } from "vitest";
import Stepper from "./Stepper.svelte";

const nowhere = { name: "Back", go: null };

test("it says how far the work is in words, and shows the whole when pressed", async () => {
  const onwhole = vi.fn();
  render(Stepper, { whole: "The whole job", done: 3, total: 4, says: "3 of 4 settled", expanded: false, onwhole });
  await fireEvent.click(screen.getByRole("button", { name: /The whole job.*3 of 4 settled/ }));
  expect(onwhole).toHaveBeenCalledOnce();
});

test("an arrow that leads nowhere cannot be pressed, the other goes on", async () => {
  const go = vi.fn();
  render(Stepper, { whole: "All", done: 0, total: 0, says: "0 of 0", expanded: false, onwhole: () => undefined, back: nowhere, on: { name: "On", go } });
  expect(screen.getByRole<HTMLButtonElement>("button", { name: "Back" }).disabled).toBe(true);
  await fireEvent.click(screen.getByRole("button", { name: "On" }));
  expect(go).toHaveBeenCalledOnce();
});
