// The station as it is drawn: one row after the other in the order of the water, with the pipes that run through each.
// Where lines go, nothing else: what stands in them comes with the view.

import type { Branch } from "../../generated/Branch";
import type { ElementView } from "../../generated/ElementView";
import type { Part } from "../../generated/Part";

/** A stretch of the station that water stands in. */
export interface Place {
  readonly part: Part;
  readonly branch: Branch;
}

/** A pipe that comes from the row above, goes on to the row below, or both. */
export interface Pipe {
  readonly x: number;
  readonly above: Place | null;
  readonly below: Place | null;
  readonly thin: boolean;
}

/** A pipe that lies across a row. */
export interface Tie {
  readonly from: number;
  readonly to: number;
  readonly at: Place;
  readonly thin: boolean;
}

export interface Row {
  readonly pipes: readonly Pipe[];
  readonly ties: readonly Tie[];
  /** The element that this row is about, and where it stands. */
  readonly element: ElementView | null;
  readonly x: number;
  /** Whether the element stands in the pipe that runs down, or in one that lies across. */
  readonly upright: boolean;
  /** Where a gauge hangs behind its cock. */
  readonly gauge: number | null;
  /** The place that this row names: supply, zone, outfall. */
  readonly names: Place | null;
  /** The main valves that stand in this row, and the pilot of the one in hand. */
  readonly valves: readonly { readonly x: number; readonly branch: Branch; readonly cover: number | null }[];
  readonly pilot: number | null;
}

export interface Plan {
  readonly rows: readonly Row[];
  readonly width: number;
}

const SUPPLY: Place = { part: "supply", branch: "main" };
const ZONE: Place = { part: "zone", branch: "main" };
const FIRST = 20;
const LANE = 32;
const COVER = 36;
const EDGE = 20;
const PILOT = 36;

const ORDER: readonly Branch[] = ["low_flow", "main", "large"];

type Lanes = ReadonlyMap<Branch, number>;

/** Lays out the elements of a station around the valve that stands in the pipe `own`. */
export function plan(elements: readonly ElementView[], own: Branch): Plan {
  const piped = elements.filter((each) => each.side !== "zone");
  const has = (branch: Branch): boolean => piped.some((each) => each.branch === branch);
  const mains = ORDER.filter(has);
  const lanes = new Map<Branch, number>();
  const across: Branch[] = [...(has("bypass") ? ["bypass" as const] : []), ...mains];
  across.forEach((branch, at) => lanes.set(branch, FIRST + at * LANE));
  const last = FIRST + Math.max(0, across.length - 1) * LANE;
  lanes.set("relief", last);
  const cover = last + COVER;
  const pilot = cover + PILOT;
  const zone = elements.filter((each) => each.side === "zone");
  const rows: Row[] = [];
  if (mains.length > 0) {
    rows.push(header(SUPPLY, across, lanes, null, SUPPLY));
    rows.push(...stack(elements, mains, own, lanes, cover, pilot));
    rows.push(header(ZONE, across, lanes, (branch) => end(piped, branch), zone.length > 0 || has("relief") ? ZONE : null, last));
    zone.forEach((element, at) => {
      const below = at < zone.length - 1 || has("relief") ? ZONE : null;
      rows.push({ ...bare([{ x: last, above: ZONE, below, thin: false }]), element, x: cover, ties: [{ from: last, to: cover, at: ZONE, thin: true }] });
    });
  } else {
    rows.push(header(ZONE, ["relief"], lanes, null, ZONE));
  }
  if (has("relief")) {
    rows.push(...stack(elements, ["relief"], own, lanes, cover, pilot));
    const outfall: Place = { part: "outfall", branch: "relief" };
    rows.push(header(outfall, ["relief"], lanes, (branch) => end(piped, branch), null));
  }
  return { rows, width: pilot + EDGE };
}

function bare(pipes: readonly Pipe[]): Row {
  return { pipes, ties: [], element: null, x: 0, upright: false, gauge: null, names: null, valves: [], pilot: null };
}

/** A row that names a place where pipes part or meet. */
function header(names: Place, branches: readonly Branch[], lanes: Lanes, above: ((branch: Branch) => Place) | null, below: Place | null, only?: number): Row {
  const xs = branches.map((branch) => lanes.get(branch) ?? FIRST);
  const pipes = xs.map((x, at) => ({ x, above: above?.(branches[at] ?? "main") ?? null, below: only === undefined || x === only ? below : null, thin: false }));
  const ties = xs.length > 1 ? [{ from: Math.min(...xs), to: Math.max(...xs), at: names, thin: false }] : [];
  return { ...bare(pipes), ties, names };
}

