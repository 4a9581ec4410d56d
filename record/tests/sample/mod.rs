//! An invented job, written as the JSON of a record: short, or long with 400 entries and 30 photographs. Nobody
//! and nothing in it exists.

use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};
use std::collections::HashMap;
use turnwise_core::record::export::{EXPORT_FORMAT, EXPORT_VERSION, Export, ExportSignature};
use turnwise_core::record::signature::DeviceKey;

/// An export and the photographs that it names.
pub struct Sample {
    /// The export.
    pub export: Export,
    /// The photographs by their hash.
    pub photos: HashMap<String, Vec<u8>>,
}

const DANA: &str = "00000000-0000-5000-8000-00000000000d";
const LUIS: &str = "00000000-0000-5000-8000-00000000001e";
const OFFICE: &str = "00000000-0000-5000-8000-00000000000f";
const STATION: &str = "00000000-0000-4000-8000-000000000051";
const VALVE: &str = "00000000-0000-4000-8000-0000000000a1";
const TABLET: &str = "00000000-0000-4000-8000-0000000000d1";

fn id(number: usize) -> String {
    format!("01890000-0000-7000-8000-{number:012}")
}

fn at(number: usize) -> String {
    let seconds = 8 * 3600 + number * 61;
    format!(
        "2026-05-{:02}T{:02}:{:02}:{:02}-07:00",
        4 + seconds / 86_400,
        seconds / 3600 % 24,
        seconds / 60 % 60,
        seconds % 60
    )
}

fn text(en: &str, es: &str) -> Value {
    json!({ "en": en, "es": es })
}

/// Writes entries one after the other.
struct Writer {
    entries: Vec<Value>,
}

impl Writer {
    fn entry(&mut self, by: &str, body: impl Into<Value>) -> Value {
        let body = body.into();
        let number = self.entries.len() + 1;
        self.entries.push(json!({
            "id": id(number), "by": by, "device": TABLET, "boot": "b", "mono_ms": (number * 61_000).to_string(),
            "at": at(number), "change": format!("{number:064x}"), "body": body,
        }));
        let name = match by {
            DANA => "Dana Reyes",
            LUIS => "Luis Muñoz",
            _ => "Office",
        };
        json!({ "entry": id(number), "by": by, "name": name, "at": at(number), "device": TABLET })
    }
}

