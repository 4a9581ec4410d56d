// Words of the fault-finder. Of a sign: what to look at, how, and what is so or not so.

import type { Cause } from "../../generated/Cause";
import type { CauseStanding } from "../../generated/CauseStanding";
import type { Sign } from "../../generated/Sign";
import type { Symptom } from "../../generated/Symptom";

interface SignWords {
  readonly ask: string;
  readonly how: string;
  readonly so: string;
  readonly not: string;
}

const signs: Record<Sign, SignWords> = {
  outlet_equals_inlet: {
    ask: "Does the outlet read what the inlet reads?",
    how: "Read both gauges, one right after the other.",
    so: "Outlet equals inlet", not: "Outlet and inlet differ",
  },
  stem_open: {
    ask: "Is the stem off its seat?",
    how: "Look at the position indicator. It may be jammed: it proves no flow.",
    so: "Stem open", not: "Stem on its seat",
  },
  inlet_swings: {
    ask: "Does the inlet swing too?",
    how: "Watch the inlet gauge for several swings.",
    so: "Inlet swings too", not: "Inlet is steady",
  },
  both_valves_swing: {
    ask: "Does another valve of the station swing too?",
    how: "Watch the stems and gauges of both valves.",
    so: "Both valves swing", not: "Only this valve swings",
  },
  setting_above_inlet: {
    ask: "Is it set above the inlet pressure?",
    how: "Compare the last setting known with the inlet gauge.",
    so: "Set above the inlet", not: "Set below the inlet",
  },
  gauge_line_blocked: {
    ask: "Is the gauge's cock shut, or its snubber or line plugged?",
    how: "Open the gauge cock. Vent the gauge a little: it must fall and come back.",
    so: "Gauge cock shut or line plugged", not: "Gauge and its line are clear",
  },
  bypass_open_or_passing: {
    ask: "Is the bypass open, or does it pass?",
    how: "Look at its handwheel, count turns against turns expected, listen at it.",
    so: "Bypass open or passing", not: "Bypass shut and tight",
  },
  flow_proven: {
    ask: "Is water proven to run through the valve?",
    how: "A meter, a pitot, water seen to come out, or an outlet that falls on a downward turn. Nothing else.",
    so: "Flow proven", not: "No flow",
  },
  falls_when_tap_opened: {
    ask: "Does the outlet fall when a tap behind it is opened?",
    how: "Open a tap or hydrant downstream a little and watch the outlet.",
    so: "Outlet falls when a tap is opened", not: "Outlet stays when a tap is opened",
  },
  cover_follows_screw: {
    ask: "Does the cover pressure change when the screw is turned?",
    how: "Read the cover, make the planned turn, wait, read the cover again.",
    so: "Cover pressure follows the screw", not: "Cover pressure does not follow",
  },
  supply_at_cover: {
    ask: "Is there supply pressure at the cover?",
    how: "Inlet and cover cocks open. Read the cover gauge.",
    so: "Supply at the cover", not: "No supply at the cover",
  },
  cover_at_inlet_pressure: {
    ask: "Does the cover stand at inlet pressure?",
    how: "Read cover and inlet, one right after the other.",
    so: "Cover at inlet pressure", not: "Cover below inlet pressure",
  },
  rate_steady: {
    ask: "Is the rate the same from turn to turn?",
    how: "Compare at least two turns the same way, with water moving and settled.",
    so: "Same rate at every turn", not: "Rate changes from turn to turn",
  },
  only_on_reversal: {
    ask: "Is the rate off only after a change of direction?",
    how: "Compare the first turn after a reversal with the next one the same way.",
    so: "Off on reversal only", not: "Off both ways",
  },
  shrinks_toward_inlet: {
    ask: "Does each turn do less, the nearer the outlet comes to the inlet?",
    how: "Compare turns low down with turns near the inlet pressure.",
    so: "Answer shrinks toward the inlet", not: "Answer does not shrink",
  },
  only_below_some_flow: {
    ask: "Does it swing only at low flow?",
    how: "Let more water run, a little at a time, and watch.",
    so: "Swings only below some flow", not: "Swings at higher flow too",
  },
  follows_temperature: {
    ask: "Does the climb follow the temperature?",
    how: "Sun on the pipe, water standing: warming alone makes about 25 psi a degree F. Shade it, wait, read again.",
    so: "Climb follows the temperature", not: "Climb does not follow the temperature",
  },
  stops_after_bleeding: {
    ask: "Does it stop after the air is bled?",
    how: "Bleed slowly at every high point until solid water. A wide-open cover vent opens the valve.",
    so: "Stops after bleeding", not: "Goes on after bleeding",
  },
  stops_when_slowed: {
    ask: "Does it stop when a speed control is closed in a little?",
    how: "An eighth of a turn, and count it. Never shut a closing control right in.",
    so: "Stops when slowed", not: "Goes on when slowed",
  },
  other_feeds_proven_shut: {
    ask: "Are the bypass and every other feed proven shut?",
    how: "Prove each one shut before the main seat is blamed.",
    so: "Other feeds proven shut", not: "Another feed is open or passes",
  },
  stops_with_pilot_isolated: {
    ask: "Does the climb stop with the pilot isolated and the cover pressurised?",
    how: "Downstream block shut first: the valve does not regulate meanwhile. Watch the spool.",
    so: "Climb stops with the pilot isolated", not: "Climb goes on with the pilot isolated",
  },
  opens_when_cover_vented: {
    ask: "Does it open when the cover is vented?",
    how: "Downstream block shut first. Then vent the cover slowly and watch the stem; watch the spool against the zone's limit.",
    so: "Opens when the cover is vented", not: "Does not open when the cover is vented",
  },
  vent_runs_with_cover_cock_shut: {
    ask: "Does the cover vent go on running with the cover cock shut?",
    how: "Downstream block shut AND cover cock shut, then vent the cover. With the cock open it runs in health too and says nothing.",
    so: "Vent runs with the cover cock shut", not: "Vent runs dry with the cover cock shut",
  },
};

