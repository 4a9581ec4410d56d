// The main job, as three people do it: an office, a wrench hand underground, a topside hand at the hydrant.
//
// The valve's figures are those of VALVE-3891 in Net6 (shipped with the Python package wntr 1.5.0); people and
// places are invented.

import assert from "node:assert/strict";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, test as step } from "node:test";
import { chromium } from "playwright-core";
import { Crew } from "./crew.mjs";
import { Hands } from "./hands.mjs";
import { start } from "./program.mjs";
import { Wire } from "./wire.mjs";

const ANA = "Ana Ruiz";
const LUIS = "Luis Vega";
const FIGURES = {
  crew: [ANA, LUIS],
  flow: { digits: "156.35", unit: "gpm" },
  points: { inlet: "131.59", outlet: "55.03", cover: "92", spool: "0", stem: "0.4" },
};
const SCREEN = { width: 800, height: 1280 };

let data, browser, office, wires, tablets, hands;

before(async () => {
  data = await mkdtemp(path.join(tmpdir(), "turnwise-browser-"));
  const [toOffice1, toOffice2, toMate] = await Promise.all([Wire.lay(), Wire.lay(), Wire.lay()]);
  wires = [toOffice1, toOffice2, toMate];
  office = await start("office", "--data", path.join(data, "office"), "--listen", "127.0.0.1:0");
  const tablet = (name, ...links) =>
    start("tablet", "--data", path.join(data, name), "--listen", "127.0.0.1:0", "--name", name, ...links);
  tablets = {
    luis: await tablet("topside", "--office", `ws://127.0.0.1:${toOffice2.port}/link`),
    ana: await tablet(
      "vault", "--office", `ws://127.0.0.1:${toOffice1.port}/link`, "--peer", `ws://127.0.0.1:${toMate.port}/link`,
    ),
  };
  await Promise.all([toOffice1.join(office.port), toOffice2.join(office.port), toMate.join(tablets.luis.port)]);
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  const page = async (url, viewport) => {
    const context = await browser.newContext({ viewport, locale: "en-US", reducedMotion: "reduce", acceptDownloads: true });
    context.setDefaultTimeout(30_000);
    const opened = await context.newPage();
    await opened.goto(url);
    return opened;
  };
  hands = {
    office: new Hands(await page(office.url, { width: 1280, height: 900 }), "office"),
    ana: new Hands(await page(tablets.ana.url, SCREEN), "ana"),
    luis: new Hands(await page(tablets.luis.url, SCREEN), "luis"),
  };
});

after(async () => {
  await browser?.close();
  for (const wire of wires ?? []) await wire.cut();
  for (const program of [tablets?.ana, tablets?.luis, office]) await program?.stop();
  if (data) await rm(data, { recursive: true });
});

/** One step of the story. What follows a step that failed cannot happen, and says so at once. */
let broken = null;
const test = (sentence, happens) =>
  step(sentence, async () => {
    assert.equal(broken, null, `not begun: "${broken}" failed before`);
    broken = sentence;
    try {
      await happens();
    } catch (error) {
      for (const who of Object.values(hands)) await who.picture(`failed-${who.name}`);
      throw error;
    }
    broken = null;
  });

const cut = () => Promise.all(wires.map((wire) => wire.cut()));
const join = () => Promise.all(wires.map((wire) => wire.join()));

/** Sets the downstream block valve by thumb, on the line-up. */
async function setBlock(who, position) {
  await who.go("Line-up");
  await who.tap(/^Downstream block valve: /);
  await who.pick("It stands", position);
  await who.tap(who.button(`Record: ${position}`, who.sheet));
  await who.gone();
}

/** Keys one reading by thumb. */
async function read(who, point, digits, purpose, water) {
  await who.go("Readings");
  await who.tap(`Read ${point}`);
  await who.pick("Read for", purpose);
  await who.pick("Water", water);
  await who.key(digits);
  await who.tap(who.button("Save reading", who.sheet));
  await who.gone();
}

let job, ana, luis;

