// A person's hands on one page: what they press, by the names that they see.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { mkdir } from "node:fs/promises";
import path from "node:path";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const SHOTS = process.env.TURNWISE_SHOTS;

export class Hands {
  constructor(page, name) {
    this.page = page;
    this.name = name;
    this.taps = 0;
  }

  button(name, where = this.page) {
    return where.getByRole("button", typeof name === "string" ? { name, exact: true } : { name });
  }

  get sheet() {
    return this.page.getByRole("dialog");
  }

  async tap(what) {
    this.taps += 1;
    await (typeof what === "string" || what instanceof RegExp ? this.button(what) : what).click();
  }

  /** Presses the digits of a figure on the pad of the sheet that is open. */
  async key(digits) {
    const pad = this.sheet.getByRole("group", { name: "Figure", exact: true });
    for (const digit of digits) await this.tap(this.button(digit === "." ? "Decimal point" : digit, pad));
  }

  async pick(legend, option, where = this.sheet) {
    await this.tap(where.getByRole("group", { name: legend, exact: true }).getByRole("radio", { name: new RegExp(`^(✓ ?)?${option}$`) }));
  }

  /** Goes to a screen of the job by the row of screens. */
  async go(screen) {
    await this.tap(this.page.getByRole("navigation").getByRole("link", { name: new RegExp(`^${screen}`) }));
  }

  async gone() {
    await this.sheet.waitFor({ state: "detached" });
  }

  /** Takes a picture where pictures are wanted. */
  async picture(name) {
    if (!SHOTS) return;
    await mkdir(SHOTS, { recursive: true });
    await this.page.screenshot({ path: path.join(SHOTS, `${name}.png`) });
  }

  /** Takes a picture, and lets axe look for what keeps people out. */
  async look(screen) {
    await this.picture(screen);
    await this.prepareAxe();
    assert.deepEqual(await this.axe(), [], `axe on ${screen}`);
  }

  /** Brings axe into the page, told that all text wants 7:1, large or small. */
  async prepareAxe() {
    await this.page.evaluate(AXE);
    await this.page.evaluate(() => {
      const want = { contrastRatio: { normal: { expected: 7 }, large: { expected: 7 } } };
      globalThis.axe.configure({
        checks: [{ id: "color-contrast-enhanced", options: want }],
        rules: [{ id: "color-contrast-enhanced", enabled: true }],
      });
    });
  }

  /** What axe finds in the page, a line each. */
  async axe() {
    const { violations } = await this.page.evaluate(() => globalThis.axe.run());
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 160)).join(" | ")}`);
  }

  /** What the page's own server says, asked with the page's own token. */
  async ask(route, body) {
    return this.page.evaluate(
      async ([to, words]) => {
        const token = Object.values(sessionStorage).find((value) => /^[0-9a-f]{32,}$/.test(value));
        const answer = await fetch(to, {
          method: words === undefined ? "GET" : "POST",
          headers: { Authorization: `Bearer ${token}`, "Content-Type": "application/json" },
          body: words === undefined ? undefined : JSON.stringify(words),
        });
        const said = await answer.json();
        if (!answer.ok) throw new Error(`${to}: ${JSON.stringify(said)}`);
        return said;
      },
      [route, body],
    );
  }

  async view(job, screen) {
    return (await this.ask("/api/view", { job: { job, screen } })).job;
  }

  /** Says something by the command that a screen would send. */
  async tell(job, body, calledBy) {
    await this.command({ record: { job, ...(calledBy === undefined ? {} : { called_by: calledBy }), body } });
  }

  command(command) {
    return this.ask("/api/command", command);
  }
}
