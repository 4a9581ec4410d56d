// The office's forms while they are filled in, and what they send.

import type { Asked } from "../generated/Asked";
import type { CrewLine } from "../generated/CrewLine";
import type { KnownValve } from "../generated/KnownValve";
import type { HandOut } from "../generated/HandOut";
import type { HandedParticular } from "../generated/HandedParticular";
import type { LimitName } from "../generated/LimitName";
import type { Request } from "../generated/Request";
import type { Unit } from "../generated/Unit";
import { type Typed, figureOf, typed } from "./figures";

export const PRESSURE: readonly Unit[] = ["psi", "kPa", "bar", "m H2O", "ft H2O"];
export const LENGTH: readonly Unit[] = ["in", "mm"];
export const RATE: readonly Unit[] = ["psi/turn", "kPa/turn", "bar/turn"];

const FLOW: readonly Unit[] = ["gpm", "L/s", "m3/h"];
const ELEVATION: readonly Unit[] = ["ft", "m"];
const RATIO: readonly Unit[] = ["ratio"];
const PERCENT: readonly Unit[] = ["%"];

/** What the checks before the work want to know, and the units it is told in. */
export const FOR_CHECKS = {
  min_differential: PRESSURE, inlet_low: PRESSURE, inlet_high: PRESSURE, min_flow: FLOW, flow_low: FLOW, flow_peak: FLOW,
  coefficient: ["Cv", "Kv"], recovery: RATIO, sigma_limit: RATIO,
  datum_elevation: ELEVATION, lowest_customer: ELEVATION, highest_customer: ELEVATION, relief_opens_at: PRESSURE,
} as const satisfies Record<string, readonly Unit[]>;

/** The limits of the checks that an owner can set. */
export const LIMITS: Record<LimitName, readonly Unit[]> = {
  limit_spring_margin: PERCENT, limit_pressure_ratio: RATIO, limit_velocity: ["ft/s", "m/s"],
  limit_share_at_peak: PERCENT, limit_share_at_least: PERCENT, limit_ground_low: PRESSURE,
  limit_normal_low: PRESSURE, limit_normal_high: PRESSURE, limit_building_static: PRESSURE,
  limit_relief_margin: PRESSURE, limit_stagger: PRESSURE, limit_stagger_most: PRESSURE,
  limit_stagger_tolerance: PRESSURE, limit_gauge_low: PERCENT, limit_gauge_high: PERCENT,
};

/** Names of what the checks want to know. */
export type ForChecks = keyof typeof FOR_CHECKS;

export interface AskedForm {
  pressure: Typed;
  tolerance: Typed;
  zoneLimit: Typed;
  datum: string;
  askedBy: string;
}

/** A further valve of the same chamber. */
export interface BesideForm {
  valve: string;
  known: string;
  procedure: string;
  asked: AskedForm;
}

export interface HandOutForm {
  number: string;
  customer: string;
  site: string;
  station: string;
  valve: string;
  /** The id of a valve that an earlier job was about; empty for a new one. */
  known: string;
  procedure: string;
  size: Typed;
  beside: BesideForm[];
  asked: AskedForm;
  springLow: Typed;
  springHigh: Typed;
  springRate: Typed;
  checks: Record<ForChecks, Typed>;
  limits: Record<LimitName, Typed>;
  crew: CrewLine[];
}

/** A form for what is asked, filled with what stands. The pressure is left empty: it is what changes. */
export function askedForm(stands?: Request): AskedForm {
  const unit = stands?.pressure.unit ?? "psi";
  return {
    pressure: { digits: "", unit },
    tolerance: typed(stands?.tolerance, unit),
    zoneLimit: typed(stands?.zone_limit, unit),
    datum: stands?.datum ?? "",
    askedBy: "",
  };
}

export function handOutForm(): HandOutForm {
  const empty = (unit: Unit): Typed => ({ digits: "", unit });
  return {
    number: "", customer: "", site: "", station: "", valve: "", known: "", procedure: "reducing", beside: [],
    size: empty("in"), asked: askedForm(),
    springLow: empty("psi"), springHigh: empty("psi"), springRate: empty("psi/turn"),
    checks: emptyFields(FOR_CHECKS), limits: emptyFields(LIMITS),
    crew: [
      { name: "", role: "lead_tech" },
      { name: "", role: "technician" },
    ],
  };
}

/** A field for each name, empty, in the first of its units. */
function emptyFields<K extends string>(units: Record<K, readonly Unit[]>): Record<K, Typed> {
  const fields = Object.entries<readonly Unit[]>(units).map(([name, all]) => [name, { digits: "", unit: all[0] }]);
  return Object.fromEntries(fields) as Record<K, Typed>;
}

/** The fields that were filled in. */
function filled(fields: Readonly<Record<string, Typed>>): HandedParticular[] {
  return Object.entries(fields).flatMap(([name, field]) => {
    const figure = figureOf(field);
    return figure === undefined ? [] : [{ name, value: { figure } }];
  });
}

/** What is asked, or nothing while the pressure is missing. */
export function asked(form: AskedForm): Asked | undefined {
  const pressure = figureOf(form.pressure);
  if (pressure === undefined) return undefined;
  return {
    pressure,
    ...given("tolerance", figureOf(form.tolerance)),
    ...given("zone_limit", figureOf(form.zoneLimit)),
    datum: form.datum.trim(),
    asked_by: form.askedBy.trim(),
  };
}

export function besideForm(): BesideForm {
  return { valve: "", known: "", procedure: "relief", asked: askedForm() };
}

/** Fills in what is known of a valve from an earlier job. */
export function fromKnown(form: HandOutForm, known: KnownValve | undefined): void {
  form.known = known?.valve.id ?? "";
  if (known === undefined) return;
  form.customer = known.customer;
  form.site = known.site;
  form.station = known.station.name;
  form.valve = known.valve.name;
  form.procedure = known.valve.procedure;
  form.size = typed(known.valve.size, "in");
}

/** The job to hand out, or nothing while the pressure is missing. Names left empty are left out. */
export function handOut(form: HandOutForm): HandOut | undefined {
  const request = asked(form.asked);
  const beside = form.beside.map((other) => ({ other, request: asked(other.asked) }));
  if (request === undefined || beside.some((each) => each.request === undefined)) return undefined;
  return {
    number: form.number.trim(), customer: form.customer.trim(), site: form.site.trim(),
    station: form.station.trim(), valve: form.valve.trim(), procedure: form.procedure, request,
    ...given("known", form.known || undefined),
    ...given("size", figureOf(form.size)),
    ...given("spring_low", figureOf(form.springLow)),
    ...given("spring_high", figureOf(form.springHigh)),
    ...given("spring_rate", figureOf(form.springRate)),
    ...given("beside", beside.length === 0 ? undefined : beside.flatMap(({ other, request: of }) =>
      of === undefined ? [] : [{ valve: other.valve.trim(), ...given("known", other.known || undefined), procedure: other.procedure, request: of }])),
    particulars: [...filled(form.checks), ...filled(form.limits)],
    crew: form.crew.filter((line) => line.name.trim() !== "").map((line) => ({ ...line, name: line.name.trim() })),
  };
}

function given<K extends string, V>(key: K, value: V | undefined): { [P in K]?: V } {
  return value === undefined ? {} : ({ [key]: value } as { [P in K]: V });
}
