//! What an entry can say: one struct a kind, and [`Body`], the tagged enum over them.
//!
//! A kind this version does not know is kept word for word as [`Body::Unknown`] and passed on untouched.

use super::{AssetId, DeviceId, EntryId, JobId, LoggerFile, PersonId, Photo, ProcedureFile, Register};
use crate::quantity::Figure;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use serde_json::value::RawValue;
use std::borrow::Cow;
use std::collections::BTreeMap;
use ts_rs::TS;

macro_rules! bodies {
    ($($(#[$doc:meta])* $kind:ident = $tag:literal,)*) => {
        /// What happened. The tag in the stored JSON is `kind`.
        #[derive(Clone, Debug, PartialEq, TS)]
        #[ts(tag = "kind", rename_all = "snake_case")]
        pub enum Body {
            $($(#[$doc])* $kind($kind),)*
            /// A kind that this version does not know, kept word for word.
            #[ts(skip)]
            Unknown(Unknown),
        }

        impl Body {
            /// The kinds that this version knows, as they are tagged.
            pub const KINDS: &'static [&'static str] = &[$($tag),*];

            /// The tag of this body.
            pub fn kind(&self) -> &str {
                match self {
                    $(Self::$kind(_) => $tag,)*
                    Self::Unknown(unknown) => &unknown.kind,
                }
            }
        }

        impl Serialize for Body {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                #[derive(Serialize)]
                struct Tagged<'a, T> {
                    kind: &'static str,
                    #[serde(flatten)]
                    body: &'a T,
                }
                match self {
                    $(Self::$kind(body) => Tagged { kind: $tag, body }.serialize(serializer),)*
                    Self::Unknown(unknown) => RawValue::from_string(unknown.raw.clone())
                        .map_err(serde::ser::Error::custom)?
                        .serialize(serializer),
                }
            }
        }

        impl JsonSchema for Body {
            fn schema_name() -> Cow<'static, str> {
                "Body".into()
            }

            /// As it stands in a record: a kind that is not known here is its tag and its raw text.
            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                let kinds = [$(tagged($tag, $kind::json_schema(generator))),*];
                let known = Self::KINDS;
                json_schema!({
                    "description": "What an entry says. The kind tells which one it is.",
                    "oneOf": kinds.into_iter().chain([json_schema!({
                        "type": "object",
                        "description": "A kind that the maker of the record did not know, as the text it came in.",
                        "properties": {
                            "kind": { "type": "string", "not": { "enum": known } },
                            "raw": { "type": "string" },
                        },
                        "required": ["kind", "raw"],
                    })]).collect::<Vec<_>>(),
                })
            }
        }

        impl<'de> Deserialize<'de> for Body {
            /// Only from a JSON text (not from a `serde_json::Value`): an unknown kind is kept as written.
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let raw = Box::<RawValue>::deserialize(deserializer)?;
                let Tag { kind } = serde_json::from_str(raw.get()).map_err(D::Error::custom)?;
                match kind.as_str() {
                    $($tag => serde_json::from_str(raw.get()).map(Self::$kind).map_err(D::Error::custom),)*
                    _ => Ok(Self::Unknown(Unknown { kind, raw: raw.get().to_owned() })),
                }
            }
        }
    };
}

/// The schema of a body's fields with its tag among them.
fn tagged(tag: &str, mut fields: Schema) -> Schema {
    let tag = json_schema!({ "type": "string", "const": tag });
    let object = fields.ensure_object();
    if let Some(properties) = object
        .entry("properties")
        .or_insert_with(|| serde_json::json!({}))
        .as_object_mut()
    {
        properties.insert("kind".to_owned(), tag.to_value());
    }
    if let Some(required) = object
        .entry("required")
        .or_insert_with(|| serde_json::json!([]))
        .as_array_mut()
    {
        required.push("kind".into());
    }
    fields
}

