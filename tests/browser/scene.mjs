// A tablet in the middle of its work, with a mate's tablet beside it: what every screen is looked at with. Invented.

import { randomUUID } from "node:crypto";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { chromium } from "playwright-core";
import { Crew } from "./crew.mjs";
import { Hands } from "./hands.mjs";
import { start } from "./program.mjs";

const ANA = "Ana Ruiz";
const BEN = "Ben Cole";
const FIGURES = {
  crew: [ANA, BEN],
  flow: { digits: "160", unit: "gpm" },
  points: { inlet: "131", outlet: "62", cover: "92", spool: "0", stem: "0.4" },
};

/** The kinds of station that are drawn: the valves of each, by their procedures. */
export const STATIONS = {
  single: ["reducing"],
  sustaining: ["reducing_sustaining"],
  relief_beside: ["large_with_relief", "relief"],
  parallel: ["parallel_low_flow", "parallel_large", "relief"],
};

/** Starts Debian's browser. */
export function browse() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

/** One tablet with jobs on it, and a browser. */
export class Scene {
  static async lay() {
    const scene = new Scene();
    scene.data = await mkdtemp(path.join(tmpdir(), "turnwise-looks-"));
    scene.tablet = await start("tablet", "--data", path.join(scene.data, "vault"), "--listen", "127.0.0.1:0", "--name", "vault");
    scene.browser = await browse();
    scene.ana = await scene.open();
    return scene;
  }

  /** Opens a page of its own. */
  async open(how = {}) {
    const context = await this.browser.newContext({
      viewport: { width: 800, height: 1280 }, locale: "en-US", reducedMotion: "reduce", ...how,
    });
    context.setDefaultTimeout(20_000);
    const page = await context.newPage();
    await page.goto(this.tablet.url);
    return new Hands(page, "looks");
  }

  /** Opens a job with a valve for each procedure. */
  async job(number, procedures) {
    const valves = procedures.map((procedure, at) => ({
      id: randomUUID(), name: `PRV ${at + 1}`, procedure, size: { digits: "6", unit: "in" },
    }));
    await this.ana.command({
      open_job: {
        number, customer: "Pine Hollow Water (invented)", site: "Mill Road",
        station: { id: randomUUID(), name: `Vault of ${number}` }, valves,
      },
    });
    const { jobs } = (await this.ana.ask("/api/view", "home")).home;
    return { job: jobs.find((each) => each.number === number).job, valves };
  }

  /** The job half done: a setting under way, and a block valve that two people describe differently. */
  async work({ job, valves: [valve] }) {
    const crew = new Crew(this.ana, job, FIGURES);
    await this.ana.tell(job, {
      kind: "request", valve: valve.id, pressure: psi("55"), tolerance: psi("2"), datum: "at the valve's outlet",
      asked_by: "Operations", zone_limit: psi("80"), replaces: [],
    });
    await crew.steps();
    for (const [level, oxygen] of [["top", "20.9"], ["middle", "20.9"], ["bottom", "20.8"]]) {
      await this.ana.tell(job, air(crew.head.station.id, level, oxygen));
    }
    await crew.tellThrough("tune_and_prove.speed_controls");
    await crew.turn("-1/4");
    FIGURES.points.outlet = "58.5";
    await crew.read("outlet", ["working", "flowing"]);
    await this.differ(crew);
    return crew;
  }

  /** Two people say of one block valve what neither heard from the other. */
  async differ(crew) {
    const { elements } = (await this.ana.view(crew.job, "line_up")).screen.line_up;
    const block = elements.find((each) => each.element === "downstream_block");
    const says = (position) => ({ kind: "line_up", asset: block.asset, element: block.element, position, replaces: block.standing.replaces });
    const ben = randomUUID();
    await this.ana.tell(crew.job, { kind: "person_joined", person: ben, name: BEN, duties: ["topside_hand"], replaces: [] });
    await this.ana.tell(crew.job, says("throttled"));
    await this.ana.tell(crew.job, says("shut"), ben);
  }

  async clear() {
    await this.browser?.close();
    await this.tablet?.stop();
    await rm(this.data, { recursive: true });
  }
}

function air(asset, level, oxygen) {
  return {
    kind: "atmosphere_test", asset, level, oxygen: { digits: oxygen, unit: "%" }, flammable: { digits: "0", unit: "% LFL" },
    carbon_monoxide: { digits: "0", unit: "ppm" }, hydrogen_sulphide: { digits: "0", unit: "ppm" }, meter: "GM-4471", bump_tested: true,
  };
}

function psi(digits) {
  return { digits, unit: "psi" };
}
