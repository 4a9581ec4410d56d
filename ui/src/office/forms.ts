// The office's forms while they are filled in, and what they send.

import type { Asked } from "../generated/Asked";
import type { CrewLine } from "../generated/CrewLine";
import type { KnownValve } from "../generated/KnownValve";
import type { HandOut } from "../generated/HandOut";
import type { Request } from "../generated/Request";
import type { Unit } from "../generated/Unit";
import { type Typed, figureOf, typed } from "./figures";

export const PRESSURE: readonly Unit[] = ["psi", "kPa", "bar", "m H2O", "ft H2O"];
export const LENGTH: readonly Unit[] = ["in", "mm"];
export const RATE: readonly Unit[] = ["psi/turn", "kPa/turn", "bar/turn"];

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
    crew: [
      { name: "", role: "lead_tech" },
      { name: "", role: "technician" },
    ],
  };
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
    crew: form.crew.filter((line) => line.name.trim() !== "").map((line) => ({ ...line, name: line.name.trim() })),
  };
}

function given<K extends string, V>(key: K, value: V | undefined): { [P in K]?: V } {
  return value === undefined ? {} : ({ [key]: value } as { [P in K]: V });
}
