// A job in the middle of its work, as the core would show it: one reducing valve, two hands, no office in reach.

import type { CloseOutView } from "../../src/generated/CloseOutView";
import type { CrewView } from "../../src/generated/CrewView";
import type { ElementView } from "../../src/generated/ElementView";
import type { AtHand } from "../../src/generated/AtHand";
import type { Compared } from "../../src/generated/Compared";
import type { History } from "../../src/generated/History";
import type { HomeView } from "../../src/generated/HomeView";
import type { JobHead } from "../../src/generated/JobHead";
import type { LineUpView } from "../../src/generated/LineUpView";
import type { PointView } from "../../src/generated/PointView";
import type { PreJobView } from "../../src/generated/PreJobView";
import type { ReadingView } from "../../src/generated/ReadingView";
import type { LoggerDrawn } from "../../src/generated/LoggerDrawn";
import type { LoggerLookView } from "../../src/generated/LoggerLookView";
import type { LoggerView } from "../../src/generated/LoggerView";
import type { DiagnosisView } from "../../src/generated/DiagnosisView";
import type { VerdictsView } from "../../src/generated/VerdictsView";
import type { RecordContent } from "../../src/generated/RecordContent";
import type { ReadingsView } from "../../src/generated/ReadingsView";
import type { Request } from "../../src/generated/Request";
import type { Said } from "../../src/generated/Said";
import type { SettingView } from "../../src/generated/SettingView";
import type { Standing } from "../../src/generated/Standing";
import type { StepsView } from "../../src/generated/StepsView";
import type { Text } from "../../src/generated/Text";
import type { Turn } from "../../src/generated/Turn";
import type { Unit } from "../../src/generated/Unit";
import type { WaterAt } from "../../src/generated/WaterAt";

export const JOB = "0190a000-0000-7000-8000-000000000001";
export const VALVE = "0190a000-0000-7000-8000-0000000000a1";
export const STATION = "0190a000-0000-7000-8000-0000000000a0";
export const ANA = { id: "p-ana", name: "Ana" };
export const LUIS = { id: "p-luis", name: "Luis" };

const words = (en: string, es: string): Text => ({ en, es });
const figure = (digits: string, unit: Unit = "psi") => ({ digits, unit });
let made = 0;

export function said(by = ANA, over: Partial<Said> = {}): Said {
  made += 1;
  return {
    entry: `e-${made}`, person: by.id, by: by.name, keyed_by: null, here: by === ANA,
    at: `2026-03-04T10:${String(10 + (made % 50)).padStart(2, "0")}:00-05:00`, safe: "only_here", ...over,
  };
}

export function stands<T>(value: T, by = ANA): Standing<T> {
  const from = said(by);
  return { agreement: "agreed", values: [{ value, said: from }], replaces: [from.entry] };
}

export const never = <T>(): Standing<T> => ({ agreement: "never", values: [], replaces: [] });

export function disagree<T>(mine: T, theirs: T): Standing<T> {
  const values = [{ value: mine, said: said(ANA) }, { value: theirs, said: said(LUIS, { safe: "with_mate" }) }];
  return { agreement: "disagreed", values, replaces: values.map((value) => value.said.entry) };
}

export const OUTLET = words("Outlet", "Salida");

export function reading(over: Partial<ReadingView> = {}): ReadingView {
  return {
    said: said(), point: "outlet", point_name: OUTLET, place: null, figure: figure("70"), purpose: "working",
    water: "flowing", older_than_turn: false, over_limit: false, ...over,
  };
}

const request: Request = {
  valve: VALVE, pressure: figure("52"), tolerance: figure("2"), datum: "at the valve", asked_by: "M. Ortega, operations",
  zone_limit: figure("80"),
};
const standing = stands(request, { id: "p-office", name: "Office" });
export const REQUEST = standing.replaces[0] as string;

export const down: Turn = { turns: -1.125, degrees: 405, flats: 6.75, fraction: "1 1/8", way: "counter_clockwise" };
const half: Turn = { turns: -0.5, degrees: 180, flats: 3, fraction: "1/2", way: "counter_clockwise" };
const up: Turn = { turns: 1.625, degrees: 585, flats: 9.75, fraction: "1 5/8", way: "clockwise" };

