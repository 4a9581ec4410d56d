import { fireEvent, render, screen } from "@testing-library/svelte";
import { expect, test, vi } from "vitest";
import Confirm from "./Confirm.svelte";

test("nothing is done before somebody says yes; the cross says no", async () => {
  const [onyes, onno] = [vi.fn(), vi.fn()];
  render(Confirm, { title: "Read it back", lines: ["Outlet 57 psi", "Flowing"], yes: "Save it", no: "Change it", onyes, onno });
  expect(screen.getByText("Outlet 57 psi")).toBeTruthy();
  expect(onyes).not.toHaveBeenCalled();
  await fireEvent.click(screen.getByRole("button", { name: "Close" }));
  expect(onno).toHaveBeenCalledOnce();
  await fireEvent.click(screen.getByRole("button", { name: "Save it" }));
  expect(onyes).toHaveBeenCalledOnce();
});
