// What the crew does on a job: the steps by thumb, and what each step leaves behind.

import assert from "node:assert/strict";

const PSI = (digits) => ({ digits, unit: "psi" });

/** What each particular is told as, where a step asks for it. Invented, but for the spring's arithmetic. */
const PARTICULARS = {
  min_flow: { figure: { digits: "30", unit: "gpm" } },
  min_differential: { figure: PSI("5") },
  screw_height: { figure: { digits: "9", unit: "thread" } },
  stroke_opening: { figure: { digits: "18", unit: "s" } },
  stroke_closing: { figure: { digits: "25", unit: "s" } },
  static_difference: { figure: PSI("0.5") },
};

/** One tablet on one job. */
export class Crew {
  constructor(hands, job, figures) {
    this.hands = hands;
    this.job = job;
    this.figures = figures;
  }

  async steps() {
    const { head, screen } = await this.hands.view(this.job, { steps: {} });
    this.head = head;
    return screen.steps;
  }

  /** Works the steps in order until `until` is the one in hand. Marks by thumb, evidence as it comes. */
  async work(until) {
    const { hands } = this;
    for (let guard = 0; guard < 200; guard += 1) {
      let view = await this.steps();
      if (view.in_hand === null || view.in_hand === until) return;
      for (const condition of view.step.evidence.filter((each) => !each.met)) await this.leave(condition.code);
      view = await this.steps();
      const { step } = view;
      const unmet = [...step.needs, ...step.evidence].filter((each) => !each.met);
      await hands.page.getByText(step.say.en, { exact: true }).first().waitFor();
      if (step.options.length > 0) {
        await hands.tap(usual(step.options).say.en);
      } else if (unmet.length === 0) {
        await hands.tap("Done");
      } else {
        await hands.tap("Override");
        await hands.sheet.getByRole("textbox").fill(`not at hand tonight: ${unmet.map((each) => each.code).join(", ")}`);
        await hands.tap(hands.button("Override", hands.sheet));
        await hands.gone();
      }
      await hands.page.waitForFunction((id) => !document.body.textContent.includes(id), step.say.en);
    }
    assert.fail(`the steps never came to ${until}`);
  }

  /** Works the steps in order until `until` is the one in hand, all of it told by commands: no thumb, no screen. */
  async tellThrough(until) {
    for (let guard = 0; guard < 200; guard += 1) {
      let view = await this.steps();
      if (view.in_hand === null || view.in_hand === until) return;
      for (const condition of view.step.evidence.filter((each) => !each.met)) await this.leave(condition.code);
      view = await this.steps();
      const { step } = view;
      const unmet = [...step.needs, ...step.evidence].filter((each) => !each.met).map((each) => each.code);
      const why = unmet.length === 0 ? {} : { overridden: unmet, reason: "not at hand tonight" };
      await this.hands.tell(this.job, {
        kind: "step_mark", asset: this.head.valve.id, procedure: view.procedure, step: step.id,
        outcome: step.options.length === 0 ? "done" : { chosen: usual(step.options).id }, ...why, replaces: step.mark.replaces,
      });
    }
    assert.fail(`the steps never came to ${until}`);
  }

  /** Leaves on record what a step asks for, by its code. What it does not know is left to be overridden. */
  async leave(code) {
    const [kind, about, ...rest] = code.split("|")[0].split(":");
    const { id: asset } = this.head.valve;
    switch (kind) {
      case "position":
        return this.set(about, rest[0]);
      case "line_up":
        for (const element of (await this.hands.view(this.job, "line_up")).screen.line_up.elements) {
          const says = element.standing.values[0]?.value;
          const wanted = about === "normal" ? element.normal : (says ?? element.normal);
          if (element.standing.agreement !== "agreed" || says !== wanted) await this.set(element.element, wanted);
        }
        return undefined;
      case "reading":
        return this.read(about, rest);
      case "zero":
        return this.hands.tell(this.job, reading(asset, about, "0", "working", "still"));
      case "particular":
        return this.know(about, rest[0]);
      case "gauge":
        return this.gauge(about, rest[0]);
      case "duty":
        return this.take(about);
      case "speed_control": {
        const { controls } = (await this.hands.view(this.job, "line_up")).screen.line_up;
        const standing = controls.find((each) => each.control === about).standing;
        return this.hands.tell(this.job, {
          kind: "speed_control", asset, control: about, open: { digits: "2.5", unit: "turn" }, replaces: standing.replaces,
        });
      }
      case "move":
        return this.turn("-1", about);
      case "flow":
        return this.hands.tell(this.job, {
          kind: "flow_evidence", asset, how: "meter", flow: this.figures.flow, place: "H-114",
        });
      case "note":
        return this.hands.tell(this.job, { kind: "note", text: "looked, and it is as it should be" });
      default:
        return undefined;
    }
  }