const past: History = {
  asset: VALVE, closed_at: "2024-05-02T15:10:00Z", job: null, number: "2017", procedure: "reducing", point: null, requested: figure("55"),
  as_found: figure("61"), as_left: figure("54.5"), learned_rate: figure("13.9", "psi/turn"), static_difference: null, lock_up: figure("57"),
  stroke_opening: null, stroke_closing: null, moves: 4, turned: figure("-1/2", "turn"),
  faults: [{ en: "Pilot strainer half blocked.", es: "Filtro del piloto medio tapado." }], records: [],
};

export const compared: Compared = {
  visits: [{ entry: "e-past", history: past }],
  drift: { earlier: "e-past", reading: "e-found", left: figure("54.5"), found: figure("58"), change: figure("3.5"), allowed: figure("2.7"), verdict: "drifted" },
  rate: { earlier: "e-past", then: figure("13.9", "psi/turn"), now: null, verdict: "not_yet" },
  predicted: null,
};

export const atHand: AtHand = {
  folder: "/data/procedures",
  all: [
    { id: "reducing", title: words("Reducing valve: put in service and set", "Válvula reductora: puesta en servicio y ajuste"), owner: null },
    { id: "round", title: words("Weekly round", "Ronda semanal"), owner: { file: "round.toml", digest: "9f2c4e1ab07d55c6e8301b9d7a64f0c2385ed16bb49f7702ac5518de90b3c771" } },
  ],
  refused: [{ file: "relief-own.toml", line: 41, code: "unknown_step", reason: "there is no step `set_relief.lid`" }],
};

export const head = (over: Partial<JobHead> = {}): JobHead => ({
  job: JOB, number: "J-1042", customer: "Valle Water District", site: "Alder St and 4th",
  station: { id: STATION, name: "Alder vault" }, valves: [{ id: VALVE, name: "PRV 6 in" }], valve: { id: VALVE, name: "PRV 6 in" },
  procedure: "reducing", procedure_owner: null, procedure_missing: false, status: "in_work", me: ANA, crew: [ANA, LUIS], request: standing, request_changed: null,
  custody: { only_here: 14, with_mate: 22, at_office: 9 },
  links: {
    on: true,
    crew: {
      on: true,
      code: null,
      found: [],
      paired: [
        {
          device: "d-2", name: "tablet B", person: "Luis", linked: true,
          last_heard: "2026-03-04T10:41:00-05:00", paired_at: "2026-03-02T08:00:00-05:00",
        },
      ],
    },
    peers: [
      { device: "d-2", name: "tablet B", person: "Luis", office: false, linked: true, last_heard: "2026-03-04T10:41:00-05:00", clock_offset_ms: 1400 },
      { device: "d-9", name: "office", person: null, office: true, linked: false, last_heard: "2026-03-04T07:55:00-05:00", clock_offset_ms: null },
    ],
  },
  alarm: null, open_items: 1,
  limits: [],
  mate_reading: reading({ said: said(LUIS, { here: false, safe: "with_mate" }), point: "hydrant", point_name: words("Hydrant or tap", "Hidrante o grifo"), place: "H-118", figure: figure("64") }),
  runaway: [
    { say: words("Shut the outlet cock of the pilot line.", "Cierre la llave de salida del piloto."), element: "outlet_cock" },
    { say: words("Still climbing: shut the downstream block valve, slowly at the end.", "Si sigue subiendo: cierre el corte aguas abajo, despacio al final."), element: "downstream_block" },
    { say: words("Shut the upstream block valve. With a torn diaphragm only the block valves help.", "Cierre el corte aguas arriba. Con el diafragma roto solo sirven los cortes."), element: "upstream_block" },
  ],
  put_back: {
    screws: [{ screw: "pilot", name: words("Adjusting screw of the pilot", "Tornillo de ajuste del piloto"), turn: up }],
    positions: [{ element: "downstream_block", name: words("Downstream block valve", "Válvula de corte aguas abajo"), found: "open", now: "throttled" }],
    controls: [{ control: "closing", name: words("Closing speed control", "Control de velocidad de cierre"), found: figure("1 1/2", "turn"), now: figure("3", "turn") }],
  },
  ...over,
});

