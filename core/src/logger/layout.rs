//! What a file holds: where its rows begin, what parts its columns, and which of them is the time.

use super::column::{Column, unit_of};
use super::number::number;
use super::text::text;
use super::time::{When, when};
use super::{LoggerError, Reading};
use crate::quantity::Dimension;
use csv::{ReaderBuilder, StringRecord};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How many lines at the beginning may be a heading, and how many rows are looked at to tell the columns.
const LOOKED_AT: usize = 60;

/// What a file holds, before it is read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(rename = "LoggerLook")]
pub struct Look {
    /// The columns of numbers, those with a unit of pressure first.
    pub columns: Vec<Column>,
    /// Whether day and month could change places, as far as the first rows tell.
    pub day_and_month_unsure: bool,
    /// Whether the times come without an offset.
    pub local_times: bool,
}

/// How the rows of a text are parted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layout {
    /// What parts the columns.
    pub delimiter: u8,
    /// Lines before the first row.
    pub skip: usize,
    /// Where the time is.
    pub time: TimeAt,
}

/// Where a row's time is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeAt {
    /// In one column.
    One(usize),
    /// Date in one column, clock in the next.
    Two(usize),
}

impl TimeAt {
    /// The time of a row.
    pub fn of(self, row: &StringRecord) -> Option<When> {
        match self {
            Self::One(at) => when(row.get(at)?),
            Self::Two(at) => when(&format!("{} {}", row.get(at)?.trim(), row.get(at + 1)?.trim())),
        }
    }

    fn holds(self, at: usize) -> bool {
        match self {
            Self::One(time) => at == time,
            Self::Two(date) => at == date || at == date + 1,
        }
    }
}

/// Looks into a file.
///
/// # Errors
/// [`LoggerError::Empty`], [`LoggerError::TooLarge`], [`LoggerError::NoData`].
pub fn look(bytes: &[u8]) -> Result<Look, LoggerError> {
    let text = text(bytes)?;
    let layout = layout(&text)?;
    let times: Vec<When> = first_rows(&text, layout.delimiter)
        .iter()
        .skip(layout.skip)
        .filter_map(|row| layout.time.of(row))
        .collect();
    let unsure = times.iter().all(|when| {
        matches!(when, When::Either { day_first: Some(one), month_first: Some(other) } if one != other)
    });
    Ok(Look {
        columns: columns(&text, layout)?,
        day_and_month_unsure: unsure && !times.is_empty(),
        local_times: times.iter().any(|when| when.is_local()),
    })
}

/// The column that is read: the one asked for, else the first one.
pub fn chosen(text: &str, layout: Layout, reading: &Reading) -> Result<Column, LoggerError> {
    let columns = columns(text, layout)?;
    match reading.column {
        None => columns.into_iter().next(),
        Some(asked) => columns.into_iter().find(|column| column.at == asked),
    }
    .ok_or(LoggerError::NoColumn)
}

/// Finds out how a text is laid out.
///
/// # Errors
/// [`LoggerError::NoData`].
pub fn layout(text: &str) -> Result<Layout, LoggerError> {
    // A comma last: it may stand in the numbers.
    b";\t,"
        .iter()
        .filter_map(|&delimiter| laid_out(text, delimiter))
        .max_by_key(|&(rows, _)| rows)
        .map(|(_, layout)| layout)
        .ok_or(LoggerError::NoData)
}

/// The layout by a delimiter, with the number of rows it makes sense of.
fn laid_out(text: &str, delimiter: u8) -> Option<(usize, Layout)> {
    let rows = first_rows(text, delimiter);
    for skip in 0..rows.len() {
        let Some(time) = time_at(&rows[skip]) else {
            continue;
        };
        let sense = |row: &&StringRecord| time.of(row).is_some() && has_number(row, time);
        let made = rows[skip..].iter().filter(sense).count();
        // A lone row among headings that happens to look like one is none.
        if made * 2 > rows.len() - skip {
            let layout = Layout {
                delimiter,
                skip,
                time,
            };
            return Some((made, layout));
        }
    }
    None
}

fn has_number(row: &StringRecord, time: TimeAt) -> bool {
    row.iter()
        .enumerate()
        .any(|(at, cell)| !time.holds(at) && number(cell).is_some())
}

/// Where the time of a row is, if it has one and a number besides: a date before a plain number.
fn time_at(row: &StringRecord) -> Option<TimeAt> {
    let is_date = |at: usize| {
        row.get(at)
            .and_then(when)
            .filter(|when| !matches!(when, When::Elapsed(_)))
    };
    let dated = (0..row.len().min(4)).find(|&at| is_date(at).is_some());
    let time = match dated {
        Some(at) => {
            let bare = row.get(at).is_some_and(|cell| !cell.contains(':'));
            let clock = row.get(at + 1).is_some_and(|cell| cell.contains(':'));
            if bare && clock {
                TimeAt::Two(at)
            } else {
                TimeAt::One(at)
            }
        }
        None => (0..row.len().min(2))
            .find(|&at| row.get(at).is_some_and(|cell| number(cell).is_some()))
            .map(TimeAt::One)?,
    };
    (time.of(row).is_some() && has_number(row, time)).then_some(time)
}

/// The first rows of a text, whatever they are.
fn first_rows(text: &str, delimiter: u8) -> Vec<StringRecord> {
    reader(text, delimiter)
        .records()
        .take(LOOKED_AT)
        .map_while(Result::ok)
        .collect()
}

/// A reader over all lines, none of them special.
pub fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

fn columns(text: &str, layout: Layout) -> Result<Vec<Column>, LoggerError> {
    let rows = first_rows(text, layout.delimiter);
    let width = rows[layout.skip..]
        .iter()
        .map(StringRecord::len)
        .max()
        .unwrap_or(0);
    let header = layout.skip.checked_sub(1).and_then(|at| rows.get(at));
    // Some loggers write the units in a line of their own above or below the names.
    let above = layout.skip.checked_sub(2).and_then(|at| rows.get(at));
    let cell = |row: Option<&StringRecord>, at| {
        row.and_then(|row| row.get(at))
            .map(|cell| cell.trim().to_owned())
            .unwrap_or_default()
    };
    let mut columns: Vec<Column> = (0..width)
        .filter(|&at| !layout.time.holds(at))
        .filter(|&at| {
            let numbers = rows[layout.skip..]
                .iter()
                .filter(|row| row.get(at).is_some_and(|cell| number(cell).is_some()))
                .count();
            numbers > 0
        })
        .map(|at| {
            let (name, over) = (cell(header, at), cell(above, at));
            Column {
                at: u32::try_from(at).unwrap_or(u32::MAX),
                unit: unit_of(&name).or_else(|| unit_of(&over)),
                name: if name.is_empty() { over } else { name },
            }
        })
        .collect();
    if columns.is_empty() {
        return Err(LoggerError::NoData);
    }
    columns.sort_by_key(|column| match column.unit.map(crate::quantity::Unit::dimension) {
        Some(Dimension::Pressure) => 0,
        Some(_) => 1,
        None => 2,
    });
    Ok(columns)
}