bodies! {
    /// The job as it was handed out. The first entry of a journal.
    JobOpened = "job_opened",
    /// What the customer asked for. A register.
    Request = "request",
    /// One particular of a valve or station, as read from a plate or told. A register.
    Particulars = "particulars",
    /// The state of one cock, block valve, vent or bypass. A register.
    LineUp = "line_up",
    /// A figure read off a gauge.
    Reading = "reading",
    /// One turn of an adjusting screw.
    ScrewMove = "screw_move",
    /// Where a speed control stands. A register.
    SpeedControl = "speed_control",
    /// A step done, not done, or a choice made. A register.
    StepMark = "step_mark",
    /// What shows that water moves, or that it stopped.
    FlowEvidence = "flow_evidence",
    /// One test of the air at one level.
    AtmosphereTest = "atmosphere_test",
    /// A gauge on the job. A register.
    Gauge = "gauge",
    /// Free words.
    Note = "note",
    /// A photograph, kept as a blob.
    Photo = "photo",
    /// A logger's file, kept as a blob.
    LoggerFile = "logger_file",
    /// Somebody's duty on this job. A register.
    PersonJoined = "person_joined",
    /// What a person may do on this job, from the office. A register.
    Grant = "grant",
    /// An earlier visit to the valve, from the office.
    History = "history",
    /// An earlier entry is taken back.
    Withdrawn = "withdrawn",
    /// A disagreement or an open item is settled.
    Resolution = "resolution",
    /// Two devices' clocks compared.
    ClockCheck = "clock_check",
    /// A person stands by their own entries so far.
    Initials = "initials",
    /// The lead tech signs the record.
    SignOff = "sign_off",
    /// A signed job is opened again.
    ReOpened = "re_opened",
    /// A procedure file of an owner's that the job is worked by, or a part of one. From whoever opened the job.
    ProcedureFile = "procedure_file",
}

impl Body {
    /// What a reader of a register sees: the body itself, or what a resolution found to be so.
    pub fn found(&self) -> &Body {
        match self {
            Self::Resolution(Resolution {
                about: About::Register { value, .. },
                ..
            }) => value,
            other => other,
        }
    }

    /// The register this body writes to, or none where it is no register's.
    pub fn register(&self) -> Option<Register> {
        Some(match self {
            Self::Request(b) => Register::Request { valve: b.valve },
            Self::Particulars(b) => Register::Particular {
                asset: b.asset,
                name: b.name.clone(),
            },
            Self::LineUp(b) => Register::Position {
                asset: b.asset,
                element: b.element.clone(),
            },
            Self::SpeedControl(b) => Register::SpeedControl {
                asset: b.asset,
                control: b.control.clone(),
            },
            Self::StepMark(b) => Register::Step {
                asset: b.asset,
                procedure: b.procedure.clone(),
                step: b.step.clone(),
            },
            Self::Gauge(b) => Register::Gauge {
                serial: b.serial.clone(),
            },
            Self::PersonJoined(b) => Register::Duty { person: b.person },
            Self::Grant(b) => Register::Grant { person: b.person },
            Self::Resolution(Resolution {
                about: About::Register { register, .. },
                ..
            }) => register.clone(),
            _ => return None,
        })
    }

    /// The entries this one claims to take the place of. Claims only: the fold honours causal ancestors in
    /// the same register and ignores the rest.
    pub fn replaces(&self) -> &[EntryId] {
        match self {
            Self::Request(b) => &b.replaces,
            Self::Particulars(b) => &b.replaces,
            Self::LineUp(b) => &b.replaces,
            Self::SpeedControl(b) => &b.replaces,
            Self::StepMark(b) => &b.replaces,
            Self::Gauge(b) => &b.replaces,
            Self::PersonJoined(b) => &b.replaces,
            Self::Grant(b) => &b.replaces,
            Self::Resolution(Resolution {
                about: About::Register { replaces, .. },
                ..
            }) => replaces,
            _ => &[],
        }
    }
}

/// A body of a kind this version does not know.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Its tag.
    pub kind: String,
    /// Its JSON text, as it was written.
    pub raw: String,
}