export const home: HomeView = {
  me: ANA, key: "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", links: head().links, known: [], procedures: atHand,
  jobs: [
    { job: JOB, number: "J-1042", customer: "Valle Water District", site: "Alder St and 4th", station: "Alder vault", valves: ["PRV 6 in"], status: "in_work", custody: head().custody, open_items: 1 },
    { job: "j-2", number: "J-1043", customer: "Valle Water District", site: "Mill Rd pump room", station: "Mill Rd", valves: ["Low-flow 2 in", "Large 8 in"], status: "new", custody: { only_here: 0, with_mate: 0, at_office: 6 }, open_items: 0 },
    { job: "j-3", number: "J-0988", customer: "Hotel Mirador", site: "Riser B, level 2", station: "Riser B", valves: ["PRV 3 in"], status: "signed", custody: { only_here: 0, with_mate: 0, at_office: 81 }, open_items: 0 },
  ],
};

const point = (id: string, en: string, es: string, over: Partial<PointView> = {}): PointView => ({
  point: id, name: words(en, es), note: null, unit: "psi", gauge: null, newest: null, ...over,
});

export const points: PointView[] = [
  point("outlet", "Outlet", "Salida", {
    gauge: "G-2207", newest: reading(),
    note: words("On the pilot circuit this is not system pressure while the outlet cock is shut.", "En el circuito del piloto no es la presión del sistema mientras la llave de salida está cerrada."),
  }),
  point("inlet", "Inlet", "Entrada", { gauge: "G-1180", newest: reading({ point: "inlet", figure: figure("131.5"), older_than_turn: false, purpose: "as_found" }) }),
  point("cover", "Cover (control chamber)", "Cámara de control"),
  point("spool", "Spool, before the downstream block", "Carrete, antes del corte aguas abajo", { newest: reading({ figure: figure("0.0"), older_than_turn: true, water: "still" }) }),
  point("hydrant", "Hydrant or tap", "Hidrante o grifo", { newest: head().mate_reading, gauge: "G-3001" }),
];

export const setting = (over: Partial<SettingView> = {}): SettingView => ({
  asset: VALVE, screw: "pilot", screws: [], history: compared, screw_name: words("Adjusting screw of the pilot", "Tornillo de ajuste del piloto"),
  target: figure("52"), request: REQUEST, tolerance: { figure: figure("2"), from_request: true }, outlet: points[0]?.newest ?? null,
  inlet: points[1]?.newest ?? null,
  flow: { value: { asset: VALVE, how: "visible_discharge", place: "H-118", flow: figure("150", "gpm") }, said: said(LUIS) },
  settled: { state: "steady", because: ["within_band"], samples: 3, mean: figure("70.0"), slope_per_minute: "0.1", period_s: null, amplitude: null },
  rate: { mean: figure("14.60", "psi/turn"), low: figure("13.21", "psi/turn"), high: figure("16.02", "psi/turn") }, taught: 2,
  dead_band: null,
  plan: { turn: half, whole: down, moves: 3, expected: figure("62.5"), expected_low: figure("60.7"), expected_high: figure("64.6"), chance: 2, short: true, leave: null, from: points[0]?.newest?.said.entry ?? "", rate: figure("14.60", "psi/turn"), rate_from: "learned", leave_it: false },
  no_plan: [], warnings: [],
  moves: [
    { said: said(), body: { asset: VALVE, screw: "pilot", turn: figure("-1", "turn") }, turn: { turns: -1, degrees: 360, flats: 6, fraction: "1", way: "counter_clockwise" }, after: reading({ figure: figure("79") }), answered: "unseen", unseen: "no_flow" },
    { said: said(), body: { asset: VALVE, screw: "pilot", turn: figure("-1/2", "turn") }, turn: half, after: reading(), answered: "plausibly", unseen: null },
  ],
  back: { ...up, turns: 1.5, fraction: "1 1/2", way: "clockwise" },
  line: [{ turns: -1.75, pressure: 66.3, low: 65.1, high: 67.6 }, { turns: -1.5, pressure: 70, low: 69.2, high: 70.8 }, { turns: 0.25, pressure: 95, low: 91.9, high: 98.2 }],
  total: { ...up, turns: -1.5, fraction: "1 1/2", way: "counter_clockwise" },
  plot: [{ turns: 0, pressure: 92, flowing: true }, { turns: -1, pressure: 79, flowing: false }, { turns: -1.5, pressure: 70, flowing: true }],
  points, unit: "psi", common_turns: ["1/8", "1/6", "1/4", "1/3", "3/8", "1/2", "5/8", "3/4", "7/8", "1"], ...over,
});

