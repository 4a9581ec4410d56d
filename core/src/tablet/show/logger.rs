//! The screen of loggers' files.

use super::Showing;
use crate::findings::verdict::Settled;
use crate::journal::{Body, EntryId};
use crate::logger::{Remark, Series, Window, outline};
use crate::quantity::{Dimension, Figure};
use crate::steady::judge;
use crate::tablet::view::{LoggerDrawn, LoggerFileView, LoggerPoint, LoggerView};

/// How many columns of pixels a window is drawn on.
const COLUMNS: u32 = 360;

/// The file in hand, as far as it could be drawn.
#[derive(Default)]
pub struct Drawn {
    /// Which.
    pub entry: Option<EntryId>,
    /// Its window.
    pub window: Option<LoggerDrawn>,
    /// Why not (a code).
    pub problem: Option<String>,
}

/// The screen of loggers' files of the valve in hand.
pub fn logger(showing: &Showing<'_>, in_hand: Drawn) -> LoggerView {
    let files = showing
        .state
        .live()
        .rev()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::LoggerFile(file) if file.asset == showing.valve => Some(LoggerFileView {
                said: showing.said(folded),
                point_name: showing.point_name(&file.point),
                file: file.file.clone(),
                name: file.name.clone(),
                rows: file.rows,
            }),
            _ => None,
        });
    LoggerView {
        asset: showing.valve,
        points: showing
            .procedure
            .points
            .iter()
            .filter(|point| point.dimension == Dimension::Pressure)
            .map(|point| LoggerPoint {
                point: point.id.clone(),
                name: point.label.clone(),
            })
            .collect(),
        files: files.collect(),
        entry: in_hand.entry,
        drawn: in_hand.window,
        problem: in_hand.problem,
    }
}

/// A window of a series, ready to draw.
pub fn drawn(series: &Series, (from_s, to_s): (Option<u32>, Option<u32>)) -> LoggerDrawn {
    let span_s = series.span_s();
    let from_s = from_s.map_or(0.0, f64::from).min(span_s);
    let to_s = to_s.map_or(span_s, f64::from).clamp(from_s, span_s);
    let window = Window { from_s, to_s };
    let bars = outline(series, window, COLUMNS);
    let figure = |value: f64| Figure::computed(value, series.unit).ok();
    let low = bars.iter().map(|bar| bar.low).reduce(f64::min);
    let high = bars.iter().map(|bar| bar.high).reduce(f64::max);
    let samples = series.samples_psi(from_s, to_s);
    let verdict = samples.and_then(|samples| judge(&samples, None).ok());
    let count = |rows: usize| u32::try_from(rows).unwrap_or(u32::MAX);
    LoggerDrawn {
        unit: series.unit,
        span_s,
        window,
        columns: COLUMNS,
        low: low.and_then(figure),
        high: high.and_then(figure),
        bars,
        settled: verdict.map(|verdict| Settled::of(&verdict, series.unit)),
        clock: [from_s, to_s]
            .into_iter()
            .filter_map(|at_s| clock(series, at_s))
            .collect(),
        rows: count(series.rows.0),
        left_out: count(series.rows.1),
        remarks: series.remarks.clone(),
    }
}

/// The logger's own clock at a moment of a series.
fn clock(series: &Series, at_s: f64) -> Option<String> {
    if !series.dated {
        return None;
    }
    let seconds = jiff::SignedDuration::try_from_secs_f64(series.begins_s + at_s).ok()?;
    let moment = jiff::Timestamp::UNIX_EPOCH.checked_add(seconds).ok()?;
    if series.remarks.contains(&Remark::LocalTimes) {
        let local = moment.to_zoned_datetime(jiff::tz::TimeZone::UTC).datetime();
        return Some(local.to_string());
    }
    Some(moment.to_string())
}
