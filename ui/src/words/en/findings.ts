// Words for what the readings come to.

import type { AsLeftVerdict } from "../../generated/AsLeftVerdict";
import type { Creep } from "../../generated/Creep";
import type { PairVerdict } from "../../generated/PairVerdict";
import type { SteadyState } from "../../generated/SteadyState";

const asLeft: Record<AsLeftVerdict, string> = {
  inside: "Inside", outside: "Outside", cannot_tell: "Cannot tell with this gauge", not_read: "Not read as left yet",
  no_target: "Nothing to compare with",
};
const creep: Record<Creep, string> = { holds: "Holds", climbs: "Climbs", falls: "Falls", one_reading: "Read once only" };
const pair: Record<PairVerdict, string> = {
  agrees: "Same figure", only_seems_to_differ: "Only seems to differ", differs: "Differ",
};
const steady: Record<SteadyState, string> = {
  steady: "Settled", settling: "Settling", drifting: "Drifting", hunting: "Hunting", too_short: "Too few to say",
};

export const findings = {
  tab: "Right?",
  asLeftTitle: "Is it right?",
  asLeft, creep, pair, steady,
  asked: "Asked",
  read: "Read",
  off: "Off by",
  give: "Give or take",
  sure: (figure: string) => `± ${figure}`,
  assumed: "gauge assumed",
  on: (gauge: string) => `on ${gauge}`,
  droop: "Droop",
  droopFrom: "Outlet, low to high flow",
  flow: "Flow", outlet: "Outlet", cover: "Cover", stem: "Stem",
  lockUp: "Lock-up",
  aboveFlowing: "Above flowing",
  change: "Change",
  minutes: (n: string) => `in ${n} min`,
  warming: (degrees: string) => `As much as ${degrees} °F of warming would make`,
  repeatability: "Comes back to",
  spread: "Spread",
  staticDifference: "On line minus static",
  pairs: "Two gauges or two people",
  noPairs: "No two readings of one point stand close enough to compare.",
  none: "Not read yet",
  apart: (minutes: string) => `${minutes} min apart`,
  together: "at the same time",
  period: (seconds: string, amplitude: string) => `every ${seconds} s, ${amplitude} either way`,
  why: "Why does it not answer?",
};

export const findingsCodes = {
  because: {
    no_request: "Nobody has asked for a pressure.",
    request_disagreed: "Two requests stand. Settle it first.",
    no_as_left: "Read the outlet as left, with water moving.",
    older_than_turn: "The as-left reading is older than the last turn.",
    another_request: "The as-left reading was for another request.",
    without_flow: "Read without water shown to move.",
    gauge_unknown: "The gauge is not on record: one was assumed.",
    default_tolerance: "Tolerance by the default rule.",
    no_droop_told: "Less than the gauge can tell.",
    rises: "It rises with flow: look at the gauge and where it taps.",
    fewer_than_three_flows: "Fewer than three flows.",
    fewer_than_three_cycles: "Fewer than three cycles.",
    spread_not_told: "Less than the gauge can tell.",
    warming_possible: "Trapped water may be warming.",
    cooling_possible: "It may be cooling, or leaking out.",
    once_only: "Read it again after some minutes.",
  },
};
