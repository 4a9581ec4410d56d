// Words of the checks before the work: complete by their generated types.

import type { CheckCode } from "../../generated/CheckCode";
import type { CheckNote } from "../../generated/CheckNote";
import type { Citation } from "../../generated/Citation";
import type { FigureName } from "../../generated/FigureName";
import type { LimitName } from "../../generated/LimitName";
import type { NotKnownBecause } from "../../generated/NotKnownBecause";
import type { RuleKind } from "../../generated/RuleKind";

type Words<K extends string> = Record<K, string>;

const check: Words<CheckCode> = {
  spring_range: "Inside the spring's range",
  min_differential: "Enough inlet pressure",
  choked_flow: "Flow not choked",
  cavitation: "Cavitation",
  velocity: "Velocity at peak flow",
  opening_at_peak: "Opening at peak flow",
  opening_at_least: "Opening at the least flow",
  least_flow: "Least flow for the valve",
  highest_customer: "Highest customer",
  lowest_customer: "Lowest customer",
  building_static: "Still pressure in buildings",
  zone_limit: "Under the zone's limit",
  relief_margin: "Relief above the set point",
  stagger: "Low-flow valve above the large one",
  stagger_tolerance: "Tolerance in a stagger",
  gauge_range: "Gauge range",
  flow_test: "Hydrant flow test",
};

const figureName: Words<FigureName> = {
  target: "asked",
  spring_low: "lowest setting",
  spring_high: "highest setting",
  inside_from: "well inside from",
  inside_to: "to",
  inlet_low: "inlet at its lowest",
  inlet_high: "inlet at its highest",
  inlet_read: "inlet as read",
  min_differential: "minimum differential",
  drop: "drop",
  choked_drop: "chokes at a drop of",
  recovery: "FL",
  sigma: "sigma",
  sigma_limit: "manual's least sigma",
  pressure_ratio: "inlet over outlet, absolute",
  size: "size",
  flow_low: "least flow",
  flow_peak: "peak flow",
  min_flow: "manual's minimum",
  velocity: "velocity",
  coefficient: "full open",
  needed_coefficient: "needed",
  share: "share of full open",
  datum_elevation: "asked at elevation",
  customer_elevation: "customer at elevation",
  customer_pressure: "pressure there",
  zone_limit: "zone limit",
  beside: "set point beside",
  apart: "apart",
  tolerance: "give or take",
  span: "full scale",
  expected: "will read",
  share_of_span: "share of full scale",
  test_flow: "test flow",
  test_static: "static",
  test_residual: "residual",
  keep: "pressure to keep",
  available: "available there",
};

const checkNote: Words<CheckNote> = {
  sigma_by_inlet: "Sigma is (P1 − Pv)/(P1 − P2), absolute, water at 15 °C. A limit printed for (P2 − Pv)/(P1 − P2) is 1 less.",
  by_ratio_only: "The valve's own sigma limit is not on record: only the ratio of the pressures was looked at.",
  inlet_as_read: "The inlet is the last reading; the extreme of the day is not on record.",
  nominal_bore: "The nominal size was taken for the bore.",
  share_of_coefficient: "A share of the flow coefficient, not of the stroke.",
  still_water: "Still water: friction at high flow takes more.",
  keep_valved_off: "The inlet is beyond its scale: keep it valved off until the valve is proven.",
  not_behind_regulating_valve: "The law with exponent 0.54 does not hold downstream of a regulating valve.",
  small_drop: "The test drew down less than a quarter of the static pressure: do not trust it far.",
  no_sense: "These figures make no sense together.",
};

const citation: Words<Citation> = {
  ten_states: "Ten States Standards 8.2.1 (section from memory)",
  plumbing_codes: "IPC 604.8, UPC 608.2 (sections from memory)",
  iec60534: "IEC 60534-2-1 / ISA-75.01.01",
  isa_rp7523: "index by ISA-RP75.23",
  nfpa291: "NFPA 291",
};

const ruleKind: Words<RuleKind> = {
  code: "Code",
  standard: "Published standard",
  common_practice: "Common practice, no source",
  manual: "The valve's plate or manual",
};

const limitName: Words<LimitName> = {
  limit_spring_margin: "Kept off the spring's ends",
  limit_pressure_ratio: "Inlet over outlet: look from",
  limit_velocity: "Velocity at most",
  limit_share_at_peak: "Opening at most",
  limit_share_at_least: "Opening at least",
  limit_ground_low: "At ground level at least",
  limit_normal_low: "Normally at least",
  limit_normal_high: "Normally at most",
  limit_building_static: "In buildings at most",
  limit_relief_margin: "Relief above at least",
  limit_stagger: "Apart at least",
  limit_stagger_most: "Apart at most",
  limit_stagger_tolerance: "Give or take at most",
  limit_gauge_low: "Reads from",
  limit_gauge_high: "Reads up to",
};

const notKnownBecause: Words<NotKnownBecause> = {
  not_said: "not known",
  disagreed: "two figures stand",
  no_figure: "what stands is no usable figure",
};

/** What a check misses and the particulars it asks for, where the procedure has no words for them. */
const toldForChecks = {
  request: "Pressure asked",
  request_beside: "Request of the valve beside",
  zone_limit: "Zone limit",
  tolerance: "Tolerance",
  gauge: "Gauge",
  inlet_low: "Inlet, lowest of the day",
  inlet_high: "Inlet, highest of the day",
  flow_low: "Least flow of the zone",
  flow_peak: "Peak flow of the zone",
  coefficient: "Flow coefficient, full open",
  recovery: "Recovery factor FL",
  sigma_limit: "Least sigma (P1 − Pv)/(P1 − P2)",
  datum_elevation: "Elevation the request is meant at",
  lowest_customer: "Elevation of the lowest customer",
  highest_customer: "Elevation of the highest customer",
  relief_opens_at: "Relief valve opens at",
  highest_reducing: "Highest reducing set point",
  other_set_point: "Set point of the other valve",
  test_side: "Flow test made",
  test_flow: "Flow of the test",
  test_static: "Static pressure of the test",
  test_residual: "Residual pressure of the test",
};

export const checkCodes = { limitName, toldForChecks };

export const checks = {
  instead: (figure: string) => `instead of ${figure}`,
  changed: "changed by the owner",
  limitsDisagree: "two owner's figures stand: the default counts",
  cannotSay: "Cannot say yet",
  cannotSayHint: "What is missing for these checks. Key in what you have; the rest stays open.",
  keyIn: (name: string) => `Key in: ${name}`,
  forChecks: (known: number, all: number) => `Particulars for the checks: ${known} of ${all} known`,
  limits: (changed: number) => (changed === 0 ? "Limits of the checks" : `Limits of the checks: ${changed} changed`),
  limitsHint: "Defaults. An owner may set others; the change is an entry of its own and shows beside the default.",
  byDefault: "default",
  advises: "The tool advises. The valve's manual, local codes and licensed people decide.",
  check,
  figureName,
  note: checkNote,
  citation,
  ruleKind,
  because: notKnownBecause,
};
