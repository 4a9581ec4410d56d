//! Loggers' files: what one holds before it is kept, and those that are kept, drawn.

use super::{Said, Text};
use crate::findings::verdict::Settled;
use crate::journal::{AssetId, EntryId};
use crate::logger::{Bar, Look, Reading, Remark, Window};
use crate::quantity::{Figure, Unit};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What a file holds whose parts came, read as asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LoggerLookView {
    /// What it holds.
    pub look: Option<Look>,
    /// How it is read.
    pub reading: Reading,
    /// Why it cannot be read so (a code).
    pub problem: Option<String>,
    /// What would be kept.
    pub drawn: Option<LoggerDrawn>,
    /// The units to offer where the header names none.
    pub units: Vec<Unit>,
}

/// Loggers' files of the valve in hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LoggerView {
    /// The valve.
    pub asset: AssetId,
    /// The points where a logger may sit.
    pub points: Vec<LoggerPoint>,
    /// The files, newest first.
    pub files: Vec<LoggerFileView>,
    /// The file in hand.
    pub entry: Option<EntryId>,
    /// Its window, drawn.
    pub drawn: Option<LoggerDrawn>,
    /// Why it cannot be drawn (a code): `not_here` where its bytes have not come.
    pub problem: Option<String>,
}

/// A point where a logger may sit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LoggerPoint {
    /// Its id.
    pub point: String,
    /// Its name.
    pub name: Text,
}

/// A file that is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LoggerFileView {
    /// Who took it in.
    pub said: Said,
    /// Where the logger sat.
    pub point_name: Text,
    /// The file's own name.
    pub file: String,
    /// What its header calls the column.
    pub name: String,
    /// How many rows were read.
    pub rows: u32,
}

/// A window of a series, ready to draw: low and high of each column of pixels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LoggerDrawn {
    /// The unit of the values.
    pub unit: Unit,
    /// Seconds from the first sample to the last.
    pub span_s: f64,
    /// What is shown.
    pub window: Window,
    /// How many columns of pixels the window has.
    pub columns: u32,
    /// The columns that hold a sample.
    pub bars: Vec<Bar>,
    /// The lowest value in the window, as a figure.
    pub low: Option<Figure>,
    /// The highest.
    pub high: Option<Figure>,
    /// Whether the pressure has settled within the window. None where it is no pressure, or nothing is in the window.
    pub settled: Option<Settled>,
    /// The wall clock of the window's beginning and end by the logger, RFC 3339 without an offset where the file has none. Empty
    /// where the file counts seconds.
    pub clock: Vec<String>,
    /// How many rows were read.
    pub rows: u32,
    /// How many were left out.
    pub left_out: u32,
    /// What there is to know of them.
    pub remarks: Vec<Remark>,
}
