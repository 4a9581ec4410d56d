// What the setting engine says: what it expects, how sure it is, whether the pressure has settled, what it learned.

import type { Answered } from "../../generated/Answered";
import type { LeaveIt } from "../../generated/LeaveIt";
import type { SteadyState } from "../../generated/SteadyState";
import type { Unseen } from "../../generated/Unseen";

type Words<K extends string> = Record<K, string>;

const leave: Words<LeaveIt> = {
  within_tolerance: "Within tolerance. Leave it.",
  gauge_cannot_tell: "This gauge cannot tell it from what is asked. Leave it.",
  finer_than_a_hand: "Closer than a hand can turn. Leave it.",
};

const settled: Words<SteadyState> = {
  steady: "Steady",
  settling: "Still on its way",
  drifting: "Drifting one way",
  hunting: "Swinging to and fro",
  too_short: "Read again to see that it stays",
};

const answered: Words<Exclude<Answered, "plausibly" | "unseen">> = {
  not_at_all: "no answer",
  wrong_way: "the wrong way",
};

const unseen: Words<Unseen> = {
  not_read: "teaches nothing: not read on both sides",
  no_flow: "teaches nothing: no flow shown",
  not_settled: "teaches nothing: not settled",
  other_gauge: "teaches nothing: read on two gauges",
};

export const settingEngine = {
  between: (low: string, high: string) => `between ${low} and ${high}`,
  short: "Short on purpose: the rate is not sure yet.",
  chance: (percent: number) => `${percent} in 100 to be within tolerance`,
  rateBand: (low: string, high: string) => `${low} to ${high}`,
  taught: (turns: number) => (turns === 1 ? "learned from 1 turn" : `learned from ${turns} turns`),
  lost: (turns: string) => `Lost on turning back: ${turns} of a turn`,
  rateTitle: "One turn",
  back: (turn: string) => `Back to as found: ${turn}`,
  readings: (count: number) => (count === 1 ? "1 reading since the turn" : `${count} readings since the turn`),
  perMinute: (slope: string, unit: string) => `${slope} ${unit} a minute`,
  swing: (amplitude: string, seconds: string) => `${amplitude} either way, every ${seconds} s`,
  waitFirst: "Give the water time, then read.",
  waitMore: "Wait, then read again.",
  proveFlow: "Show that water moves",
  plotLine: "what it should read, and its band",
  turnsIn: "Turns in",
  turnsIns: { fraction: "Parts", degrees: "Degrees", flats: "Flats" },
  leave, settled, answered, unseen,
};