test("the office hands out a job and both tablets fetch it", async () => {
  const { page } = hands.office;
  await hands.office.tap(page.getByRole("link", { name: "Hand out a job" }).or(hands.office.button("Hand out a job")).first());
  const fields = {
    "Job number": "J-3891", Customer: "Valle Water District", Site: "Alder Street and 4th", Station: "Alder vault",
    Valve: "PRV 3891", "Nominal size": "6", "Outlet pressure": "55", "Give or take": "2", "Zone limit": "80",
    "Measured at": "at the valve", "Asked by": "Operations", "Lowest setting": "30", "Highest setting": "300", Rate: "27",
  };
  for (const [label, words] of Object.entries(fields)) await page.getByLabel(label, { exact: true }).fill(words);
  await page.getByLabel("Name 1", { exact: true }).fill(ANA);
  if ((await page.getByLabel("Name 2", { exact: true }).count()) === 0) await hands.office.tap("Add a name");
  await page.getByLabel("Name 2", { exact: true }).fill(LUIS);
  await page.getByLabel("Role 2", { exact: true }).selectOption("technician");
  await hands.office.look("office-hand-out");
  await page.locator("form").getByRole("button", { name: "Hand out a job" }).click();

  for (const [who, name] of [[hands.ana, ANA], [hands.luis, LUIS]]) {
    await who.page.getByLabel("Your name").fill(name);
    await who.tap("That is me");
    await who.button(/J-3891/).or(who.page.getByRole("link", { name: /J-3891/ })).first().waitFor();
    await who.look(`${who.name}-jobs`);
    await who.button(/J-3891/).or(who.page.getByRole("link", { name: /J-3891/ })).first().click();
  }
  const home = await hands.ana.ask("/api/view", "home");
  job = home.home.jobs[0].job;
  ana = new Crew(hands.ana, job, FIGURES);
  luis = new Crew(hands.luis, job, FIGURES);
});

test("apart, one works the valve through the flowing path and the other reads topside", async () => {
  await cut();
  await hands.ana.go("Pre-job");
  await hands.ana.page.getByRole("heading", { name: "What is asked" }).waitFor();
  await hands.ana.look("ana-pre-job");

  // The air, by thumb: nothing below this goes on without it.
  await ana.steps();
  await hands.ana.go("Steps");
  await ana.work("entry.pick_hole");
  for (const level of ["Under the lid", "Half way", "At the floor"]) {
    await hands.ana.go("Readings");
    await hands.ana.tap(hands.ana.page.getByRole("radio", { name: /Air$/ }));
    await hands.ana.tap("Add an air test");
    await hands.ana.pick("Level", level);
    await hands.ana.sheet.getByLabel("Meter serial").fill("GM-4471");
    await hands.ana.pick("Bump tested today", "Yes");
    for (const [at, digits] of ["20.9", "0", "2", "0"].entries()) {
      await hands.ana.key(digits);
      if (at < 3) await hands.ana.tap(hands.ana.sheet.getByRole("button", { name: ["Flammable", "CO", "H₂S"][at], exact: true }));
    }
    if (level === "Under the lid") await hands.ana.look("ana-air");
    await hands.ana.tap(hands.ana.button("Save", hands.ana.sheet));
    await hands.ana.gone();
  }
  await hands.ana.go("Steps");
  await hands.ana.look("ana-step");
  await ana.work("tune_and_prove.speed_controls");
  const steps = await ana.steps();
  assert.equal(steps.in_hand, "tune_and_prove.speed_controls");

  await hands.luis.go("Readings");
  await read(hands.luis, "System, beyond the downstream block", "55.4", "Working", "Flowing");
  await read(hands.luis, "Hydrant or tap", "54.0", "Working", "Flowing");
  await hands.luis.look("luis-readings");
});

test("apart, both set the downstream block valve, each differently", async () => {
  await setBlock(hands.ana, "Throttled");
  await setBlock(hands.luis, "Shut");
  const { screen } = await hands.ana.view(job, "line_up");
  const block = screen.line_up.elements.find((each) => each.element === "downstream_block");
  assert.equal(block.standing.agreement, "agreed", "nobody has heard of the other yet");
  const { head } = await hands.ana.view(job, "line_up");
  assert.ok(head.custody.only_here > 50, "nothing of the work has left the tablet");
});

test("the customer changes the request meanwhile", async () => {
  const { page } = hands.office;
  await page.goto(`${new URL(office.url).origin}/#/job/${job}`);
  await hands.office.tap("Change the request");
  await page.getByLabel("Outlet pressure", { exact: true }).fill("52");
  await page.getByLabel("Asked by", { exact: true }).fill("Operations, by telephone");
  await hands.office.tap("Send the change");
  await page.getByText("The change is on its way to the crew").waitFor();
});