/// The job as it was handed out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct JobOpened {
    /// The number people say.
    pub number: String,
    /// Whose system it is.
    pub customer: String,
    /// Where it is.
    pub site: String,
    /// The chamber or pump room: its own asset, since block valves may serve several valves.
    pub station: Asset,
    /// The valves to work on, at least one.
    pub valves: Vec<ValveOnJob>,
}

/// A thing with a name and an id of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Asset {
    /// Its id, the same at every visit.
    pub id: AssetId,
    /// What people call it.
    pub name: String,
}

/// A valve that the job is about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct ValveOnJob {
    /// Its id, the same at every visit.
    pub id: AssetId,
    /// What people call it.
    pub name: String,
    /// The procedure file to work by: `reducing`, and later kinds.
    pub procedure: String,
    /// Nominal size, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<Figure>,
}

/// What the customer asked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Request {
    /// The valve it is about.
    pub valve: AssetId,
    /// The outlet pressure to hold.
    pub pressure: Figure,
    /// How far off it may be, either way. None: the default rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<Figure>,
    /// Where the pressure is meant: at the valve, at a hydrant, at an elevation.
    pub datum: String,
    /// Who asked.
    pub asked_by: String,
    /// The highest pressure the zone may see. Over it everybody stops.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone_limit: Option<Figure>,
    /// The requests it takes the place of, as its writer saw them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// One particular of a valve or station.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Particulars {
    /// Whose particular.
    pub asset: AssetId,
    /// Which: one of [`particular`]'s names, or an owner's own.
    pub name: String,
    /// What it is.
    pub value: ParticularValue,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// The names of particulars that the product itself uses.
pub mod particular {
    /// Lowest setting of the pilot's spring, pressure.
    pub const SPRING_LOW: &str = "spring_low";
    /// Highest setting of the pilot's spring, pressure.
    pub const SPRING_HIGH: &str = "spring_high";
    /// The printed rate, pressure a turn.
    pub const SPRING_RATE: &str = "spring_rate";
    /// The least difference between inlet and outlet that the valve's manual gives, pressure.
    pub const MIN_DIFFERENTIAL: &str = "min_differential";
    /// The least flow at which the valve regulates, by its manual.
    pub const MIN_FLOW: &str = "min_flow";
    /// Nominal size of the valve.
    pub const SIZE: &str = "size";
    /// The flow coefficient of the valve fully open, Cv or Kv.
    pub const COEFFICIENT: &str = "coefficient";
    /// The liquid pressure recovery factor FL by the valve's manual, a ratio.
    pub const RECOVERY: &str = "recovery";
    /// The least cavitation index that the valve's manual allows, by the inlet pressure:
    /// `(P1 - Pv) / (P1 - P2)`, a ratio.
    pub const SIGMA_LIMIT: &str = "sigma_limit";
    /// The least flow that the zone draws.
    pub const FLOW_LOW: &str = "flow_low";
    /// The most flow that the zone draws.
    pub const FLOW_PEAK: &str = "flow_peak";
    /// The lowest inlet pressure of the day.
    pub const INLET_LOW: &str = "inlet_low";
    /// The highest inlet pressure of the day.
    pub const INLET_HIGH: &str = "inlet_high";
    /// The elevation at which the requested pressure is meant.
    pub const DATUM_ELEVATION: &str = "datum_elevation";
    /// The elevation of the zone's lowest customer.
    pub const LOWEST_CUSTOMER: &str = "lowest_customer";
    /// The elevation of the zone's highest customer.
    pub const HIGHEST_CUSTOMER: &str = "highest_customer";
    /// The pressure at which the zone's relief valve opens.
    pub const RELIEF_OPENS_AT: &str = "relief_opens_at";
    /// The highest reducing set point that a relief valve stands over.
    pub const HIGHEST_REDUCING: &str = "highest_reducing";
    /// The set point of the valve beside this one, in a parallel station.
    pub const OTHER_SET_POINT: &str = "other_set_point";
    /// The flow of a hydrant flow test.
    pub const TEST_FLOW: &str = "test_flow";
    /// The static pressure of that test.
    pub const TEST_STATIC: &str = "test_static";
    /// The residual pressure of that test.
    pub const TEST_RESIDUAL: &str = "test_residual";
    /// On which side of the regulating valve it was made: `upstream` or `downstream`.
    pub const TEST_SIDE: &str = "test_side";
    /// What the plate says, in words.
    pub const PLATE: &str = "plate";
    /// Height of the adjusting screw as found (threads showing, or a length).
    pub const SCREW_HEIGHT: &str = "screw_height";
    /// Whether the chamber is a permit space: `yes` or `no`.
    pub const PERMIT_SPACE: &str = "permit_space";
    /// The way the screw was seen to act: `raises` or `lowers` when turned clockwise.
    pub const CLOCKWISE: &str = "clockwise";
    /// First on-line reading minus the static setting, pressure.
    pub const STATIC_DIFFERENCE: &str = "static_difference";
    /// The opening stroke, time.
    pub const STROKE_OPENING: &str = "stroke_opening";
    /// The closing stroke, time.
    pub const STROKE_CLOSING: &str = "stroke_closing";
    /// What was found wrong with the valve, in words.
    pub const FAULTS_FOUND: &str = "faults_found";
}

