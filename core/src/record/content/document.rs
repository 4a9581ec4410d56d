//! The whole record.

use super::{
    AtmosphereLine, ClockLine, CrewLine, GaugeLine, HistoryLine, InitialsLine, LateLine, NoteLine, PhotoLine,
    ReviewLine, SettlementLine, SignatureLine, StationSection, ValveSection, WithdrawnLine,
};
use crate::journal::{DeviceId, EntryId, JobId, JobOpened, PersonId, Register};
use crate::procedure::Text;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A record: first what happened (entries and what stands), then the same in the sections of an engineering report.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Document {
    /// The name of the format: [`crate::record::FORMAT`].
    #[schemars(extend("const" = crate::record::FORMAT))]
    pub format: String,
    /// Its version: [`crate::record::VERSION`].
    #[schemars(extend("const" = crate::record::VERSION))]
    pub version: String,
    /// The job.
    pub job: JobSection,
    /// The names of everybody on record, by person.
    pub people: BTreeMap<PersonId, String>,
    /// How far each writer had come: hex of the actor to a decimal number.
    pub clock: BTreeMap<String, String>,
    /// The changes that no other builds on, hex, sorted.
    pub heads: Vec<String>,
    /// The procedures worked by, sorted by id.
    pub procedures: Vec<ProcedureLine>,
    /// Every entry.
    pub entries: Vec<EntryLine>,
    /// What stands in each register.
    pub standing: Vec<StandingLine>,
    /// What was set aside because it makes no sense.
    pub set_aside: Vec<SetAsideLine>,
    /// The chamber.
    pub station: StationSection,
    /// The valves, in the order of the job.
    pub valves: Vec<ValveSection>,
    /// The gauges, by serial.
    pub gauges: Vec<GaugeLine>,
    /// Tests of the air.
    pub atmosphere: Vec<AtmosphereLine>,
    /// Who was there, and what each did and may do, by name.
    pub crew: Vec<CrewLine>,
    /// Clocks compared between devices.
    pub clocks: Vec<ClockLine>,
    /// What needs or needed a person's decision.
    pub review: Vec<ReviewLine>,
    /// Disagreements and open items that a person settled.
    pub settlements: Vec<SettlementLine>,
    /// Entries taken back.
    pub withdrawn: Vec<WithdrawnLine>,
    /// Free words.
    pub notes: Vec<NoteLine>,
    /// Photographs.
    pub photographs: Vec<PhotoLine>,
    /// Earlier visits, as the office or a tablet told them.
    pub history: Vec<HistoryLine>,
    /// Whose initials stand for what, by name.
    pub initials: Vec<InitialsLine>,
    /// Earlier signatures of this job, each of an earlier revision.
    pub signatures: Vec<SignatureLine>,
    /// Entries that an earlier signature did not cover.
    pub late: Vec<LateLine>,
}

/// The job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct JobSection {
    /// Its id.
    pub id: JobId,
    /// How it was handed out.
    pub opening: JobOpened,
    /// By whom and when.
    pub said: Said,
    /// The number of the revision that a signature of this record makes: 1 for the first.
    pub revision: u32,
}

/// Who said something, and when by their device's clock.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Said {
    /// The entry.
    pub entry: EntryId,
    /// Who saw it or did it.
    pub by: PersonId,
    /// Their name.
    pub name: String,
    /// Who typed it, where that was somebody else: the name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keyed_by: Option<String>,
    /// When, RFC 3339 with offset, by the device's clock.
    pub at: String,
    /// The device.
    pub device: DeviceId,
}

/// A procedure that the job was worked by, told apart from every other text of the same name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ProcedureLine {
    /// Its id.
    pub id: String,
    /// Its name.
    pub title: Text,
    /// SHA-256 of its file and of the file of common parts, in hex.
    pub digest: String,
}

/// One entry, whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EntryLine {
    /// Its id.
    pub id: EntryId,
    /// Who saw it or did it.
    pub by: PersonId,
    /// Who typed it, where that was somebody else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keyed_by: Option<PersonId>,
    /// The device.
    pub device: DeviceId,
    /// The run of the program.
    pub boot: String,
    /// Milliseconds since that boot, decimal.
    pub mono_ms: String,
    /// When, RFC 3339 with offset.
    pub at: String,
    /// The change that carried it, hex.
    pub change: String,
    /// The entry that took it back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn_by: Option<EntryId>,
    /// Why it has no effect, if so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_effect: Option<String>,
    /// What it says: an object with a `kind`. A kind that the maker of the record did not know has the `raw` text.
    #[schemars(with = "crate::journal::Body")]
    pub body: serde_json::Value,
}

/// What stands in a register.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StandingLine {
    /// Which.
    pub register: Register,
    /// Whether one thing stands.
    pub agreement: Agreement,
    /// The entries that stand.
    pub entries: Vec<EntryId>,
}

/// Whether people agree.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Agreement {
    /// It was said and taken back: nothing is known.
    Unknown,
    /// One thing stands.
    Agreed,
    /// Several stand and differ.
    Disagreed,
}

/// A change that was set aside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SetAsideLine {
    /// The change, hex.
    pub change: String,
    /// Why, a code.
    pub code: String,
}