/** After a turn: the reading is older than it, and there is no plan until it is read again. */
export const waiting = (): SettingView =>
  setting({
    plan: null, no_plan: ["reading_older_than_turn"],
    outlet: reading({ older_than_turn: true }),
    points: points.map((each, at) => (at === 0 ? { ...each, newest: reading({ older_than_turn: true }) } : each)),
  });

const TAPS: Readonly<Record<string, ElementView["tap"]>> = { inlet_cock: "inlet", cover_cock: "cover", cover_vent: "cover", outlet_cock: "outlet" };
const element = (id: string, cls: ElementView["class"], side: ElementView["side"], en: string, es: string, state: LineUpView["elements"][number]["standing"], normal: "open" | "shut" = "open"): LineUpView["elements"][number] => ({
  asset: VALVE, element: id, class: cls, side, branch: cls === "bypass" ? "bypass" : "main", tap: TAPS[id] ?? null, name: words(en, es), normal,
  standing: state, found: state.agreement === "agreed" ? "open" : null,
  would: id === "bypass" ? [{ position: "open", water: [{ part: "zone", branch: "main", wet: "supply", to_air: false, unguarded: true }] }] : [],
});
const waterAt = (part: WaterAt["part"], wet: WaterAt["wet"]): WaterAt => ({ part, branch: "main", wet, to_air: false, unguarded: false });

export const lineUp: LineUpView = {
  elements: [
    element("upstream_block", "block_valve", "upstream", "Upstream block valve", "Válvula de corte aguas arriba", stands("open")),
    element("inlet_gauge_cock", "gauge_cock", "upstream", "Inlet gauge cock", "Llave del manómetro de entrada", never(), "shut"),
    element("inlet_cock", "cock", "control", "Inlet cock of the pilot line", "Llave de entrada del piloto", stands("open")),
    element("cover_cock", "cock", "control", "Cover cock of the pilot line", "Llave de la cámara de control", stands("throttled")),
    element("cover_vent", "vent", "control", "Cover vent, at the indicator", "Purga de la cámara, en el indicador", stands("shut"), "shut"),
    element("outlet_cock", "cock", "control", "Outlet cock of the pilot line", "Llave de salida del piloto", stands("shut")),
    element("spool_vent", "vent", "downstream", "Spool vent", "Purga del carrete", stands("open"), "shut"),
    element("downstream_block", "block_valve", "downstream", "Downstream block valve", "Válvula de corte aguas abajo", disagree("shut", "throttled")),
    element("bypass", "bypass", "around", "Bypass valve", "Válvula del desvío", stands("shut", LUIS), "shut"),
    element("hydrant", "hydrant", "zone", "Hydrant or blow-off in use", "Hidrante o desagüe en uso", { agreement: "unknown", values: [], replaces: [] }, "shut"),
  ],
  controls: [
    { control: "opening", name: words("Opening speed control", "Control de velocidad de apertura"), standing: stands(figure("2 1/4", "turn")) },
    { control: "closing", name: words("Closing speed control", "Control de velocidad de cierre"), standing: never() },
  ],
  own: "main",
  water: [
    waterAt("supply", "supply"), waterAt("inlet", "supply"), waterAt("pilot", "supply"), waterAt("cover", "supply"),
    waterAt("pilot_outlet", "regulated"), waterAt("outlet", "regulated"), waterAt("zone", "not_known"),
  ],
};

