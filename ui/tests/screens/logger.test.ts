import { fireEvent, screen } from "@testing-library/svelte";
import { expect, test } from "vitest";
import { open } from "./open";

const press = (name: string | RegExp): Promise<unknown> => fireEvent.click(screen.getByRole("button", { name }));

test("a kept file is drawn with what its window comes to, and the way to another window", async () => {
  const bridge = await open({ screen: "logger" });
  expect(screen.getByRole("img", { name: "Pressure against time, from 4.00 bar to 6.00 bar" })).toBeTruthy();
  expect(screen.getByText("Settled")).toBeTruthy();
  expect(screen.getByText("Some rows hold no number; left out.")).toBeTruthy();
  await press("Nearer");
  expect(bridge.queries.at(-1)).toMatchObject({ job: { screen: { logger: { from_s: 150, to_s: 450 } } } });
});

test("a file goes over in parts, is looked at, and is kept with the point where the logger sat", async () => {
  const bridge = await open({ screen: "logger" });
  const file = new File(["t,p\n0,60\n1,61\n"], "new.csv", { type: "text/csv" });
  await fireEvent.change(screen.getByLabelText("Choose a file"), { target: { files: [file] } });
  await fireEvent.click(await screen.findByRole("radio", { name: "Inlet" }));
  expect(bridge.commands).toMatchObject([{ logger: { part: { part: 0 } } }]);
  await press("Keep this file");
  expect(bridge.commands.at(-1)).toMatchObject({ logger: { keep: { point: "inlet", file: "new.csv", reading: { unit: "bar" } } } });
});