/// A figure with its unit, or words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ParticularValue {
    /// A figure as read.
    Figure(Figure),
    /// Words as read.
    Text(String),
}

/// The state of one element of the line-up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct LineUp {
    /// The valve or station the element belongs to.
    pub asset: AssetId,
    /// Which element, as the procedure file names it.
    pub element: String,
    /// How it stands.
    pub position: Position,
    /// Turns counted while moving it, where somebody counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counted: Option<Figure>,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// How a cock, block valve or vent stands.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Position {
    /// Fully open.
    Open,
    /// Shut.
    Shut,
    /// Somewhere between.
    Throttled,
}

/// A figure read off a gauge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Reading {
    /// The valve it is about.
    pub asset: AssetId,
    /// Where it was read, as the procedure file names the point.
    pub point: String,
    /// Which hydrant or tap, in words, where the point alone does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// What was read.
    pub figure: Figure,
    /// The serial of the gauge, where it is on record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gauge: Option<String>,
    /// What it was read for.
    pub purpose: Purpose,
    /// Whether water moved while it was read.
    pub water: Water,
    /// The request worked to, where the purpose is `as_left`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request: Option<EntryId>,
}

/// What a reading was taken for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// Before anything was touched.
    AsFound,
    /// While working.
    Working,
    /// The setting found with the pilot isolated and a test bleed running.
    StaticSetting,
    /// Low, normal or high flow, for the droop and the fault-finder's baseline.
    Baseline,
    /// With no flow, to show that the valve closes tight.
    LockUp,
    /// How the valve is left.
    AsLeft,
}

/// Whether water moved.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Water {
    /// Seen to move.
    Flowing,
    /// Seen to stand.
    Still,
    /// Nobody knows.
    Unknown,
}

/// One turn of an adjusting screw.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct ScrewMove {
    /// The valve.
    pub asset: AssetId,
    /// Which screw, as the procedure file names it.
    pub screw: String,
    /// How far, clockwise positive, in turns, degrees or flats, as it was said.
    pub turn: Figure,
    /// The request worked to, if one stood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request: Option<EntryId>,
    /// The reading it was planned from, if it was planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planned_from: Option<EntryId>,
}

/// Where a speed control stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct SpeedControl {
    /// The valve.
    pub asset: AssetId,
    /// Which control, as the procedure file names it.
    pub control: String,
    /// Turns open from seated.
    pub open: Figure,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// What became of a step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct StepMark {
    /// The valve.
    pub asset: AssetId,
    /// The procedure file.
    pub procedure: String,
    /// The step in it.
    pub step: String,
    /// What became of it.
    pub outcome: Outcome,
    /// Needs and evidence that were unmet when it was marked, by their codes. They reach the record.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub overridden: Vec<String>,
    /// Why, where something was overridden or not done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// The outcome of a step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Done.
    Done,
    /// Left out; the mark says why.
    NotDone,
    /// A question answered, by the option's id.
    Chosen(String),
}