export const steps: StepsView = {
  owner: null,
  procedure: "reducing", title: words("Reducing valve: put in service and set", "Válvula reductora: puesta en servicio y ajuste"),
  procedures: [
    { id: "reducing", title: words("Put in service and set", "Puesta en servicio y ajuste"), owner: null },
    { id: "shut_down", title: words("Shut down", "Puesta fuera de servicio"), owner: null },
  ],
  phases: [
    { id: "pre_job", title: words("Before the job", "Antes del trabajo"), steps: [
      { id: "pre_job.request", title: words("Read the request", "Lea el pedido"), status: "done", hold: true, optional: false },
      { id: "pre_job.gauges", title: words("Gauges on record", "Manómetros anotados"), status: "overridden", hold: false, optional: false },
      { id: "pre_job.traffic", title: words("Traffic control", "Control de tránsito"), status: "not_done", hold: false, optional: true },
    ] },
    { id: "entry", title: words("Entry", "Entrada"), steps: [
      { id: "entry.air", title: words("Test the air", "Pruebe el aire"), status: "stopped", hold: true, optional: false },
      { id: "entry.guard", title: words("Guard the opening", "Proteja la boca"), status: "disagreed", hold: false, optional: false },
    ] },
    { id: "set_flowing", title: words("Set flowing", "Ajuste con caudal"), steps: [
      { id: "set.outlet_cock", title: words("Open the outlet cock", "Abra la llave de salida"), status: "ready", hold: true, optional: false },
      { id: "set.crack", title: words("Crack the downstream block", "Entreabra el corte aguas abajo"), status: "waiting", hold: false, optional: false },
    ] },
  ],
  in_hand: "set.outlet_cock", done: 31, total: 74,
  step: {
    id: "set.outlet_cock", phase: "set_flowing", title: words("Open the outlet cock", "Abra la llave de salida"),
    say: words("Open the outlet cock slowly with the spool vent running, and watch the spool.", "Abra despacio la llave de salida con la purga del carrete corriendo, y mire el carrete."),
    why: words("The valve must answer and stop below the zone's limit before the zone sees it.", "La válvula debe responder y parar bajo el límite de la zona antes de que la zona la vea."),
    caution: words("If the spool climbs past the limit, shut the outlet cock at once.", "Si el carrete pasa el límite, cierre enseguida la llave de salida."),
    who: "wrench_hand", hold: true, optional: false, screen: "line_up",
    needs: [
      { code: "step:pressurise.bleed", say: words("Air bled to solid water", "Aire purgado hasta agua sin burbujas"), met: true, screen: "steps" },
      { code: "position:spool_vent:open", say: words("Spool vent open", "Purga del carrete abierta"), met: true, screen: "line_up" },
    ],
    evidence: [
      { code: "position:outlet_cock:open", say: words("Outlet cock: open", "Llave de salida: abierta"), met: false, screen: "line_up" },
      { code: "reading:spool:within_limit", say: words("A spool reading under the zone's limit", "Una lectura del carrete bajo el límite de la zona"), met: false, screen: "readings" },
    ],
    stops: [{ code: "zone_limit", say: words("The zone is over its limit: outlet cock shut, tell everybody.", "La zona pasó su límite: cierre la llave de salida y avise a todos."), in_force: false }],
    options: [], status: "ready", warning: null, went_over: [], unsaid: [], mark: never(), reasons: [], previous: "entry.guard", next: "set.crack",
  },
};

const steady = { state: "steady", because: ["within_band"], samples: 4, mean: figure("64"), slope_per_minute: "0", period_s: null, amplitude: null } as const;

const verdicts: VerdictsView = {
  point_name: words("Outlet", "Salida"),
  as_left: {
    verdict: "cannot_tell", because: ["default_tolerance"], reading: "e-left", read: figure("54"), target: figure("52"), tolerance: figure("2.6"),
    off: figure("2"), uncertainty: figure("1.1"), gauge: "G-2207", problems: ["gauge_off_range"],
  },
  as_left_said: said(),
  droop: {
    rows: [
      { reading: "e-low", outlet: figure("53"), cover: figure("71"), stem: null, flow: figure("50", "gpm") },
      { reading: "e-high", outlet: figure("50"), cover: figure("60"), stem: figure("12", "mm"), flow: figure("900", "gpm") },
    ],
    by_measured_flow: true, droop: figure("3"), uncertainty: figure("0.8"), because: ["fewer_than_three_flows"],
  },
  repeatability: { readings: ["e-1", "e-2", "e-3"], figures: [figure("52"), figure("53"), figure("52")], spread: figure("1"), uncertainty: figure("0.8"), because: [] },
  lock_up: {
    point: "spool", readings: ["e-4", "e-5"], figures: [figure("55"), figure("58")], above_flowing: figure("3"), creep: "climbs", change: figure("3"),
    uncertainty: figure("0.8"), minutes: "10", as_warming_deg_f: "0.12", because: ["warming_possible"],
  },
  lock_up_name: words("Spool", "Carrete"),
  static_difference: { set: "e-6", set_at: figure("54"), on_line: "e-7", on_line_at: figure("52"), difference: figure("-2"), uncertainty: figure("1.5") },
  pairs: [{
    point_name: words("Outlet", "Salida"),
    pair: {
      point: "outlet", first: "e-8", first_figure: figure("52"), first_gauge: "G-2207", first_uncertainty: figure("1.1"), second: "e-9",
      second_figure: figure("56"), second_gauge: null, second_uncertainty: figure("2.4"), two_people: true, at_the_same_time: true, minutes: "1",
      difference: figure("4"), en: "1.52", verdict: "differs",
    },
    first: said(), second: said(LUIS),
  }],
};

