// How quick the tablet feels with a processor four times slower. Times are told, not judged: they are the machine's as
// much as ours. What the page weighs is judged.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { gzipSync } from "node:zlib";
import { Scene } from "./scene.mjs";

const SLOWER = 4;
const MOST_BYTES = 150_000;
const SCREENS = ["pre_job", "line_up", "steps", "setting", "readings", "close_out", "crew"];

let scene;

before(async () => {
  scene = await Scene.lay();
  await scene.ana.page.locator("main form").waitFor();
  await scene.ana.command({ set_me: { name: "Ana Ruiz" } });
  await scene.job("J-speed", ["reducing"]);
});

after(() => scene?.clear());

async function slowed() {
  const hands = await scene.open();
  const wire = await hands.page.context().newCDPSession(hands.page);
  await wire.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  return hands;
}

test("the tablet's page weighs less than 150 kB, compressed", async (told) => {
  const { page } = await scene.open();
  await page.locator("main li").first().waitFor();
  const addresses = await page.evaluate(() =>
    performance.getEntriesByType("resource").map((each) => each.name).filter((name) => /\.(js|css)$/.test(new URL(name).pathname)),
  );
  assert.ok(addresses.length > 1, "the page brought its parts");
  let bytes = 0;
  for (const address of [new URL("/", page.url()).href, ...addresses]) {
    const answer = await fetch(address);
    bytes += gzipSync(Buffer.from(await answer.arrayBuffer())).length;
  }
  told.diagnostic(`page, scripts and styles of the tablet: ${bytes} bytes compressed`);
  assert.ok(bytes < MOST_BYTES, `${bytes} bytes`);
  await page.context().close();
});

test("the first view and the answers to taps are measured with a processor four times slower", async (told) => {
  const hands = await slowed();
  const { page } = hands;
  await page.reload();
  await page.locator("main li").first().waitFor();
  const first = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Number.NaN);
  told.diagnostic(`first view: ${Math.round(first)} ms`);
  assert.ok(Number.isFinite(first), "the browser says when it first painted");

  await page.evaluate(() => {
    globalThis.answers = [];
    new PerformanceObserver((seen) => {
      for (const entry of seen.getEntries()) if (entry.interactionId) globalThis.answers.push([entry.interactionId, entry.duration]);
    }).observe({ type: "event", durationThreshold: 16, buffered: true });
  });
  await hands.tap(page.locator("main li .cover").first());
  for (const screen of [...SCREENS, ...SCREENS]) {
    await hands.tap(page.locator(`nav a[href*="/${screen}"]`).first());
    await page.locator(`.screen.${screen}:not([aria-busy])`).waitFor();
    await hands.tap(page.locator("header .second > button").first());
    await hands.sheet.waitFor();
    await hands.tap(hands.sheet.locator("header button"));
    await hands.gone();
  }
  const answers = await page.evaluate(() => globalThis.answers);
  const longest = new Map();
  for (const [id, took] of answers) longest.set(id, Math.max(took, longest.get(id) ?? 0));
  const took = [...longest.values()].sort((a, b) => a - b);
  assert.ok(took.length > 10, "the browser says how long answers took");
  const at = (part) => took[Math.min(took.length - 1, Math.floor(part * took.length))];
  told.diagnostic(`a tap to its answer: median ${at(0.5)} ms, 95th percentile ${at(0.95)} ms, of ${took.length} that took 16 ms or more`);
  await page.context().close();
});
