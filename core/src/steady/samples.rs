//! Samples as they come, and in order.

use super::{Because, SteadyError};

/// The most samples that are judged at once: more than a day at 10 Hz.
pub const MAX_SAMPLES: usize = 1_000_000;
/// Larger numbers than this, of seconds or psi, are no pressure's and would overflow when squared.
const LARGEST: f64 = 1e12;
/// A step between samples so many times the usual one is a gap. Our own rule, for at least [`super::MANY`] samples.
const GAP_FACTOR: f64 = 10.0;

/// A pressure at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Seconds since any moment.
    pub at_s: f64,
    /// Gauge pressure, psi.
    pub psi: f64,
}

/// Samples in order of time, each time once.
#[derive(Clone, Debug, PartialEq)]
pub struct Arranged {
    /// Strictly rising in time.
    pub samples: Vec<Sample>,
    /// Where the stretch after the last gap begins: 0 where there is none, or where too little follows it.
    pub after_gap: usize,
    /// Whether they came unordered.
    pub unordered: bool,
    /// Whether some had the same time.
    pub duplicates: bool,
}

impl Arranged {
    pub(super) fn because(&self) -> impl Iterator<Item = Because> {
        [
            (self.unordered, Because::Unordered),
            (self.duplicates, Because::DuplicateTimes),
            (self.after_gap > 0, Because::AfterGap),
        ]
        .into_iter()
        .filter_map(|(so, because)| so.then_some(because))
    }
}

/// Puts samples in order of time, takes the mean of those at the same time, and finds the last gap.
///
/// # Errors
/// [`SteadyError::NoSamples`], [`SteadyError::TooManySamples`], [`SteadyError::NotFinite`].
pub fn arrange(samples: &[Sample]) -> Result<Arranged, SteadyError> {
    if samples.is_empty() {
        return Err(SteadyError::NoSamples);
    }
    if samples.len() > MAX_SAMPLES {
        return Err(SteadyError::TooManySamples);
    }
    let in_range = |number: f64| number.abs() <= LARGEST;
    if !samples
        .iter()
        .all(|sample| in_range(sample.at_s) && in_range(sample.psi))
    {
        return Err(SteadyError::NotFinite);
    }
    let mut sorted = samples.to_vec();
    let unordered = !sorted.is_sorted_by(|a, b| a.at_s <= b.at_s);
    if unordered {
        sorted.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    }
    let mut single: Vec<Sample> = Vec::with_capacity(sorted.len());
    let mut same = 1.0;
    for sample in sorted {
        match single.last_mut() {
            // The times are the same number, not nearly the same.
            Some(last) if last.at_s >= sample.at_s => {
                same += 1.0;
                last.psi += (sample.psi - last.psi) / same;
            }
            _ => {
                same = 1.0;
                single.push(sample);
            }
        }
    }
    Ok(Arranged {
        after_gap: after_gap(&single),
        unordered,
        duplicates: single.len() < samples.len(),
        samples: single,
    })
}

/// Where the stretch after the last gap begins. A stretch too short to judge does not count: then all is judged.
fn after_gap(samples: &[Sample]) -> usize {
    if samples.len() < super::MANY {
        return 0;
    }
    let mut steps: Vec<f64> = samples
        .windows(2)
        .map(|pair| pair[1].at_s - pair[0].at_s)
        .collect();
    let middle = steps.len() / 2;
    let (_, &mut usual, _) = steps.select_nth_unstable_by(middle, f64::total_cmp);
    let start = samples
        .windows(2)
        .rposition(|pair| pair[1].at_s - pair[0].at_s > usual * GAP_FACTOR)
        .map_or(0, |before| before + 1);
    if samples.len() - start >= super::MANY {
        start
    } else {
        0
    }
}