export const diagnosis: DiagnosisView = {
  asset: VALVE, reduces: true, symptom: "does_not_follow", nothing_fits: false,
  symptoms: [{ symptom: "does_not_follow", on_record: true }, { symptom: "hunting", on_record: false }],
  causes: [
    { cause: "control_blocked", standing: "fits", speaks_for: [{ sign: "flow_proven", so: true }, { sign: "cover_follows_screw", so: false }], speaks_against: [] },
    { cause: "gauge_line", standing: "possible", speaks_for: [], speaks_against: [] },
    { cause: "main_valve_bound", standing: "ruled_out", speaks_for: [{ sign: "flow_proven", so: true }], speaks_against: [{ sign: "cover_follows_screw", so: false }] },
  ],
  next: { sign: "gauge_line_blocked", name: "seen.gauge_line_blocked", replaces: [] },
  seen: [
    { ask: { sign: "flow_proven", name: "seen.flow_proven", replaces: [] }, so: true, answered: false, said: said() },
    { ask: { sign: "cover_follows_screw", name: "seen.cover_follows_screw", replaces: ["e-10"] }, so: false, answered: true, said: said(LUIS) },
  ],
};

const drawn: LoggerDrawn = {
  unit: "bar", span_s: 600, window: { from_s: 0, to_s: 600 }, columns: 360,
  bars: [{ at: 0, low: 5.2, high: 6 }, { at: 1, low: 4.5, high: 5.1 }, { at: 300, low: 4, high: 4.02 }],
  low: figure("4.00", "bar"), high: figure("6.00", "bar"), settled: { ...steady, because: [...steady.because], mean: figure("4.00", "bar") },
  clock: ["2025-11-25T10:00:00", "2025-11-25T10:10:00"], rows: 600, left_out: 2, remarks: ["rows_left_out", "local_times"],
};

export const logger: LoggerView = {
  asset: VALVE, points: [{ point: "outlet", name: words("Outlet", "Salida") }, { point: "inlet", name: words("Inlet", "Entrada") }],
  files: [{ said: said(), point_name: words("Outlet", "Salida"), file: "vault3.csv", name: "Pressure", rows: 600 }],
  entry: said().entry, drawn, problem: null,
};

export const look: LoggerLookView = {
  look: { columns: [{ at: 1, name: "Pressure", unit: null }], day_and_month_unsure: false, local_times: true },
  reading: { unit: "bar" }, problem: null, drawn, units: ["psi", "bar"],
};

export const readings: ReadingsView = {
  points, request: REQUEST,
  sure: [{ point: "outlet", uncertainty: figure("1.1"), gauge_assumed: false, problems: ["gauge_off_range"], settled: { ...steady, because: [...steady.because] } }],
  verdicts, gauges: ["G-2207", "G-1180", "G-3001"], flow: setting().flow,
  air: [{ value: { asset: STATION, level: "top", oxygen: figure("20.8", "%"), flammable: figure("0", "% LFL"), carbon_monoxide: figure("3", "ppm"), hydrogen_sulphide: figure("0", "ppm"), meter: "M-77", bump_tested: true }, said: said() }],
  timeline: [
    { said: said(LUIS, { safe: "with_mate" }), kind: "reading", subject: { text: words("Hydrant or tap", "Hidrante o grifo") }, value: { figure: figure("64") }, withdrawn: false, no_effect: null, can_withdraw: true },
    { said: said(ANA, { keyed_by: "Luis" }), kind: "screw_move", subject: { text: words("Adjusting screw of the pilot", "Tornillo de ajuste del piloto") }, value: { figure: figure("-1/2", "turn") }, withdrawn: false, no_effect: null, can_withdraw: true },
    { said: said(), kind: "line_up", subject: { text: words("Outlet cock of the pilot line", "Llave de salida del piloto") }, value: { code: "shut" }, withdrawn: true, no_effect: null, can_withdraw: false },
    { said: said(ANA, { safe: "at_office" }), kind: "note", subject: null, value: { words: "Lid hinge stiff, two people." }, withdrawn: false, no_effect: null, can_withdraw: true },
  ],
  total: 45,
};