  async turn(digits, screw = "pilot") {
    await this.hands.tell(this.job, {
      kind: "screw_move", asset: this.head.valve.id, screw, turn: { digits, unit: "turn" }, request: await this.request(),
    });
  }

  async request() {
    return (await this.hands.view(this.job, "setting")).screen.setting.request;
  }

  async set(element, how) {
    const found = (await this.hands.view(this.job, "line_up")).screen.line_up.elements.find((each) => each.element === element);
    const position = { recorded: found.normal, normal: found.normal, not_shut: "throttled" }[how] ?? how;
    await this.hands.tell(this.job, {
      kind: "line_up", asset: found.asset, element, position, replaces: found.standing.replaces,
    });
  }

  async read(point, words) {
    const purposes = ["as_found", "working", "static_setting", "baseline", "lock_up", "as_left"];
    const purpose = words.find((word) => purposes.includes(word)) ?? "working";
    const water = ["flowing", "still"].find((word) => words.includes(word)) ?? (point === "spool" ? "still" : "flowing");
    const times = Number(words.find((word) => /^\d+$/.test(word)) ?? 1);
    const request = purpose === "as_left" ? await this.request() : null;
    for (let time = 0; time < times; time += 1) {
      const digits = this.figures.points[point] ?? this.figures.points.outlet;
      await this.hands.tell(this.job, { ...reading(this.head.valve.id, point, digits, purpose, water), request });
    }
  }

  async know(name, is) {
    const { particulars } = (await this.hands.view(this.job, "pre_job")).screen.pre_job;
    const found = particulars.find((each) => each.name === name);
    const word = is ?? found.choices[0]?.id ?? "as it should be";
    const value = PARTICULARS[name] ?? { text: word };
    await this.hands.tell(this.job, {
      kind: "particulars", asset: found.asset, name, value, replaces: found.standing.replaces,
    });
  }

  async gauge(point, zero) {
    const { gauges } = (await this.hands.view(this.job, "pre_job")).screen.pre_job;
    const serial = `G-${point}`;
    const known = gauges.find((each) => each.values[0]?.value.serial === serial);
    const before = known?.values[0]?.value ?? { serial, point, span: PSI("200"), grade: "1A", resolution: PSI("1"), calibration_due: "2027-03-01" };
    const checked = zero === undefined ? {} : { [zero]: PSI("0") };
    await this.hands.tell(this.job, { ...before, ...checked, kind: "gauge", replaces: known?.replaces ?? [] });
  }

  async take(duty) {
    const { people } = (await this.hands.view(this.job, "crew")).screen.crew;
    const name = { wrench_hand: 0, topside_hand: 1 }[duty] === undefined ? "Marta Solano" : this.figures.crew[{ wrench_hand: 0, topside_hand: 1 }[duty]];
    const member = people.find((each) => each.person.name === name);
    const id = member?.person.id ?? "0f5a1f2e-9f0c-5d3a-8a52-3f2f6a1b7c01";
    const duties = [...new Set([...(member?.duties ?? []), duty])];
    await this.hands.tell(this.job, { kind: "person_joined", person: id, name, duties, replaces: member?.replaces ?? [] });
  }
}

/** The answer that lets a job go on. */
function usual(options) {
  return options.find((each) => ["yes", "not_listed", "moving", "flowing"].includes(each.id)) ?? options[0];
}

function reading(asset, point, digits, purpose, water) {
  const gauge = ["inlet", "outlet"].includes(point) ? `G-${point}` : null;
  return { kind: "reading", asset, point, figure: PSI(digits), purpose, water, gauge };
}
