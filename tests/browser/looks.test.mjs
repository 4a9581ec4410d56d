// Every screen, looked at by rule: what keeps people out (axe), contrast, the size of what is pressed, text at twice
// its size, and the keyboard alone. `TURNWISE_SHOTS=DIR` leaves a picture of each in every size and light.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Scene, STATIONS } from "./scene.mjs";

const SCREENS = ["pre_job", "line_up", "steps", "setting", "readings", "close_out", "crew"];
const LIGHTS = ["sun", "vault"];
const LANGUAGES = ["en", "es"];
const SIZES = { tablet: [800, 1280], phone: [390, 844], lying: [1280, 800] };
const LEAST_PX = 56;
/** Twice what a browser starts with: the system's text size, as somebody who sees badly sets it. */
const TWICE_PX = 32;

/** What can be laid over a screen: where it is opened from, without words, so that it works in both languages. */
const SHEETS = {
  where: ["steps", "header .where"],
  caller: ["steps", "header .voice button"],
  put_back: ["steps", "header .second > button:nth-of-type(1)"],
  runaway: ["steps", "header .second > button:nth-of-type(2)"],
  whole: ["steps", ".screen .whole"],
  element: ["line_up", ".screen li .cover >> nth=0"],
  reading: ["readings", ".screen li button >> nth=0"],
  turned: ["setting", ".thumb button >> nth=0"],
  duties: ["crew", ".screen li button >> nth=0"],
};

let scene, jobs;

before(async () => {
  scene = await Scene.lay();
  const { page } = scene.ana;
  await page.locator("main form").waitFor();
  scene.who = await scene.open();
  await scene.who.page.locator("main form").waitFor();
  await scene.ana.command({ set_me: { name: "Ana Ruiz" } });
  jobs = {};
  for (const [station, procedures] of Object.entries(STATIONS)) jobs[station] = await scene.job(`J-${station}`, procedures);
  await scene.work(jobs.single);
});

after(() => scene?.clear());

/** A page in one light and language. */
async function page(light, language, size = "tablet") {
  const [width, height] = SIZES[size];
  const hands = await scene.open({ viewport: { width, height }, locale: language, colorScheme: light === "sun" ? "light" : "dark" });
  await hands.page.evaluate((kept) => localStorage.setItem("turnwise.prefs", JSON.stringify(kept)), { light, language });
  await hands.page.reload();
  await hands.page.locator("main li").first().waitFor();
  return hands;
}

async function go(hands, station, screen, valve = 0) {
  const { job, valves } = jobs[station];
  await hands.page.evaluate((hash) => (location.hash = hash), `#/job/${job}/${screen}?valve=${valves[valve].id}`);
  await hands.page.locator(`.screen.${screen}:not([aria-busy])`).waitFor();
}

/** Visits everything there is to see, and calls back at each with its name. */
async function everything(hands, look) {
  await look("jobs");
  for (const screen of SCREENS) {
    await go(hands, "single", screen);
    await look(screen);
  }
  for (const [station, procedures] of Object.entries(STATIONS)) {
    for (const valve of procedures.keys()) {
      if (station === "single") continue;
      await go(hands, station, "line_up", valve);
      await look(`line_up-${station}-${procedures[valve]}`);
    }
  }
  for (const [sheet, [screen, opener]] of Object.entries(SHEETS)) {
    await go(hands, "single", screen);
    await hands.page.locator(opener).click();
    await hands.sheet.waitFor();
    await look(`sheet-${sheet}`);
    await hands.page.keyboard.press("Escape");
    await hands.gone();
  }
}

for (const light of LIGHTS) {
  for (const language of LANGUAGES) {
    test(`in ${light} light, in ${language}: nothing keeps anybody out, and all text has a contrast of 7:1`, async () => {
      const hands = await page(light, language);
      await hands.prepareAxe();
      const found = [];
      await everything(hands, async (name) => found.push(...(await hands.axe()).map((each) => `${name}: ${each}`)));
      await hands.page.context().close();
      assert.deepEqual(found, []);
    });
  }
}

test("what is pressed is at least 56 px wide and high, on every screen, upright and on a phone", async () => {
  const small = [];
  for (const size of ["tablet", "phone"]) {
    const hands = await page("sun", "es", size);
    await everything(hands, async (name) => {
      const here = await hands.page.evaluate(tooSmall, LEAST_PX);
      small.push(...here.map((each) => `${size} ${name}: ${each}`));
    });
    await hands.page.context().close();
  }
  assert.deepEqual(small, []);
});

