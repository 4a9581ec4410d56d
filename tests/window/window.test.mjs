// The native window: the real program, on a screen without a monitor.

import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { Desk } from "./desk.mjs";

const program = process.env.TURNWISE_APP;
let desk;
let data;

before(async () => {
  assert.ok(program, "TURNWISE_APP must name the built program");
  desk = await Desk.open();
  data = await mkdtemp(join(tmpdir(), "turnwise-window-"));
});

after(async () => {
  await desk?.close();
  if (data) await rm(data, { recursive: true });
});

test("the window opens on the built screens, and again after the program was killed", async () => {
  for (const _ of ["first", "again"]) {
    const window = await desk.openWindow(program, { TURNWISE_DATA: data });
    assert.equal(await window.session.title(), "Turnwise");
    assert.match(await window.session.run("return location.href"), /^tauri:\/\/localhost/);
    await window.kill();
  }
});

test("the page runs no script but the program's own", async () => {
  const window = await desk.openWindow(program, { TURNWISE_DATA: data });
  const ran = await window.session.run(`
    const script = document.createElement("script");
    script.textContent = "window.foreign = true";
    document.head.append(script);
    return window.foreign === true;
  `);
  assert.equal(ran, false);
  await window.kill();
});
