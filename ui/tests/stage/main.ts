// The tablet over the fixtures, to look at. `?is=` picks a moment of the job.

import "../../src/shared/style/tokens.css";
import "../../src/shared/style/base.css";
import { mount } from "svelte";
import App from "../../src/tablet/App.svelte";
import { FakeBridge } from "./fake-bridge";
import * as fixtures from "./fixtures";

const bridge = new FakeBridge();
const asked = new URLSearchParams(location.search).get("is");
if (asked === "waiting") bridge.screens["setting"] = { setting: fixtures.waiting() };
if (asked === "no_plan") bridge.screens["setting"] = { setting: fixtures.setting({ plan: null, no_plan: ["no_rate", "no_reading"], outlet: null, warnings: ["no_flow_evidence", "near_end"], flow: null, moves: [], plot: [], total: null }) };
const set = fixtures.setting();
if (asked === "settling") {
  bridge.screens["setting"] = {
    setting: fixtures.setting({
      plan: null, no_plan: ["still_settling"],
      settled: set.settled && { ...set.settled, state: "settling", samples: 4, slope_per_minute: "-4.2" },
    }),
  };
}
if (asked === "hunting") {
  bridge.screens["setting"] = {
    setting: fixtures.setting({
      plan: null, no_plan: ["hunting"], warnings: ["dead_band_large", "near_spring_end"],
      settled: set.settled && { ...set.settled, state: "hunting", samples: 7, amplitude: { digits: "1.5", unit: "psi" }, period_s: "12.0" },
    }),
  };
}
if (asked === "unanswered") {
  bridge.screens["setting"] = { setting: fixtures.setting({ plan: null, no_plan: ["prove_flow_again"], warnings: ["no_answer"] }) };
}
if (asked === "leave" && set.plan) {
  bridge.screens["setting"] = { setting: fixtures.setting({ plan: { ...set.plan, leave_it: true, leave: "within_tolerance" } }) };
}
if (asked === "alarm") {
  bridge.head = fixtures.head({
    alarm: { reading: fixtures.reading({ figure: { digits: "84", unit: "psi" }, over_limit: true }), limit: { digits: "80", unit: "psi" } },
    request_changed: { worked_to: { digits: "55", unit: "psi" }, asked: { digits: "52", unit: "psi" }, said: fixtures.said(), entries: [] },
  });
}
if (asked === "empty") bridge.home = { ...bridge.home, jobs: [] };
if (asked === "who") bridge.home = { ...bridge.home, me: null };
const step = fixtures.steps.step;
if (asked === "stopped" && step) {
  bridge.screens["steps"] = { steps: { ...fixtures.steps, step: { ...step, status: "stopped", stops: step.stops.map((stop) => ({ ...stop, in_force: true })) } } };
}
if (asked === "question" && step) {
  const options = [
    { id: "yes", say: { en: "Yes: water can be moved", es: "Sí: se puede mover agua" } },
    { id: "no", say: { en: "No: set it static for now", es: "No: ajuste estático por ahora" } },
  ];
  bridge.screens["steps"] = { steps: { ...fixtures.steps, step: { ...step, options, evidence: [], caution: null } } };
}
if (asked === "met" && step) {
  bridge.screens["steps"] = { steps: { ...fixtures.steps, step: { ...step, evidence: step.evidence.map((each) => ({ ...each, met: true })) } } };
}
if (asked === "ready") {
  bridge.screens["close_out"] = { close_out: { ...fixtures.closeOut, missing: [], review: [], can_sign: true, cannot_sign: [], initials: fixtures.closeOut.initials.map((each) => ({ ...each, initialled: each.entries })) } };
}

const target = document.getElementById("app");
if (target === null) throw new Error("no place to stand");
mount(App, { target, props: { bridge } });