/// What shows that water moves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct FlowEvidence {
    /// The valve.
    pub asset: AssetId,
    /// What was seen.
    pub how: FlowProof,
    /// How much, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow: Option<Figure>,
    /// Where, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}

/// What counts as proof of flow, and its end.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum FlowProof {
    /// A meter runs.
    Meter,
    /// A pitot reads.
    Pitot,
    /// Water is seen to come out.
    VisibleDischarge,
    /// The outlet fell when the screw was turned down.
    OutletFellOnDownwardMove,
    /// The flow was stopped: what was proven before no longer holds.
    Stopped,
}

/// One test of the air at one level. Every figure is as the meter showed it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct AtmosphereTest {
    /// The chamber.
    pub asset: AssetId,
    /// Where in the chamber.
    pub level: Level,
    /// Oxygen, percent by volume.
    pub oxygen: Figure,
    /// Flammable gas, percent of the lower flammable limit.
    pub flammable: Figure,
    /// Carbon monoxide, ppm.
    pub carbon_monoxide: Figure,
    /// Hydrogen sulphide, ppm.
    pub hydrogen_sulphide: Figure,
    /// Serial of the meter.
    pub meter: String,
    /// Whether it was bump tested today.
    pub bump_tested: bool,
}

/// A level of a chamber, from the lid down.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Just under the lid, through the pick hole.
    Top,
    /// Half way.
    Middle,
    /// At the floor.
    Bottom,
}

/// A gauge on the job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Gauge {
    /// Its serial: what identifies it.
    pub serial: String,
    /// The point it is fitted to, if it stays there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub point: Option<String>,
    /// Full scale; it starts at zero.
    pub span: Figure,
    /// Accuracy grade or percent of span, as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// The smallest step one can read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resolution: Option<Figure>,
    /// When its calibration runs out, as a date.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibration_due: Option<String>,
    /// What it showed vented, before the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zero_before: Option<Figure>,
    /// What it showed vented, after the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zero_after: Option<Figure>,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// Free words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Note {
    /// The words.
    pub text: String,
    /// The entry they are about, if one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<EntryId>,
}

/// Somebody's duty on this job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct PersonJoined {
    /// Who.
    pub person: PersonId,
    /// The name, as they write it.
    pub name: String,
    /// What they do. Empty: they left.
    pub duties: Vec<Duty>,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// What somebody does on the job.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Duty {
    /// At the valve, underground.
    WrenchHand,
    /// At the lid, a hydrant or a tap, and at the downstream valve.
    TopsideHand,
    /// Stays at the opening of a permit space and watches, nothing else.
    Attendant,
    /// Answers for the entry.
    EntrySupervisor,
}

/// What a person may do on this job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Grant {
    /// Who.
    pub person: PersonId,
    /// The name.
    pub name: String,
    /// What they may.
    pub role: Role,
    /// What it takes the place of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replaces: Vec<EntryId>,
}

/// A role. It comes only from the office.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Works, settles and signs.
    LeadTech,
    /// Works and settles.
    Technician,
    /// Reads only.
    Reader,
}

/// An earlier visit to a valve, summed up when it was closed. It never changes: a later visit is another entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct History {
    /// The valve.
    pub asset: AssetId,
    /// When the visit ended, RFC 3339.
    pub closed_at: String,
    /// Outlet as left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_left: Option<Figure>,
    /// The rate learned, pressure a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub learned_rate: Option<Figure>,
    /// On-line minus static.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub static_difference: Option<Figure>,
    /// Digests of the records it comes from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub records: Vec<String>,
    /// The rest of what it found. Written beside the others.
    #[serde(flatten)]
    pub more: Box<VisitDetails>,
}

