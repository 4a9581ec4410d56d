// The native window: the real program, on a screen without a monitor.

import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, beforeEach, test } from "node:test";
import { Desk } from "./desk.mjs";
import { readingsOnDisk } from "./disk.mjs";

const program = process.env.TURNWISE_APP;
const turnwise = process.env.TURNWISE_BIN;
let desk;
let data;

before(async () => {
  assert.ok(program, "TURNWISE_APP must name the native program");
  assert.ok(turnwise, "TURNWISE_BIN must name the turnwise command");
  desk = await Desk.open();
});

after(() => desk?.close());

beforeEach(async (context) => {
  data = await mkdtemp(join(tmpdir(), "turnwise-window-"));
  context.after(() => rm(data, { recursive: true }));
});

const open = () => desk.openWindow(program, { TURNWISE_DATA: data });

test("what was saved in the window is there after the program was killed, on screen and on disk", async () => {
  const first = await open();
  await first.page.fill("Your name", "Ana Ruiz");
  await first.page.press("That is me");
  await first.page.press("Start a job here");
  const job = {
    "Job number": "J-204",
    Customer: "Mill Road Water",
    Site: "Mill Road",
    Station: "Chamber 7",
    Valve: "PRV-1",
  };
  for (const [label, text] of Object.entries(job)) await first.page.fill(label, text);
  await first.page.press("Start a job here");
  await first.page.press("Open job J-204");
  await first.page.press("Readings");
  await first.page.press("Read Outlet");
  for (const key of ["5", "8", ".", "5", "0"]) await first.page.press(key === "." ? "Decimal point" : key);
  await first.page.press("Save reading");
  await first.page.see("58.50 psi");
  await first.kill();

  const second = await open();
  await second.page.press("Open job J-204");
  await second.page.see("I am Ana Ruiz");
  await second.page.press("Readings");
  await second.page.see("58.50 psi");
  await second.kill();

  const readings = await readingsOnDisk(turnwise, data, "J-204");
  assert.deepEqual(
    readings.map(({ point, figure, by }) => ({ point, figure, by })),
    [{ point: "outlet", figure: { digits: "58.50", unit: "psi" }, by: "Ana Ruiz" }],
  );
});

test("a second window on the same data says why it cannot show them, and harms nothing", async () => {
  const first = await open();
  await first.page.fill("Your name", "Ana Ruiz");
  await first.page.press("That is me");
  const second = await open();
  await second.page.see("Code: already_open");
  await second.kill();
  await first.page.press("I am Ana Ruiz");
  await first.page.see("Who uses it");
  await first.kill();
});

test("the page comes from the program itself and runs no script but its own", async () => {
  const window = await open();
  assert.equal(await window.page.title(), "Turnwise");
  assert.match(await window.page.run("return location.href"), /^tauri:\/\/localhost/);
  const ran = await window.page.run(`
    const script = document.createElement("script");
    script.textContent = "window.foreign = true";
    document.head.append(script);
    return window.foreign === true;
  `);
  assert.equal(ran, false);
  await window.kill();
});