/** The rows between where pipes part and where they meet again. */
function stack(elements: readonly ElementView[], branches: readonly Branch[], own: Branch, lanes: Lanes, cover: number, pilot: number): Row[] {
  const among = elements.filter((each) => branches.includes(each.branch));
  const control = among.filter((each) => each.side === "control");
  const here = branches.includes(own) && control.length > 0;
  const before = [
    ...among.filter((each) => each.side === "upstream"),
    ...control.filter((each) => each.tap === null || each.tap === "sensing"),
    ...control.filter((each) => each.tap === "inlet"),
    ...control.filter((each) => each.tap === "cover"),
  ];
  const after = [...control.filter((each) => each.tap === "outlet"), ...among.filter((each) => each.side === "downstream")];
  const round = lanes.has("bypass") && !branches.includes("relief") ? elements.filter((each) => each.branch === "bypass") : [];
  const order: (ElementView | "valve")[] = [...before, "valve", ...after, ...round];

  const place = (part: Part, branch: Branch): Place => ({ part, branch });
  const now = new Map<Branch, Place>();
  for (const branch of branches) {
    const blocked = among.some((each) => each.class === "block_valve" && each.branch === branch && each.side === "upstream");
    now.set(branch, blocked ? head(branch) : place("inlet", branch));
  }
  if (round.length > 0) now.set("bypass", SUPPLY);
  let feeding: Place | null = null;
  let chamber: Place | null = null;
  const covers = control.some((each) => each.tap === "cover" && each.class !== "vent");

  return order.map((what): Row => {
    const above = new Map(now);
    const [fedAbove, coverAbove] = [feeding, chamber];
    const ownX = lanes.get(own) ?? FIRST;
    let row: Partial<Row> = {};
    if (what === "valve") {
      for (const branch of branches) now.set(branch, place("outlet", branch));
      row = {
        valves: branches.map((branch) => ({ x: lanes.get(branch) ?? FIRST, branch, cover: here && branch === own && covers ? cover : null })),
        pilot: feeding === null ? null : pilot,
      };
      if (feeding !== null) feeding = place("pilot_outlet", own);
      chamber = null;
    } else {
      const x = lanes.get(what.branch) ?? FIRST;
      const at = now.get(what.branch) ?? head(what.branch);
      if (what.class === "block_valve" || what.class === "bypass") {
        now.set(what.branch, what.class === "bypass" ? ZONE : what.side === "upstream" ? place("inlet", what.branch) : tail(what.branch));
        row = { x, upright: true };
      } else if (what.tap === "inlet") {
        feeding = place("pilot", own);
        row = { x: cover, ties: [{ from: ownX, to: cover, at, thin: true }, { from: cover, to: pilot, at: feeding, thin: true }] };
      } else if (what.tap === "cover" && what.class !== "vent") {
        chamber = place("cover", own);
        const middle = (cover + pilot) / 2;
        row = { x: middle, ties: [{ from: cover, to: middle, at: chamber, thin: true }, { from: middle, to: pilot, at: feeding ?? place("pilot", own), thin: true }] };
      } else if (what.tap === "cover") {
        const middle = (cover + pilot) / 2;
        row = { x: middle, ties: [{ from: cover, to: middle, at: chamber ?? place("cover", own), thin: true }] };
      } else if (what.tap === "outlet") {
        row = { x: cover, ties: [{ from: ownX, to: cover, at, thin: true }, { from: cover, to: pilot, at: feeding ?? place("pilot_outlet", own), thin: true }] };
        feeding = null;
      } else {
        const gauge = what.class === "gauge_cock" ? pilot - 8 : null;
        row = { x: cover, gauge, ties: [{ from: x, to: gauge ?? cover, at, thin: true }] };
      }
    }
    const pipes: Pipe[] = [...now].map(([branch, below]) => ({ x: lanes.get(branch) ?? FIRST, above: above.get(branch) ?? below, below, thin: false }));
    if (fedAbove !== null || feeding !== null) pipes.push({ x: pilot, above: fedAbove, below: feeding, thin: true });
    if (coverAbove !== null || chamber !== null) pipes.push({ x: cover, above: coverAbove, below: chamber, thin: true });
    return { ...bare(pipes), element: what === "valve" ? null : what, ...row };
  });
}

/** What comes down a pipe to where it ends: with no block valve behind the valve, what the valve lets through. */
function end(elements: readonly ElementView[], branch: Branch): Place {
  const blocked = elements.some((each) => each.class !== "gauge_cock" && each.class !== "vent" && each.side === "downstream" && each.branch === branch);
  return blocked || branch === "bypass" ? tail(branch) : { part: "outlet", branch };
}

function head(branch: Branch): Place {
  return branch === "relief" ? ZONE : SUPPLY;
}

function tail(branch: Branch): Place {
  return branch === "relief" ? { part: "outfall", branch } : ZONE;
}
