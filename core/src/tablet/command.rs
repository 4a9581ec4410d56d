//! What a screen can ask a tablet to do.
//!
//! A command carries everything it was made from: the person, the ids that stood in the view (`replaces`),
//! the digest that was shown. The core never fills in what nobody saw.

use crate::journal::{Asset, AssetId, Body, DeviceId, EntryId, JobId, PersonId, ValveOnJob};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One command.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Command {
    /// Who uses this tablet now.
    SetMe {
        /// The name, as they write it.
        name: String,
    },
    /// Start a job here, without an office.
    OpenJob(NewJob),
    /// Record what happened: the everyday command.
    Record(RecordEntry),
    /// Stand by one's own entries so far. Refused if their number is not the one that was shown.
    Initial {
        /// The job.
        job: JobId,
        /// Whose initials: the person themselves holds the tablet.
        person: PersonId,
        /// How many entries the person was shown.
        entries: u32,
    },
    /// Sign the record whose digest was shown. Refused if the record is another by now.
    Sign {
        /// The job.
        job: JobId,
        /// The lead tech who signs.
        person: PersonId,
        /// SHA-256 of the canonical record that was shown, in hex.
        digest: String,
    },
    /// Read the owner's procedure files again. Jobs that are open keep the files that they carry.
    ReloadProcedures,
    /// Take in a logger's file.
    Logger(LoggerCommand),
    /// Link with crew mates and office, or leave the link: the sockets are really closed.
    Link {
        /// Whether to link.
        on: bool,
    },
    /// Pair with crew mates' tablets, or forget one.
    Crew(CrewCommand),
}

/// Who is paired with this tablet.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum CrewCommand {
    /// Show a new code for a crew mate to type.
    ShowCode,
    /// Show no code any more.
    HideCode,
    /// Pair with a tablet that shows a code. When this returns `Ok`, both have kept the pairing.
    Pair {
        /// The code as it was typed.
        code: String,
        /// Where the tablet is: as it was found, or as it was typed.
        address: String,
    },
    /// Forget a paired tablet: its link ends, and it is a stranger from here on.
    Forget {
        /// Which.
        device: DeviceId,
    },
}

/// Record one body.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct RecordEntry {
    /// The job.
    pub job: JobId,
    /// Who saw it or did it, where that is not the person using the tablet.
    #[serde(default)]
    #[ts(optional)]
    pub called_by: Option<PersonId>,
    /// What happened. Openings, grants, histories, initials and signatures do not come this way.
    pub body: Body,
}

/// A logger's file comes in parts, is looked at, and is kept.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum LoggerCommand {
    /// One part of the gzipped file. Part 0 begins anew; the others follow in order.
    Part {
        /// Which part, from 0.
        part: u32,
        /// Its bytes, in base 64.
        base64: String,
    },
    /// Keep the file whose parts came, and record it.
    Keep(KeepLogger),
}

/// Keep a logger's file.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct KeepLogger {
    /// The job.
    pub job: JobId,
    /// The valve.
    pub asset: AssetId,
    /// Where the logger sat, as the procedure names the point.
    pub point: String,
    /// The file's own name.
    pub file: String,
    /// How it is to be read.
    pub reading: crate::logger::Reading,
}

/// A job started on a tablet or at the office.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct NewJob {
    /// The number people say.
    pub number: String,
    /// Whose system it is.
    pub customer: String,
    /// Where it is.
    pub site: String,
    /// The chamber.
    pub station: Asset,
    /// The valves to work on.
    pub valves: Vec<ValveOnJob>,
}

/// What a command left behind.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Reply {
    /// The job it was about, where there is one.
    pub job: Option<JobId>,
    /// The entries it made, durable by now.
    pub entries: Vec<EntryId>,
}

/// Why a command was not carried out. Nothing of it was kept; what was typed is still on the screen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, thiserror::Error)]
#[error("{code}: {message}")]
pub struct CommandError {
    /// A stable code.
    pub code: String,
    /// The same in English words, for logs and for codes a screen does not know.
    pub message: String,
}

impl CommandError {
    /// An error of this code.
    pub fn new(code: &str, message: impl Into<String>) -> Self {
        Self {
            code: code.to_owned(),
            message: message.into(),
        }
    }
}
