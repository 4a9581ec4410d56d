//! From a file to a series.

use super::layout::{chosen, layout, reader};
use super::number::number;
use super::text::text;
use super::time::When;
use super::{LoggerError, MAX_ROWS};
use crate::quantity::{Dimension, Unit};
use crate::steady::Sample;
use csv::StringRecord;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How a file is to be read, as far as somebody said it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[schemars(rename = "LoggerReading")]
#[ts(rename = "LoggerReading")]
pub struct Reading {
    /// Which column, counted from 0. None: the first one with a unit of pressure, else the first one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub column: Option<u32>,
    /// The unit, where the header does not name it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// Whether the day stands before the month, where the dates do not tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day_first: Option<bool>,
}

/// What there is to know of the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "LoggerRemark")]
pub enum Remark {
    /// They were not in order of time; they were put in order.
    Unordered,
    /// Several had the same time; their mean was taken.
    DuplicateTimes,
    /// Some hold no number, or no time: they were left out.
    RowsLeftOut,
    /// Times come without an offset: they are those of a clock on the spot.
    LocalTimes,
    /// There is a gap of more than ten usual steps.
    Gaps,
}

/// A series of pressures or flows.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// What the header calls the column.
    pub name: String,
    /// The unit of the values: that of the file.
    pub unit: Unit,
    /// Seconds of the first sample since the epoch, by the file's own clock. 0-based seconds where the file counts from nothing.
    pub begins_s: f64,
    /// Whether the times are dates; else they are seconds since something.
    pub dated: bool,
    /// Seconds since the first sample and value, strictly rising in time.
    pub samples: Vec<(f64, f64)>,
    /// How many rows were read and how many left out.
    pub rows: (usize, usize),
    /// What there is to know, in order.
    pub remarks: Vec<Remark>,
}

impl Series {
    /// The samples within a stretch of time, as steady-state detection takes them. None where it is no series of pressures.
    pub fn samples_psi(&self, from_s: f64, to_s: f64) -> Option<Vec<Sample>> {
        if self.unit.dimension() != Dimension::Pressure {
            return None;
        }
        let psi_of_one = self.unit.convert(1.0, Unit::Psi).ok()?;
        Some(
            self.within(from_s, to_s)
                .iter()
                .map(|&(at_s, value)| Sample {
                    at_s,
                    psi: value * psi_of_one,
                })
                .collect(),
        )
    }

    /// The samples within a stretch of time, ends included.
    pub fn within(&self, from_s: f64, to_s: f64) -> &[(f64, f64)] {
        let from = self.samples.partition_point(|&(at, _)| at < from_s);
        let to = self.samples.partition_point(|&(at, _)| at <= to_s);
        self.samples.get(from..to).unwrap_or_default()
    }

    /// Seconds from the first sample to the last.
    pub fn span_s(&self) -> f64 {
        self.samples.last().map_or(0.0, |&(at, _)| at)
    }
}

/// Reads a file.
///
/// Comma, semicolon or tab parts the columns; the decimal sign is a point or a comma; lines before the first row that
/// begins with a time are the heading, the last of which names the columns and their units. Rows that hold no number are
/// left out, unless they are more than one in ten. Rows are put in order of time; those of one time become their mean.
/// Takes time in proportion to n log n, memory in proportion to n.
///
/// # Errors
/// [`LoggerError`], nothing being read then.
///
/// ```
/// use turnwise_core::logger::{Reading, read};
/// let file = "Logger 12\nTime;Pressure (bar)\n2025-11-25 10:00:00;4,10\n2025-11-25 10:00:01;4,12\n";
/// let series = read(file.as_bytes(), &Reading::default())?;
/// assert_eq!((series.unit.symbol(), series.samples.as_slice()), ("bar", &[(0.0, 4.10), (1.0, 4.12)][..]));
/// # Ok::<(), turnwise_core::logger::LoggerError>(())
/// ```
pub fn read(bytes: &[u8], reading: &Reading) -> Result<Series, LoggerError> {
    let text = text(bytes)?;
    let layout = layout(&text)?;
    let column = chosen(&text, layout, reading)?;
    let unit = reading.unit.or(column.unit).ok_or(LoggerError::NoUnit)?;
    let mut rows = Rows::default();
    let mut record = StringRecord::new();
    let mut lines = reader(&text, layout.delimiter);
    let mut number_of = 0;
    while lines.read_record(&mut record).unwrap_or(false) {
        number_of += 1;
        if number_of <= layout.skip {
            continue;
        }
        if rows.read.len() + rows.left_out == MAX_ROWS {
            return Err(LoggerError::TooManyRows);
        }
        let value = record.get(column.at as usize).and_then(number);
        match layout.time.of(&record).zip(value) {
            Some(row) => rows.read.push(row),
            None => rows.leave_out(&record),
        }
    }
    rows.check()?;
    let day_first = rows.day_first(reading.day_first)?;
    rows.into_series(column.name, unit, day_first)
}