fn photo(number: u32) -> Vec<u8> {
    let (width, height) = if number.is_multiple_of(3) {
        (360, 480)
    } else {
        (480, 360)
    };
    let picture = image::RgbImage::from_fn(width, height, |x, y| {
        let shade = |by: u32| u8::try_from((x * by + y * 2 + number * 37) % 256).unwrap();
        image::Rgb([shade(1), shade(2), 200])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    let format = if number.is_multiple_of(5) {
        image::ImageFormat::Png
    } else {
        image::ImageFormat::Jpeg
    };
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// The invented job. `size` is the number of entries wanted, at least 40; every photograph is one.
#[allow(clippy::too_many_lines, reason = "one job from its opening to its last note")]
pub fn sample(size: usize, photographs: u32) -> Sample {
    let mut w = Writer { entries: Vec::new() };
    let opening = json!({
        "number": "TW-2041", "customer": "Invented Water District", "site": "Quail Road vault (invented)",
        "station": { "id": STATION, "name": "Quail Road station" },
        "valves": [{ "id": VALVE, "name": "Valve 1, 6 inch", "procedure": "reducing", "size": { "digits": "6", "unit": "in" } }],
    });
    let mut opened = opening.clone();
    opened["kind"] = json!("job_opened");
    let opened = w.entry(OFFICE, opened);
    let first_request = w.entry(OFFICE, json!({ "kind": "request" }));
    let second_request = w.entry(OFFICE, json!({ "kind": "request" }));
    let request = |said: &Value, digits: &str, stands: bool| {
        json!({
            "said": said, "pressure": { "digits": digits, "unit": "psi" }, "tolerance": { "digits": "2", "unit": "psi" },
            "datum": "at the valve", "asked_by": "Operations, by telephone", "zone_limit": { "digits": "80", "unit": "psi" },
            "stands": stands,
        })
    };
    let requests = vec![
        request(&first_request, "58", false),
        request(&second_request, "55.0", true),
    ];
    let dana_joined = w.entry(DANA, json!({ "kind": "person_joined" }));
    let luis_joined = w.entry(LUIS, json!({ "kind": "person_joined" }));

    let mut gauges = Vec::new();
    for (serial, point, span, grade) in [("G-1180", "outlet", "160", "1A"), ("G-2207", "inlet", "200", "A")] {
        let said = w.entry(LUIS, json!({ "kind": "gauge", "serial": serial }));
        gauges.push(json!({
            "serial": serial, "agreement": "agreed", "earlier": [], "readings": [],
            "values": [{ "said": said, "gauge": {
                "serial": serial, "point": point, "span": { "digits": span, "unit": "psi" }, "grade": grade,
                "resolution": { "digits": "0.5", "unit": "psi" }, "calibration_due": "2026-11-30",
                "zero_before": { "digits": "0.0", "unit": "psi" }, "zero_after": { "digits": "0.5", "unit": "psi" },
            } }],
        }));
    }
    let mut atmosphere = Vec::new();
    for level in ["top", "middle", "bottom"] {
        let said = w.entry(LUIS, json!({ "kind": "atmosphere_test" }));
        atmosphere.push(json!({
            "said": said, "level": level, "oxygen": { "digits": "20.9", "unit": "%" },
            "flammable": { "digits": "0", "unit": "% LFL" }, "carbon_monoxide": { "digits": "0", "unit": "ppm" },
            "hydrogen_sulphide": { "digits": "0", "unit": "ppm" }, "meter": "M-77", "bump_tested": true,
        }));
    }
    let elements = [
        (
            "upstream_block",
            "block_valve",
            "upstream",
            "open",
            "open",
            "Upstream block valve",
            "Válvula de corte aguas arriba",
        ),
        (
            "inlet_gauge_cock",
            "gauge_cock",
            "upstream",
            "shut",
            "shut",
            "Inlet gauge cock",
            "Llave del manómetro de entrada",
        ),
        (
            "inlet_cock",
            "cock",
            "control",
            "open",
            "open",
            "Inlet cock of the pilot line",
            "Llave de entrada del piloto",
        ),
        (
            "cover_cock",
            "cock",
            "control",
            "open",
            "open",
            "Cover cock of the pilot line",
            "Llave de la cámara de control",
        ),
        (
            "cover_vent",
            "vent",
            "control",
            "shut",
            "shut",
            "Cover vent, at the indicator",
            "Purga de la cámara, en el indicador",
        ),
        (
            "outlet_cock",
            "cock",
            "control",
            "open",
            "open",
            "Outlet cock of the pilot line",
            "Llave de salida del piloto",
        ),
        (
            "outlet_gauge_cock",
            "gauge_cock",
            "downstream",
            "shut",
            "open",
            "Outlet gauge cock",
            "Llave del manómetro de salida",
        ),
        (
            "spool_vent",
            "vent",
            "downstream",
            "shut",
            "shut",
            "Spool vent",
            "Purga del carrete",
        ),
        (
            "downstream_block",
            "block_valve",
            "downstream",
            "open",
            "throttled",
            "Downstream block valve",
            "Válvula de corte aguas abajo",
        ),
        (
            "bypass",
            "bypass",
            "around",
            "shut",
            "shut",
            "Bypass valve",
            "Válvula del desvío",
        ),
        (
            "hydrant",
            "hydrant",
            "zone",
            "shut",
            "",
            "Hydrant or blow-off in use",
            "Hidrante o desagüe en uso",
        ),
    ];
    let mut line_up = Vec::new();
    for (element, class, side, normal, position, en, es) in elements {
        let mut line = json!({
            "asset": VALVE, "element": element, "label": text(en, es), "class": class, "side": side,
            "normal": normal, "agreed": class == "gauge_cock", "last": [], "story": [],
        });
        if !position.is_empty() {
            let said = w.entry(
                DANA,
                json!({ "kind": "line_up", "element": element, "position": position }),
            );
            let seen = json!({ "said": said, "position": position, "counted": { "digits": "13 1/2", "unit": "turn" } });
            line["found"] = seen.clone();
            line["agreement"] = json!("agreed");
            line["last"] = json!([seen]);
            line["story"] = line["last"].clone();
        }
        line_up.push(line);
    }
    let mut particulars = Vec::new();
    for (name, en, es, value) in [
        (
            "spring_low",
            "Spring, lowest",
            "Resorte, mínimo",
            json!({ "figure": { "digits": "20", "unit": "psi" } }),
        ),
        (
            "spring_high",
            "Spring, highest",
            "Resorte, máximo",
            json!({ "figure": { "digits": "105", "unit": "psi" } }),
        ),
        (
            "spring_rate",
            "Spring, printed rate",
            "Resorte, tasa impresa",
            json!({ "figure": { "digits": "15", "unit": "psi/turn" } }),
        ),
        (
            "plate",
            "Plate",
            "Placa",
            json!({ "text": "Invented plate, size 6, class 150, serial 000-INVENTED" }),
        ),
    ] {
        let said = w.entry(DANA, json!({ "kind": "particulars", "name": name }));
        particulars.push(json!({
            "name": name, "label": text(en, es), "agreement": "agreed", "earlier": [],
            "values": [{ "said": said, "value": value }],
        }));
    }
    let said = w.entry(DANA, json!({ "kind": "speed_control" }));
    let open = json!({ "said": said, "open": { "digits": "2 1/4", "unit": "turn" } });
    let speed_controls = json!([{
        "control": "opening", "label": text("Opening speed control", "Control de velocidad de apertura"),
        "found": open, "last": [open], "story": [open],
    }]);

    let mut work = Work::default();
    work.read(&mut w, "outlet", "70.5", "as_found", "flowing");
    work.read(&mut w, "inlet", "112", "as_found", "flowing");
    let rounds = size.saturating_sub(w.entries.len() + photographs as usize + 12) / 3;
    for round in 0..rounds.max(3) {
        let turn = ["-1/2", "-3/8", "+1/8", "-1/4", "+1/4", "+3/8", "+3/8"][round % 7];
        let moved = work.turn(&mut w, turn);
        let outlet = format!(
            "{:.1}",
            70.5 + 14.6 * work.total + [0.2, -0.3, 0.0, 0.4][round % 4]
        );
        let followed = work.read(
            &mut w,
            "outlet",
            &outlet,
            "working",
            if round % 6 == 5 { "unknown" } else { "flowing" },
        );
        work.moves[moved]["followed_by"] = json!(followed);
        work.read(
            &mut w,
            "inlet",
            &format!("{}", 112 - round % 4),
            "working",
            "flowing",
        );
    }
    let mut flow = Vec::new();
    for (gallons, outlet) in [("40", "56.1"), ("310", "55.2"), ("820", "53.9")] {
        let said = w.entry(LUIS, json!({ "kind": "flow_evidence", "how": "meter" }));
        flow.push(json!({ "said": said, "how": "meter", "flow": { "digits": gallons, "unit": "gpm" }, "place": "Meter M3, topside" }));
        work.read(&mut w, "outlet", outlet, "baseline", "flowing");
    }
    work.read(&mut w, "outlet", "59.0", "lock_up", "still");
    work.read(&mut w, "outlet", "55.5", "as_left", "flowing");
    work.read(&mut w, "inlet", "111", "as_left", "flowing");

    let long_words = "The strainer basket came out with a handful of gravel and two pieces of tape; both were photographed and kept. \
        The crew agreed that the screen is worn at the seam and should be changed at the next visit. Se repitió la lectura tres veces. \
        A very-long-unbroken-reference: https://example.invalid/quail-road/vault/2026/05/04/strainer/basket/photographs-and-measurements.";
    let mut notes = Vec::new();
    for words in [long_words, "Lid hinge stiff ≥ 2 people 👍 needed"] {
        let said = w.entry(LUIS, json!({ "kind": "note", "text": words }));
        notes.push(json!({ "said": said, "text": words }));
    }
    let mut shown = Vec::new();
    let mut photos = HashMap::new();
    for number in 0..photographs {
        let bytes = photo(number);
        let hash = turnwise_core::record::hex(&Sha256::digest(&bytes));
        let said = w.entry(DANA, json!({ "kind": "photo", "sha256": hash }));
        shown.push(json!({ "said": said, "sha256": hash, "size": bytes.len(), "caption": format!("Invented picture {}", number + 1) }));
        photos.insert(hash, bytes);
    }
    let mut steps = Vec::new();
    for (number, (phase, phase_es, en, es, status)) in [
        (
            "Before the job",
            "Antes del trabajo",
            "Read the request",
            "Lea el pedido",
            "done",
        ),
        (
            "Before the job",
            "Antes del trabajo",
            "Valve's own manual",
            "Manual de la válvula",
            "overridden",
        ),
        ("Entry", "Entrada", "Test the air", "Pruebe el aire", "done"),
        (
            "As found",
            "Como se encontró",
            "Photograph the plate",
            "Fotografíe la placa",
            "not_done",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let said = w.entry(DANA, json!({ "kind": "step_mark" }));
        let over = status == "overridden";
        steps.push(json!({
            "procedure": "reducing", "phase": "p", "phase_title": text(phase, phase_es), "step": format!("p.{number}"),
            "title": text(en, es), "status": status, "passed": false, "applies": true, "went_over": [],
            "marks": [{
                "said": said, "outcome": if status == "not_done" { "not_done" } else { "done" },
                "overridden": if over { json!([{ "code": "particular:min_flow", "say": text("Minimum flow on record", "Caudal mínimo anotado") }]) } else { json!([]) },
                "reason": if over { json!("The manual is not on the truck; the office reads it out tomorrow") } else { Value::Null },
            }],
        }));
    }
    let resolution = w.entry(DANA, json!({ "kind": "resolution" }));
    let as_left = work.purpose("as_left");
    let value = json!({
        "format": "turnwise-record", "version": turnwise_core::record::VERSION,
        "job": { "id": id(1), "opening": opening, "said": opened, "revision": 1 },
        "people": { DANA: "Dana Reyes", LUIS: "Luis Muñoz", OFFICE: "Office" },
        "clock": {}, "heads": [], "procedures": [{ "id": "reducing", "title": text("Reducing valve", "Válvula reductora"), "digest": "ab".repeat(32) }],
        "entries": w.entries, "standing": [], "set_aside": [],
        "station": { "asset": { "id": STATION, "name": "Quail Road station" }, "particulars": [] },
        "valves": [{
            "id": VALVE, "name": "Valve 1, 6 inch", "procedure": "reducing",
            "title": text("Reducing valve: put in service and set", "Válvula reductora: puesta en servicio y ajuste"),
            "size": { "digits": "6", "unit": "in" }, "main_point": "outlet", "requests": requests,
            "particulars": particulars, "line_up": line_up, "speed_controls": speed_controls,
            "readings": work.readings, "as_found": work.purpose("as_found"), "as_left": as_left,
            "baseline": work.purpose("baseline"), "lock_up": work.purpose("lock_up"), "moves": work.moves,
            "static_settings": [], "flow": flow, "steps": steps,
            "not_done": [{ "code": "step_not_done", "say": text("Photograph the plate", "Fotografíe la placa"), "reason": "The plate is under paint" }],
            "cautions": [{ "code": "low_flow_setting", "say": text("Set at less than the valve's minimum flow: a low-flow setting.", "Ajustada con menos del caudal mínimo: ajuste de bajo caudal.") }],
            "findings": {
                "as_left": {
                    "verdict": "within", "reading": as_left[0], "asked": { "digits": "55.0", "unit": "psi" },
                    "tolerance": { "digits": "2", "unit": "psi" }, "difference": { "digits": "0.5", "unit": "psi" },
                    "uncertainty": { "digits": "1.1", "unit": "psi" }, "warnings": [],
                },
                "droop": { "verdict": "look", "figure": { "digits": "2.2", "unit": "psi" }, "readings": work.purpose("baseline"), "warnings": [] },
                "repeatability": { "verdict": "not_known", "readings": [], "warnings": [] },
                "lock_up": { "verdict": "outside", "figure": { "digits": "3.5", "unit": "psi" }, "readings": work.purpose("lock_up"), "warnings": [] },
                "rates": [{
                    "screw": "pilot", "rate": { "digits": "14.6", "unit": "psi/turn" }, "low": { "digits": "13.9", "unit": "psi/turn" },
                    "high": { "digits": "15.3", "unit": "psi/turn" }, "printed": { "digits": "15", "unit": "psi/turn" }, "moves": 6,
                    "line": [
                        { "turns": { "digits": "-1.2", "unit": "turn" }, "pressure": { "digits": "53.0", "unit": "psi" } },
                        { "turns": { "digits": "0", "unit": "turn" }, "pressure": { "digits": "70.5", "unit": "psi" } },
                    ],
                    "warnings": [],
                }],
            },
        }],
        "gauges": gauges, "atmosphere": atmosphere,
        "crew": [
            { "person": DANA, "name": "Dana Reyes", "role": "lead_tech", "duties": ["wrench_hand"], "said": [{ "said": dana_joined, "duties": ["wrench_hand"] }] },
            { "person": LUIS, "name": "Luis Muñoz", "duties": ["topside_hand"], "said": [{ "said": luis_joined, "duties": ["topside_hand"] }] },
        ],
        "clocks": [],
        "review": [{ "code": "request_changed", "entries": [id(3)], "about": text("Request", "Pedido") }],
        "settlements": [{
            "said": resolution, "reason": "Looked at it together: the handle sits a quarter short", "code": "disagreement",
            "about": text("Downstream block valve", "Válvula de corte aguas abajo"),
            "sides": [
                { "said": dana_joined, "body": { "kind": "line_up", "position": "open" } },
                { "said": luis_joined, "body": { "kind": "line_up", "position": "throttled" } },
            ],
            "found": { "kind": "line_up", "position": "throttled" },
        }],
        "withdrawn": [], "notes": notes, "photographs": shown, "history": [],
        "initials": [
            { "person": DANA, "name": "Dana Reyes", "entries": 21, "initialled": [id(6)], "open": [id(7), id(8)], "said": [dana_joined] },
        ],
        "signatures": [], "late": [],
    });
    let export = Export {
        format: EXPORT_FORMAT.to_owned(),
        version: EXPORT_VERSION.to_owned(),
        record: value,
        signatures: Vec::new(),
        addendum: Vec::new(),
        seal: None,
    };
    let mut sample = Sample { export, photos };
    sample.seal();
    sample
}

impl Sample {
    /// The record, to look into.
    pub fn record(&self) -> &Value {
        &self.export.record
    }

    /// The same, signed by Dana with a key.
    pub fn signed(mut self) -> Self {
        let digest = turnwise_core::record::digest(self.export.canonical_record().unwrap().as_bytes());
        let key = DeviceKey::from_secret([7; 32]);
        let mut signature = ExportSignature {
            entry: id(9_001),
            job: id(1),
            revision: 1,
            digest,
            heads: Vec::new(),
            by: DANA.to_owned(),
            at: at(9_001),
            key: Some(key.public()),
            signature: None,
            certificate: None,
        };
        signature.signature = Some(key.sign(&signature.signed().message()));
        self.export.signatures.push(signature);
        self.seal();
        self
    }

    /// The same with notes that came after the signature.
    pub fn with_late_notes(mut self, notes: &[&str]) -> Self {
        for (number, words) in (9_101..).zip(notes) {
            self.export.addendum.push(json!({
                "id": id(number), "by": LUIS, "device": TABLET, "boot": "b", "mono_ms": "1", "at": at(number),
                "change": format!("{number:064x}"), "body": { "kind": "note", "text": words },
            }));
        }
        self.seal();
        self
    }

    /// Puts the seal on anew.
    pub fn seal(&mut self) {
        self.export
            .seal(&DeviceKey::from_secret([8; 32]), TABLET, &at(9_999))
            .unwrap();
    }
}

/// The readings and moves of the valve.
#[derive(Default)]
struct Work {
    readings: Vec<Value>,
    moves: Vec<Value>,
    total: f64,
}

impl Work {
    fn read(&mut self, w: &mut Writer, point: &str, digits: &str, purpose: &str, water: &str) -> String {
        let figure = json!({ "digits": digits, "unit": "psi" });
        let said = w.entry(
            if point == "outlet" { DANA } else { LUIS },
            json!({ "kind": "reading", "asset": VALVE, "point": point, "figure": figure, "purpose": purpose, "water": water }),
        );
        let entry = said["entry"].as_str().unwrap().to_owned();
        self.readings.push(json!({
            "said": said, "point": point, "figure": figure, "purpose": purpose, "water": water,
            "label": if point == "outlet" { text("Outlet", "Salida") } else { text("Inlet", "Entrada") },
            "gauge": if point == "outlet" { "G-1180" } else { "G-2207" },
            "turned": [{ "screw": "pilot", "turns": { "digits": format!("{:.3}", self.total), "unit": "turn" } }],
            "uncertainty": { "standard": { "digits": "0.92", "unit": "psi" }, "basis": "gauge", "problems": [] },
        }));
        entry
    }

    fn turn(&mut self, w: &mut Writer, digits: &str) -> usize {
        let figure: turnwise_core::quantity::Figure = format!("{digits} turn").parse().unwrap();
        self.total += figure.value().unwrap();
        let said = w.entry(
            DANA,
            json!({ "kind": "screw_move", "asset": VALVE, "screw": "pilot", "turn": figure }),
        );
        self.moves.push(json!({
            "said": said, "screw": "pilot", "label": text("Adjusting screw of the pilot", "Tornillo de ajuste del piloto"),
            "turn": figure, "total": { "digits": format!("{:.3}", self.total), "unit": "turn" },
        }));
        self.moves.len() - 1
    }

    fn purpose(&self, purpose: &str) -> Vec<String> {
        self.readings
            .iter()
            .filter(|line| line["purpose"] == purpose)
            .map(|line| line["said"]["entry"].as_str().unwrap().to_owned())
            .collect()
    }
}