export const preJob: PreJobView = {
  requests: [
    { value: { ...request, pressure: figure("55") }, said: said({ id: "p-office", name: "Office" }, { safe: "at_office" }) },
    ...standing.values,
  ],
  particulars: [
    { asset: VALVE, name: "spring_low", units: ["psi", "kPa", "bar"], label: null, choices: [], for_checks: false, standing: stands({ figure: figure("20") }) },
    { asset: VALVE, name: "spring_high", units: ["psi", "kPa", "bar"], label: null, choices: [], for_checks: false, standing: disagree({ figure: figure("175") }, { figure: figure("200") }) },
    { asset: VALVE, name: "spring_rate", units: ["psi/turn", "kPa/turn"], label: null, choices: [], for_checks: false, standing: stands({ figure: figure("15", "psi/turn") }) },
    { asset: VALVE, name: "plate", units: [], label: null, choices: [], for_checks: false, standing: never() },
    { asset: VALVE, name: "recovery", units: ["ratio"], label: words("Recovery factor FL", "Factor de recuperación FL"), choices: [], for_checks: true, standing: never() },
    { asset: VALVE, name: "inlet_high", units: ["psi", "kPa", "bar"], label: words("Inlet, highest of the day", "Entrada, máxima del día"), choices: [], for_checks: true, standing: disagree({ figure: figure("130") }, { figure: figure("140") }) },
    { asset: STATION, name: "permit_space", units: [], label: words("Permit space", "Espacio con permiso"), choices: [{ id: "yes", say: words("Yes", "Sí") }, { id: "no", say: words("No", "No") }], for_checks: false, standing: stands({ text: "yes" }) },
  ],
  gauges: [stands({ serial: "G-2207", point: null, span: figure("160"), grade: "1 %", resolution: figure("1"), calibration_due: "2026-11-30", zero_before: figure("0.0"), zero_after: null })],
  history: compared,
  checks: [
    {
      code: "velocity", about: null, verdict: "outside", not_known: [], rule: { kind: "common_practice", cites: null }, notes: ["nominal_bore"],
      figures: [
        { name: "flow_peak", figure: figure("1200", "gpm"), reckoned: false }, { name: "size", figure: figure("6", "in"), reckoned: false },
        { name: "velocity", figure: figure("13.6", "ft/s"), reckoned: true },
      ],
      limits: [{ name: "limit_velocity", figure: figure("12", "ft/s"), instead_of: figure("20", "ft/s"), disagreed: false }],
    },
    {
      code: "cavitation", about: null, verdict: "look", not_known: [], rule: { kind: "common_practice", cites: null },
      notes: ["sigma_by_inlet", "by_ratio_only"],
      figures: [
        { name: "target", figure: figure("52"), reckoned: false }, { name: "inlet_high", figure: figure("130"), reckoned: false },
        { name: "sigma", figure: figure("1.85", "ratio"), reckoned: true }, { name: "pressure_ratio", figure: figure("2.17", "ratio"), reckoned: true },
      ],
      limits: [{ name: "limit_pressure_ratio", figure: figure("2.0", "ratio"), instead_of: null, disagreed: false }],
    },
    {
      code: "choked_flow", about: null, verdict: "not_known", rule: { kind: "standard", cites: "iec60534" }, notes: [], limits: [],
      figures: [{ name: "target", figure: figure("52"), reckoned: false }], not_known: [{ name: "recovery", because: "not_said" }, { name: "inlet_high", because: "disagreed" }],
    },
    {
      code: "gauge_range", about: words("G-2207", "G-2207"), verdict: "good", not_known: [], rule: { kind: "common_practice", cites: null }, notes: [],
      figures: [{ name: "span", figure: figure("160"), reckoned: false }, { name: "share_of_span", figure: figure("32.5", "%"), reckoned: true }],
      limits: [
        { name: "limit_gauge_low", figure: figure("25", "%"), instead_of: null, disagreed: false },
        { name: "limit_gauge_high", figure: figure("75", "%"), instead_of: null, disagreed: false },
      ],
    },
    {
      code: "highest_customer", about: null, verdict: "good", not_known: [], rule: { kind: "standard", cites: "ten_states" }, notes: ["still_water"],
      figures: [{ name: "target", figure: figure("52"), reckoned: false }, { name: "customer_pressure", figure: figure("38.3"), reckoned: true }],
      limits: [{ name: "limit_ground_low", figure: figure("20"), instead_of: null, disagreed: false }],
    },
  ],
  limits: [
    {
      particular: "limit_velocity", asset: STATION, units: ["ft/s", "m/s"], standing: stands({ figure: figure("12", "ft/s") }),
      limit: { name: "limit_velocity", figure: figure("12", "ft/s"), instead_of: figure("20", "ft/s"), disagreed: false },
    },
    {
      particular: "limit_stagger", asset: STATION, units: ["psi", "kPa", "bar"], standing: never(),
      limit: { name: "limit_stagger", figure: figure("5"), instead_of: null, disagreed: false },
    },
  ],
};