test("with text at twice its size nothing is cut off at the side", async () => {
  const hands = await page("sun", "es");
  const wire = await hands.page.context().newCDPSession(hands.page);
  await wire.send("Page.setFontSizes", { fontSizes: { standard: TWICE_PX } });
  const cut = [];
  await everything(hands, async (name) => {
    const here = await hands.page.evaluate(cutOff);
    cut.push(...here.map((each) => `${name}: ${each}`));
  });
  await hands.page.context().close();
  assert.deepEqual(cut, []);
});

test("by keyboard alone a job is opened, a gauge read, and the reading is there", async () => {
  const hands = await page("sun", "en");
  const { keyboard } = hands.page;
  await reach(hands, "Open job J-single");
  await keyboard.press("Enter");
  await hands.page.locator(".screen:not([aria-busy])").waitFor();
  await reach(hands, /^Readings/);
  await keyboard.press("Enter");
  await hands.page.locator(".screen.readings:not([aria-busy])").waitFor();
  await reach(hands, "Read Outlet");
  await keyboard.press("Enter");
  await hands.sheet.waitFor();
  await keyboard.type("57.4");
  await reach(hands, "Save reading");
  await keyboard.press("Enter");
  await hands.gone();
  await hands.page.getByText("57.4 psi").first().waitFor();
  assert.equal(await focused(hands), "Read Outlet", "the focus is back where it came from");
  await hands.page.context().close();
});

test("a picture of everything, in every size and both lights, where pictures are wanted", async () => {
  const taken = [];
  const sizes = process.env.TURNWISE_SHOTS ? Object.keys(SIZES) : ["tablet"];
  for (const size of sizes) {
    for (const light of process.env.TURNWISE_SHOTS ? LIGHTS : ["vault"]) {
      const hands = await page(light, light === "sun" ? "en" : "es", size);
      await everything(hands, async (name) => {
        taken.push(name);
        await hands.picture(`${size}-${light}-${name}`);
      });
      await hands.page.context().close();
    }
  }
  await scene.who.look("who");
  assert.ok(taken.length >= SCREENS.length + Object.keys(SHEETS).length);
});

/** Presses Tab until what is in focus bears this name. */
async function reach(hands, name) {
  const is = (found) => (typeof name === "string" ? found === name : name.test(found));
  for (let presses = 0; presses < 120; presses += 1) {
    if (is(await focused(hands))) return;
    await hands.page.keyboard.press("Tab");
  }
  assert.fail(`Tab never comes to ${name}`);
}

function focused(hands) {
  return hands.page.evaluate(() => {
    const at = document.activeElement;
    return at?.getAttribute("aria-label") ?? at?.textContent?.trim() ?? "";
  });
}

/* The next two run in the page. */

function tooSmall(least) {
  const pressed = document.querySelectorAll("button, a[href], input, select, textarea, summary");
  const dialog = [...document.querySelectorAll("dialog[open]")].at(-1);
  return [...pressed].flatMap((each) => {
    if (dialog && !dialog.contains(each)) return [];
    const target = each.matches("input[type=radio], input[type=checkbox]") ? (each.closest("label") ?? each) : each;
    const { width, height } = target.getBoundingClientRect();
    const shown = width > 0 && height > 0;
    const name = each.getAttribute("aria-label") ?? target.textContent.trim().slice(0, 40);
    return shown && (Math.round(width) < least || Math.round(height) < least) ? [`${name} is ${Math.round(width)} x ${Math.round(height)}`] : [];
  });
}

function cutOff() {
  const found = [];
  if (document.documentElement.scrollWidth > innerWidth) found.push(`the page is ${document.documentElement.scrollWidth} px wide`);
  for (const part of document.querySelectorAll("main, dialog[open] .body")) {
    if (part.scrollWidth > part.clientWidth + 1) found.push(`${part.className || part.tagName} is ${part.scrollWidth} px wide in ${part.clientWidth}`);
  }
  for (const each of document.querySelectorAll("button")) {
    if (each.scrollWidth > each.clientWidth + 1 && getComputedStyle(each).overflowX !== "visible") found.push(`${each.textContent.trim().slice(0, 40)} is cut`);
  }
  return found;
}