/// What else an earlier visit found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct VisitDetails {
    /// The job that it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub job: Option<JobId>,
    /// That job's number, as people say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// The procedure that the valve was worked by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub procedure: Option<String>,
    /// The point that all pressures here were read at, where it is not the outlet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub point: Option<String>,
    /// The pressure asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub requested: Option<Figure>,
    /// As found, with water moving.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_found: Option<Figure>,
    /// The highest reading without flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lock_up: Option<Figure>,
    /// The opening stroke.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stroke_opening: Option<Figure>,
    /// The closing stroke.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stroke_closing: Option<Figure>,
    /// How often a screw was turned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moves: Option<u32>,
    /// Where the first screw was left against where it was found, clockwise positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turned: Option<Figure>,
    /// What was found wrong, or limits what the setting is worth.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faults: Vec<FoundFault>,
}

/// What was found wrong at a visit, in each language of the product. Words that somebody typed are the same in both.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
pub struct FoundFault {
    /// English.
    pub en: String,
    /// Spanish.
    pub es: String,
}

/// An earlier entry is taken back. It brings nothing back that the entry had replaced.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Withdrawn {
    /// Which.
    pub entry: EntryId,
    /// Why.
    pub reason: String,
}

/// A disagreement or an open item is settled by a named person.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Resolution {
    /// What is settled.
    pub about: About,
    /// Why it is so: what was looked at, who was asked.
    pub reason: String,
}

/// What a resolution is about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// A register on which entries disagreed, or where nothing stands.
    Register {
        /// Which.
        register: Register,
        /// The entries that stood.
        replaces: Vec<EntryId>,
        /// What is found to be so: a body of that register, never another resolution. Its own `replaces`
        /// counts for nothing.
        #[serde(deserialize_with = "not_a_resolution")]
        value: Box<Body>,
    },
    /// Another item of the review, by its code and the entries it showed.
    Item {
        /// The item's code.
        code: String,
        /// The entries it was about. With another set, the item is open again.
        entries: Vec<EntryId>,
    },
}

/// Refuses a resolution inside a resolution before reading it, so that no text makes the reader go deeper and
/// deeper.
fn not_a_resolution<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Box<Body>, D::Error> {
    let raw = Box::<RawValue>::deserialize(deserializer)?;
    let Tag { kind } = serde_json::from_str(raw.get()).map_err(D::Error::custom)?;
    if kind == "resolution" {
        return Err(D::Error::custom(
            "a resolution cannot find another resolution to be so",
        ));
    }
    serde_json::from_str(raw.get())
        .map(Box::new)
        .map_err(D::Error::custom)
}

/// What tells a body's kind.
#[derive(Deserialize)]
struct Tag {
    kind: String,
}

/// Two devices' clocks compared over a link.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct ClockCheck {
    /// The other device.
    pub with: DeviceId,
    /// Its clock minus ours, milliseconds.
    #[ts(type = "number")]
    pub offset_ms: i64,
    /// The best probe's round trip, milliseconds.
    #[ts(type = "number")]
    pub round_trip_ms: u64,
}

/// The person of the entry stands by every entry of their own among this one's causal ancestors.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Initials {
    /// How many entries the person was shown.
    pub entries: u32,
}

/// The lead tech signs the record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct SignOff {
    /// SHA-256 of the record's canonical JSON (RFC 8785), in hex.
    pub digest: String,
    /// The journal's heads that the record was taken from, in hex.
    pub heads: Vec<String>,
    /// Actor to sequence number, of everything the record was taken from.
    #[ts(type = "Record<string, number>")]
    pub clock: BTreeMap<String, u64>,
    /// 1 for the first, one more at each signing again.
    pub revision: u32,
    /// The public key (Ed25519) of the device that signed, in hex. None: signed before devices had keys.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<String>,
    /// When it was signed, RFC 3339 by the device's clock: the time that the signature covers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_at: Option<String>,
    /// The signature over job, revision, digest, heads, signer and time, in hex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signature: Option<String>,
}

/// A signed job is opened again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
pub struct ReOpened {
    /// The sign-off that no longer stands alone.
    pub sign_off: EntryId,
    /// Why.
    pub reason: String,
}