const cause: Record<Cause, { readonly name: string; readonly next: string }> = {
  no_flow_or_held_open: { name: "No flow, or the valve is held open", next: "Find flow first. Turn nothing before." },
  dead_end: { name: "No flow: a dead end", next: "Open a tap or hydrant downstream, prove flow, then set." },
  main_valve_bound: { name: "Main valve bound, or debris in it", next: "Isolate and vent before opening it." },
  control_blocked: { name: "Pilot, strainer or restriction blocked, or a cock shut", next: "Look at every cock, then the strainer, then the restriction." },
  other_spring: { name: "Another spring than recorded", next: "Read the spring's own mark; correct the particulars." },
  dead_band: { name: "Friction: a dead band on reversal", next: "Come to the target from one side." },
  starved: { name: "Starved: the inlet is too low", next: "Turning further in brings nothing. Raise the inlet or ask less." },
  air: { name: "Air in the control circuit", next: "Bleed until solid water, and again after any opening." },
  too_fast: { name: "It answers too fast", next: "Leave the speed control where it stopped; record the turns." },
  oversized: { name: "Oversized for that flow", next: "Use or add a low-flow valve." },
  set_points_too_close: { name: "Set points of two valves too close", next: "Move them apart: usually 5 psi or more." },
  upstream: { name: "The cause is upstream", next: "Look at what feeds the station." },
  diaphragm_or_stem_seal: { name: "Diaphragm or stem seal leaks", next: "Only a block valve helps now. Isolate; repair kit." },
  supply_blocked: { name: "No supply to the cover", next: "Inlet cock, cover cock, strainer, restriction." },
  debris_or_stem_bound: { name: "Debris on the seat, or the stem bound", next: "Flush by exercising; else isolate, vent and open it." },
  pilot_shut_or_drain_blocked: { name: "Pilot shut, or its drain path blocked", next: "Outlet cock first, then the pilot." },
  bound_or_no_differential: { name: "Valve bound, or no differential", next: "Compare inlet and outlet; else it is bound." },
  bypass: { name: "Bypass open or passing", next: "Shut it and prove it tight." },
  setting_above_inlet: { name: "Set above the inlet pressure", next: "Lower the setting, with water moving." },
  warming: { name: "Trapped water warms", next: "Not a leak. Shade it or let it settle, then test again." },
  pilot_seat: { name: "Pilot seat leaks", next: "Clean or renew the pilot's seat." },
  bypass_or_other_feed: { name: "Bypass, or another feed", next: "Prove those shut before the main seat is blamed." },
  main_seat: { name: "Main seat leaks", next: "Isolate, vent, look at seat and disc." },
  gauge_line: { name: "The gauge, not the valve", next: "Open its cock, clear snubber or line, or fit another gauge." },
};

const symptom: Record<Symptom, string> = {
  does_not_follow: "Outlet does not follow the screw",
  rate_off: "A turn does far more or less than printed",
  hunting: "It hunts: the pressure swings",
  stays_open: "It stays open",
  stays_closed: "It stays closed",
  outlet_equals_inlet_at_no_flow: "Outlet equals inlet, no flow",
  creep: "Pressure creeps up at no flow",
  gauge_does_not_move: "A gauge does not move at all",
};

const standing: Record<CauseStanding, string> = {
  found: "Found", fits: "Fits", possible: "Possible", ruled_out: "Ruled out",
};

const sign: Record<Sign, string> = Object.fromEntries(Object.entries(signs).map(([key, words]) => [key, words.so])) as Record<Sign, string>;

export const diagnosis = {
  why: "Why does it not answer?",
  what: "What is wrong?",
  onRecord: "the record shows it",
  other: "Something else",
  next: "Look at this next",
  nothingNext: "Nothing left on the list would tell them apart.",
  nothingFits: "Nothing on the list fits",
  nothingFitsNext: "It is something else, or something was seen wrongly. Look again at what was seen.",
  causes: "What may be behind it",
  seen: "What was seen",
  nothingSeen: "Nothing yet. What was not looked at is not counted as a no.",
  fromRecord: "from the record",
  speaksFor: "For it",
  speaksAgainst: "Against it",
  otherwise: "Say otherwise",
  ruledOut: (n: number) => `Ruled out: ${n}`,
  advice: "Common practice. The valve's manual and licensed people decide.",
  notReducing: "This list is for valves that reduce. For this one it is only a hint.",
  signs, cause, symptom, standing,
};

export const diagnosisCodes = { sign };
