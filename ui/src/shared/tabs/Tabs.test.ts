import { fireEvent, render, screen } from "@testing-library/svelte";
import { expect, test, vi } from "vitest";
import Tabs from "./Tabs.svelte";

const TABS = [["points", "Gauges"], ["flow", "Flow"], ["air", "Air"]] as const;

test("the arrows go round the tabs, and only the chosen one is in the way of Tab", async () => {
  const onpick = vi.fn();
  render(Tabs, { label: "Readings", tabs: TABS, value: "air", panel: "part", onpick });
  const list = screen.getByRole("tablist", { name: "Readings" });
  await fireEvent.keyDown(list, { key: "ArrowRight" });
  await fireEvent.keyDown(list, { key: "ArrowLeft" });
  expect(onpick.mock.calls).toEqual([["points"], ["flow"]]);
  expect(screen.getAllByRole("tab").map((tab) => tab.tabIndex)).toEqual([-1, -1, 0]);
});

test("a tab is chosen by a press", async () => {
  const onpick = vi.fn();
  render(Tabs, { label: "Readings", tabs: TABS, value: "air", panel: "part", onpick });
  await fireEvent.click(screen.getByRole("tab", { name: "Flow" }));
  expect(onpick).toHaveBeenCalledWith("flow");
  expect(screen.getByRole("tab", { name: "Air" }).getAttribute("aria-selected")).toBe("true");
});
