//! What is measured: one file a measure. Figures are reported and compared within one run, never asserted.

mod append;
mod calc;
mod meet;
mod open;
mod paper;
mod reviewed;
mod scene;
mod screw;

pub use append::{Append, append};
pub use calc::{AIM as CALC_AIM, Calc, calc};
pub use meet::{Meet, meet};
pub use open::{Open, open};
pub use paper::{Paper, paper};
pub use reviewed::{Reviewed, reviewed};
pub use screw::{Learning, learning};

use serde::Serialize;
use std::time::Duration;

/// Everything that is measured.
#[derive(Debug, Serialize)]
pub struct Report {
    /// A durable append next to a bare insert.
    pub append: Append,
    /// Opening a large job.
    pub open: Open,
    /// Two devices that have been apart.
    pub meet: Meet,
    /// The review of a large job.
    pub review: Reviewed,
    /// The setting engine on simulated screws.
    pub learning: Learning,
    /// A job's record on paper.
    pub paper: Paper,
    /// The arithmetic, a line at a time.
    pub calc: Calc,
}

/// How long something took, over many times.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Spread {
    /// Half of the times were shorter, in microseconds.
    pub p50_us: f64,
    /// 95 of 100 times were shorter, in microseconds.
    pub p95_us: f64,
    /// How many times.
    pub times: usize,
}

impl Spread {
    /// The spread of these times; zeros of none.
    pub fn of(mut times: Vec<Duration>) -> Self {
        times.sort_unstable();
        let at = |part: usize| {
            let index = (times.len() * part / 100).min(times.len().saturating_sub(1));
            times.get(index).map_or(0.0, |time| time.as_secs_f64() * 1e6)
        };
        Self {
            p50_us: at(50),
            p95_us: at(95),
            times: times.len(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_spread_of_a_hundred_times_is_their_middle_and_the_last_but_four() {
        let times = (1..=100).rev().map(Duration::from_micros).collect();
        let spread = Spread::of(times);
        assert_eq!(
            (spread.p50_us.round(), spread.p95_us.round(), spread.times),
            (51.0, 96.0, 100)
        );
        assert_eq!(Spread::of(vec![]).times, 0);
    }
}
