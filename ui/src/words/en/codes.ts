// Words for codes: those of the generated types are complete by type, the others are in `known.ts`.

import type { Agreement } from "../../generated/Agreement";
import type { Body } from "../../generated/Body";
import type { Duty } from "../../generated/Duty";
import type { ElementClass } from "../../generated/ElementClass";
import type { FlowProof } from "../../generated/FlowProof";
import type { JobStatus } from "../../generated/JobStatus";
import type { Level } from "../../generated/Level";
import type { Position } from "../../generated/Position";
import type { Purpose } from "../../generated/Purpose";
import type { Role } from "../../generated/Role";
import type { Safe } from "../../generated/Safe";
import type { StepStatus } from "../../generated/StepStatus";
import type { Unit } from "../../generated/Unit";
import type { Verdict } from "../../generated/Verdict";
import type { Water } from "../../generated/Water";

type Words<K extends string> = Record<K, string>;

export const unit: Words<Unit> = {
  psi: "psi", kPa: "kPa", bar: "bar", MPa: "MPa", Pa: "Pa", GPa: "GPa", "m H2O": "m H₂O", "ft H2O": "ft H₂O",
  atm: "atm", "kgf/cm2": "kgf/cm²", "psi/turn": "psi/turn", "kPa/turn": "kPa/turn", "bar/turn": "bar/turn",
  gpm: "gpm", "L/s": "L/s", "m3/h": "m³/h", cfs: "cfs", turn: "turn", deg: "°", flat: "flat", in: "in", mm: "mm",
  m: "m", ft: "ft", "ft/s": "ft/s", "m/s": "m/s", "kg/m3": "kg/m³", degC: "°C", degF: "°F", s: "s", min: "min",
  Cv: "Cv", Kv: "Kv", "%": "%", "% LFL": "% LFL", ppm: "ppm", thread: "threads", ratio: "ratio",
};

export const position: Words<Position> = { open: "Open", shut: "Shut", throttled: "Throttled" };
export const purpose: Words<Purpose> = {
  as_found: "As found", working: "Working", static_setting: "Static", baseline: "Baseline", lock_up: "Lock-up",
  as_left: "As left",
};
export const water: Words<Water> = { flowing: "Flowing", still: "Still", unknown: "Not known" };
export const duty: Words<Duty> = {
  wrench_hand: "Wrench hand", topside_hand: "Topside hand", attendant: "Attendant",
  entry_supervisor: "Entry supervisor",
};
export const role: Words<Role> = { lead_tech: "Lead tech", technician: "Technician", reader: "Reader" };
export const level: Words<Level> = { top: "Under the lid", middle: "Half way", bottom: "At the floor" };
export const safe: Words<Safe> = {
  only_here: "only on this tablet", with_mate: "with a crew mate", at_office: "at the office",
};
export const agreement: Words<Agreement> = {
  never: "Nobody has said", unknown: "Taken back: nothing is known", agreed: "Agreed", disagreed: "Disagreement",
};
export const flowProof: Words<FlowProof> = {
  meter: "A meter runs", pitot: "A pitot reads", visible_discharge: "Water is seen to come out",
  outlet_fell_on_downward_move: "The outlet fell on a downward turn", stopped: "The water was stopped",
};
export const jobStatus: Words<JobStatus> = {
  new: "New", in_work: "In work", signed: "Signed", re_opened: "Opened again", waiting: "Waiting for its first entry",
};
export const stepStatus: Words<StepStatus> = {
  done: "Done", overridden: "Done, overridden", not_done: "Not done", disagreed: "Disagreement", ready: "Ready",
  waiting: "Waiting", stopped: "Stopped", refused: "Marked, but not accepted",
};
export const verdict: Words<Verdict> = {
  good: "Good", look: "Look closer", outside: "Outside", not_known: "Not known",
};
export const kind: Words<Body["kind"]> = {
  job_opened: "Job opened", request: "Request", particulars: "Particular", line_up: "Line-up", reading: "Reading",
  screw_move: "Screw turned", speed_control: "Speed control", step_mark: "Step", flow_evidence: "Flow",
  atmosphere_test: "Air test", gauge: "Gauge", note: "Note", photo: "Photograph", logger_file: "Logger file", person_joined: "Duty",
  grant: "Role", history: "Earlier visit", withdrawn: "Taken back", resolution: "Settled",
  clock_check: "Clocks compared", initials: "Initials", sign_off: "Signature", re_opened: "Opened again", procedure_file: "Procedure file",
};
export const elementClass: Words<ElementClass> = {
  block_valve: "Block valve", cock: "Cock", gauge_cock: "Gauge cock", bypass: "Bypass",
  vent: "Vent", hydrant: "Hydrant",
};