test("back in reach both states stand, named, on both tablets, and the crew is told of the new request", async () => {
  await join();
  for (const who of [hands.ana, hands.luis]) {
    await who.go("Line-up");
    const both = who.page.getByRole("group", { name: /Downstream block valve/ });
    await both.waitFor();
    const words = await both.innerText();
    for (const each of [ANA, LUIS, "Shut", "Throttled"]) assert.match(words, new RegExp(each));
    await both.scrollIntoViewIfNeeded();
    await who.look(`${who.name}-disagreement`);
    await who.page.getByText(/52/).first().waitFor();
    const { head } = await who.view(job, "setting");
    assert.equal(head.request_changed.worked_to.digits, "55");
    assert.equal(head.request_changed.asked.digits, "52");
  }
});

test("a named person settles it, with a reason", async () => {
  await hands.ana.tap("Settle Downstream block valve");
  await hands.ana.tap(hands.ana.sheet.getByRole("radio", { name: "Open", exact: true }));
  await hands.ana.sheet.getByRole("textbox").fill("went and looked: fully open");
  await hands.ana.look("ana-settle");
  await hands.ana.tap(hands.ana.button("Settle it", hands.ana.sheet));
  await hands.ana.gone();
  await hands.luis.page.getByRole("group", { name: /Downstream block valve/ }).waitFor({ state: "detached" });
});

test("the valve is set to the new request by the drawn screw", async () => {
  await hands.ana.go("Setting");
  await hands.ana.page.getByText("Expect", { exact: false }).first().waitFor();
  await hands.ana.look("ana-setting");
  await hands.ana.tap(/^Turned it/);
  await hands.ana.page.getByText("Before the last turn").first().waitFor();
  await hands.ana.look("ana-setting-stale");
  await read(hands.ana, "Outlet", "52.1", "Working", "Flowing");
  FIGURES.points.outlet = "52.1";
  FIGURES.points.spool = "54";
  const { head } = await hands.ana.view(job, "setting");
  assert.equal(head.request_changed, null);
});

test("close-out lists what is missing until nothing is", async () => {
  await hands.ana.go("Close out");
  await hands.ana.page.getByText(/Still missing/).waitFor();
  await hands.ana.look("ana-close-out-missing");
  await hands.ana.go("Steps");
  await ana.work("close_out.initials");
  await read(hands.ana, "Outlet", "52.1", "As left", "Flowing");
  await ana.leave("line_up:normal");
  for (const who of [hands.luis, hands.ana]) {
    const name = who === hands.ana ? ANA : LUIS;
    await who.go("Close out");
    await who.tap(`${name} initials`);
    await who.tap(who.button(`${name} initials`, who.sheet));
    await who.gone();
  }
  const left = async () => (await hands.ana.view(job, "close_out")).screen.close_out;
  let view = await left();
  for (let tries = 0; view.missing.length > 0 && tries < 100; tries += 1) {
    if (view.missing.every((each) => each.code !== "initials")) break;
    await new Promise((soon) => setTimeout(soon, 100));
    view = await left();
  }
  assert.deepEqual(view.missing.map((each) => each.code + " " + each.say.en), []);
  await hands.ana.page.getByText("Nothing is missing.").waitFor();
});

test("the lead tech signs what is shown, and the office has it", async () => {
  await hands.ana.tap("Sign the record");
  await hands.ana.look("ana-sign");
  await hands.ana.tap(hands.ana.button("Sign the record", hands.ana.sheet));
  await hands.ana.gone();
  const signed = (await hands.ana.view(job, "close_out")).screen.close_out.signed[0];
  await hands.ana.look("ana-signed");

  const { page } = hands.office;
  await page.getByText(new RegExp(`Signed by ${ANA}`)).waitFor();
  await page.getByText(signed.digest).waitFor();
  await hands.office.look("office-signed");
  const [download] = await Promise.all([page.waitForEvent("download"), hands.office.tap("Download everything (JSON)")]);
  const exported = await readFile(await download.path(), "utf8");
  JSON.parse(exported);
  for (const digits of ["131.59", "55.03", "55.4", "54.0", "52.1", "20.9"]) {
    assert.ok(exported.includes(`"${digits}"`), `${digits} is in the export as it was typed`);
  }
});