#[derive(Default)]
struct Rows {
    read: Vec<(When, f64)>,
    left_out: usize,
    first_bad: Option<u64>,
}

impl Rows {
    fn leave_out(&mut self, record: &StringRecord) {
        // A line of nothing is no row.
        if record.iter().all(|cell| cell.trim().is_empty()) {
            return;
        }
        self.left_out += 1;
        if self.first_bad.is_none() {
            self.first_bad = record.position().map(csv::Position::line);
        }
    }

    fn check(&self) -> Result<(), LoggerError> {
        if self.read.is_empty() {
            return Err(LoggerError::NoData);
        }
        let rows = self.read.len() + self.left_out;
        if self.left_out * 10 > rows {
            return Err(LoggerError::BadRows {
                bad: self.left_out,
                rows,
                line: self.first_bad.unwrap_or(0),
            });
        }
        Ok(())
    }

    /// Whether the day comes first: by a row in which only one of the two makes a date, else as somebody said.
    fn day_first(&self, said: Option<bool>) -> Result<bool, LoggerError> {
        let mut either = false;
        for (when, _) in &self.read {
            match when {
                When::Either {
                    day_first: Some(_),
                    month_first: None,
                } => return Ok(true),
                When::Either {
                    day_first: None,
                    month_first: Some(_),
                } => return Ok(false),
                When::Either {
                    day_first,
                    month_first,
                } => either |= day_first != month_first,
                _ => {}
            }
        }
        match (either, said) {
            (true, None) => Err(LoggerError::AmbiguousDate),
            (_, said) => Ok(said.unwrap_or(true)),
        }
    }

    fn into_series(self, name: String, unit: Unit, day_first: bool) -> Result<Series, LoggerError> {
        let dated = !matches!(self.read.first(), Some((When::Elapsed(_), _)));
        let local = self.read.iter().any(|(when, _)| when.is_local());
        let mut left_out = self.left_out;
        let mut timed: Vec<(f64, f64)> = Vec::with_capacity(self.read.len());
        for (when, value) in self.read {
            // Seconds among dates are no time of this file.
            let of_kind = matches!(when, When::Elapsed(_)) != dated;
            match when.seconds(day_first).filter(|_| of_kind) {
                Some(at) => timed.push((at, value)),
                None => left_out += 1,
            }
        }
        let unordered = !timed.is_sorted_by(|a, b| a.0 <= b.0);
        if unordered {
            timed.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        let begins_s = timed.first().ok_or(LoggerError::NoData)?.0;
        let rows = timed.len();
        let samples = single(timed, begins_s);
        let mut remarks = Vec::new();
        for (so, remark) in [
            (unordered, Remark::Unordered),
            (samples.len() < rows, Remark::DuplicateTimes),
            (left_out > 0, Remark::RowsLeftOut),
            (local, Remark::LocalTimes),
            (has_gap(&samples), Remark::Gaps),
        ] {
            if so {
                remarks.push(remark);
            }
        }
        Ok(Series {
            name,
            unit,
            begins_s,
            dated,
            samples,
            rows: (rows, left_out),
            remarks,
        })
    }
}

/// Each time once, with the mean of what was read then, in seconds since the first.
fn single(timed: Vec<(f64, f64)>, begins_s: f64) -> Vec<(f64, f64)> {
    let mut samples: Vec<(f64, f64)> = Vec::with_capacity(timed.len());
    let mut same = 1.0;
    for (at, value) in timed {
        let since = at - begins_s;
        match samples.last_mut() {
            Some(last) if last.0 >= since => {
                same += 1.0;
                last.1 += (value - last.1) / same;
            }
            _ => {
                same = 1.0;
                samples.push((since, value));
            }
        }
    }
    samples
}

/// Whether a step between samples is more than ten times the usual one.
fn has_gap(samples: &[(f64, f64)]) -> bool {
    let mut steps: Vec<f64> = samples.windows(2).map(|pair| pair[1].0 - pair[0].0).collect();
    if steps.len() < 2 {
        return false;
    }
    let middle = steps.len() / 2;
    let (_, &mut usual, _) = steps.select_nth_unstable_by(middle, f64::total_cmp);
    steps.iter().any(|&step| step > 10.0 * usual)
}