const block = lineUp.elements.find((each) => each.element === "downstream_block");

export const closeOut: CloseOutView = {
  missing: [
    { code: "reading:outlet:as_left", say: words("Outlet as left, flowing, for the request that stands", "Salida como queda, con caudal, para el pedido en pie"), phase: null, procedure: null, step: null, screen: "readings", details: [] },
    { code: "step", say: words("Step: cap on, lock nut tight", "Paso: tapa puesta, contratuerca apretada"), phase: words("Tune and prove", "Afinar y comprobar"), procedure: "reducing", step: "tune.lock_nut", screen: "steps", details: [] },
    { code: "initials", say: words("Initials of Luis", "Iniciales de Luis"), phase: null, procedure: null, step: null, screen: "close_out", details: [] },
  ],
  review: [{
    code: "disagreement", settles_as: "disagreement", valve: null, details: [], more: 0, apart: null, ways: ["register"],
    place: { screen: null, procedure: null, step: null, want: null }, settled: null,
    subject: { text: block?.name ?? words("", "") }, register: { of: "position", asset: VALVE, element: "downstream_block" },
    sides: (block?.standing.values ?? []).map((value) => ({
      said: value.said,
      item: { said: value.said, kind: "line_up", subject: { text: block?.name ?? words("", "") }, value: { code: value.value }, withdrawn: false, no_effect: null, can_withdraw: true },
      read_on: null,
      body: { kind: "line_up", asset: VALVE, element: "downstream_block", position: value.value },
    })),
    entries: block?.standing.replaces ?? [], can_settle: true,
  }],
  worth_reading: [], settled: [], set_aside: [],
  initials: [{ person: ANA, entries: 31, initialled: 31, keyed_by: ["Luis"], open: [] }, { person: LUIS, entries: 8, initialled: 0, keyed_by: [], open: [] }],
  record: { digest: "9f2c4e1ab07d55c6e8301b9d7a64f0c2385ed16bb49f7702ac5518de90b3c771", entries: 45 },
  can_sign: false, cannot_sign: ["something_missing", "open_items"], signed: [], can_re_open: false,
};

export const recordContent: RecordContent = {
  digest: closeOut.record.digest, revision: 1, number: "J-2041", customer: "District", site: "Alder Street",
  valves: [{
    name: "PRV", asked: [figure("52")], as_found: [{ label: words("Outlet", "Salida"), figure: figure("70"), gauge: "G-1" }],
    as_left: [{ label: words("Outlet", "Salida"), figure: figure("52.5"), gauge: "G-1" }], verdict: "within", moves: 3,
    not_normal: [{ label: words("Bypass", "Derivación"), positions: ["open"] }],
    overridden: [], not_done: [{ what: words("Photograph the plate", "Fotografíe la placa"), why: "Ana: under paint" }],
    cautions: [words("Set at less than the minimum flow", "Ajustada con menos del caudal mínimo")],
  }],
  settled: [],
  lines: [{ number: 1, at: "2026-05-04T09:12:03+02:00", by: "Ana", kind: words("Reading", "Lectura"), what: words("Outlet", "Salida"), figure: figure("52.5"), says: words("", ""), state: words("", "") }],
};

export const crew: CrewView = {
  people: [
    { person: ANA, duties: ["wrench_hand"], replaces: ["e-duty"], role: "lead_tech", entries: 31, newest: reading() },
    { person: LUIS, duties: ["topside_hand", "attendant"], replaces: [], role: "technician", entries: 8, newest: head().mate_reading },
  ],
};
