//! What of a series fits on so many pixels.

use super::Series;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A stretch of time of a series, in seconds since its first sample.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[ts(rename = "LoggerWindow")]
pub struct Window {
    /// From.
    pub from_s: f64,
    /// To.
    pub to_s: f64,
}

/// All that one column of pixels shows: the lowest and the highest value in it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[ts(rename = "LoggerBar")]
pub struct Bar {
    /// The column of pixels, counted from 0.
    pub at: u32,
    /// The lowest value.
    pub low: f64,
    /// The highest value.
    pub high: f64,
}

/// The lowest and highest value of each of `columns` equal parts of a window. A part without a sample has no bar: a gap stays one.
///
/// No sample is left out, so no peak is: each value lies within the bar of its part.
pub fn outline(series: &Series, window: Window, columns: u32) -> Vec<Bar> {
    let span = window.to_s - window.from_s;
    let mut bars: Vec<Bar> = Vec::new();
    for &(at_s, value) in series.within(window.from_s, window.to_s) {
        let share = if span > 0.0 {
            (at_s - window.from_s) / span
        } else {
            0.0
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of 0 to 1 of a count of pixels"
        )]
        let at = ((share * f64::from(columns)) as u32).min(columns.saturating_sub(1));
        match bars.last_mut() {
            Some(bar) if bar.at == at => {
                bar.low = bar.low.min(value);
                bar.high = bar.high.max(value);
            }
            _ => bars.push(Bar {
                at,
                low: value,
                high: value,
            }),
        }
    }
    bars
}
