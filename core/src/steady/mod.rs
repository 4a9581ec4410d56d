//! Whether a pressure has settled: steady, settling, drifting or hunting, and why that is said.
//!
//! It works on whatever samples there are, from three readings keyed in by thumb to a logger's million. The
//! method is our own, put together from textbook parts:
//!
//! 1. Samples are put in order of time; those of one time are averaged; what lies before the last gap is left
//!    out ([`arrange`]).
//! 2. The noise is estimated from second differences, which a slow movement hardly touches. A moving average wide
//!    enough to bring the noise below the band is laid over the samples, and the pressure counts as settled from the
//!    moment after which that average stays within the band of the last fifth's mean.
//! 3. From there on a straight line is fitted. It is steady when the line changes by no more than the band over
//!    the window, or when its slope cannot be told from nothing (two-sided t test at 1 %).
//! 4. Hunting is one frequency that explains at least two fifths of what a straight line leaves over, for at least
//!    two and a half cycles, with an amplitude of at least the band, not dying away, and not to be had by chance
//!    (normalised Lomb-Scargle power, false alarm at most 0.1 %). The frequency is looked for with a fast
//!    Fourier transform and refined by least squares on the samples themselves.
//! 5. What is left is settling where the second half is clearly slower than the first, and drifting otherwise.
//!
//! Sources: the t test of a slope and the Lomb-Scargle power with its false alarm are textbook statistics, from
//! memory. The limits above are our own, no source. Fewer than [`MANY`] readings are judged by plain rules
//! (see [`judge`]). False alarms on noise are measured in this module's tests.

mod few;
mod level;
mod line;
mod samples;
mod swing;

pub use samples::{Arranged, MAX_SAMPLES, Sample, arrange};

use crate::quantity::{GaugePressure, PressureDifference};
use line::Line;
use serde::{Deserialize, Serialize};
use swing::Swing;
use ts_rs::TS;

/// From this many readings on they are judged by statistics, below it by plain rules.
pub const MANY: usize = 8;
/// Readings that span less than this say nothing, in seconds. Common practice, no source: a valve needs seconds to
/// answer.
pub const SHORTEST_S: f64 = 1.0;
/// The least change that counts where nobody gave a band, in psi. Common practice, no source.
const LEAST_BAND_PSI: f64 = 0.5;
/// The same as a share of the level: the settling to 1 % of the set point that the literature on these valves speaks
/// of. Common practice, no source.
const BAND_SHARE: f64 = 0.01;

/// How a pressure behaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "SteadyState")]
pub enum State {
    /// It has settled and stays.
    Steady,
    /// It still moves, slower and slower.
    Settling,
    /// It moves on, not slower than before.
    Drifting,
    /// It swings to and fro.
    Hunting,
    /// Too few readings, or over too short a time, to say.
    TooShort,
}

impl State {
    /// A stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Steady => "steady",
            Self::Settling => "settling",
            Self::Drifting => "drifting",
            Self::Hunting => "hunting",
            Self::TooShort => "too_short",
        }
    }
}

/// Why a verdict is what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "SteadyBecause")]
pub enum Because {
    /// The readings of the window lie within the band of each other.
    WithinBand,
    /// The line through the window changes by no more than the band.
    TrendWithinBand,
    /// The line through the window changes by more than the band, but noise alone would do that.
    TrendNotSignificant,
    /// Each change is smaller than the one before.
    SlowingDown,
    /// It goes one way and does not slow down.
    OneWay,
    /// One frequency explains what the line leaves over.
    Periodic,
    /// It swings, and the swing dies away.
    SwingDiesAway,
    /// Fewer than three readings.
    TooFewReadings,
    /// The readings span too short a time.
    TooShortTime,
    /// The readings go up and down, and are too few to tell swinging from settling.
    UpAndDown,
    /// The samples were not in order of time; they were put in order.
    Unordered,
    /// Several samples had the same time; their mean was taken.
    DuplicateTimes,
    /// There is a gap; only what follows the last one was judged.
    AfterGap,
    /// The noise is larger than the band: the verdict holds for the mean only.
    Noisy,
}

impl Because {
    /// Whether this is a remark on the samples rather than a reason for the verdict.
    pub fn is_remark(self) -> bool {
        matches!(
            self,
            Self::Unordered | Self::DuplicateTimes | Self::AfterGap | Self::Noisy
        )
    }

    /// A stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::WithinBand => "within_band",
            Self::TrendWithinBand => "trend_within_band",
            Self::TrendNotSignificant => "trend_not_significant",
            Self::SlowingDown => "slowing_down",
            Self::OneWay => "one_way",
            Self::Periodic => "periodic",
            Self::SwingDiesAway => "swing_dies_away",
            Self::TooFewReadings => "too_few_readings",
            Self::TooShortTime => "too_short_time",
            Self::UpAndDown => "up_and_down",
            Self::Unordered => "unordered",
            Self::DuplicateTimes => "duplicate_times",
            Self::AfterGap => "after_gap",
            Self::Noisy => "noisy",
        }
    }
}

/// Whether a pressure has settled.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// How it behaves.
    pub state: State,
    /// Why that is said.
    pub because: Vec<Because>,
    /// Mean of the window that begins at [`Self::from_s`], every sample counted once, psi.
    pub mean_psi: f64,
    /// Start of the window that mean and slope are of, in the samples' seconds.
    pub from_s: f64,
    /// How many samples of different times are in that window.
    pub samples: usize,
    /// Slope of the least-squares line through the window, psi per minute. None for a single time.
    pub slope_psi_per_min: Option<f64>,
    /// When it settled, where it is steady: the time of the first sample of the window.
    pub settled_at_s: Option<f64>,
    /// How long one swing takes, seconds, where it hunts.
    pub period_s: Option<f64>,
    /// How far it swings either way from its middle, where it hunts: the amplitude of the fitted sine, psi.
    pub amplitude_psi: Option<f64>,
    /// The change that counted as nothing.
    pub band: PressureDifference,
}

/// Why samples are not judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SteadyError {
    /// There are none.
    #[error("no samples")]
    NoSamples,
    /// More than [`MAX_SAMPLES`].
    #[error("more than {MAX_SAMPLES} samples")]
    TooManySamples,
    /// A time or a pressure is not a finite number, or too large for arithmetic.
    #[error("a sample is not a finite number in range")]
    NotFinite,
    /// A band of nothing or less.
    #[error("the band is not above zero")]
    BandNotPositive,
}

impl SteadyError {
    /// A stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::NoSamples => "no_samples",
            Self::TooManySamples => "too_many_samples",
            Self::NotFinite => "not_finite",
            Self::BandNotPositive => "band_not_positive",
        }
    }
}

/// The band where nobody gave one: 1 % of the level, at least 0.5 psi. Common practice, no source.
///
/// At 60 psi that is 0.6 psi; at 20 psi it is 0.5 psi.
pub fn default_band(level: GaugePressure) -> PressureDifference {
    PressureDifference::psi((level.in_psi().abs() * BAND_SHARE).max(LEAST_BAND_PSI))
}

/// Judges samples, in any order. `band` is the change that counts as nothing, [`default_band`] of their mean where
/// none is given.
///
/// Fewer than [`MANY`] readings: steady where all lie within the band either way of their middle and do not creep one way
/// by more than the band, or where the last three do; settling where each change (per second) is at most four fifths of the one
/// before; drifting where they go one way otherwise; hunting where five or more go up and down in turn by more than the
/// band; too short to say otherwise.
///
/// Takes time in proportion to n log n, memory in proportion to n.
///
/// # Errors
/// [`SteadyError`].
///
/// ```
/// use turnwise_core::steady::{Sample, State, judge};
/// let samples: Vec<Sample> = (0..120)
///     .map(|second| {
///         let at_s = f64::from(second);
///         Sample { at_s, psi: 60.0 + 8.0 * (-at_s / 10.0).exp() }
///     })
///     .collect();
/// let verdict = judge(&samples, None)?;
/// assert_eq!(verdict.state, State::Steady);
/// // 8 psi fall to the 0.6 psi band in 10 s times the logarithm of 8 / 0.6, which is 26 s.
/// assert_eq!(verdict.settled_at_s, Some(26.0));
/// # Ok::<(), turnwise_core::steady::SteadyError>(())
/// ```
pub fn judge(samples: &[Sample], band: Option<PressureDifference>) -> Result<Verdict, SteadyError> {
    if band.is_some_and(|band| !(band.in_psi() > 0.0 && band.is_finite())) {
        return Err(SteadyError::BandNotPositive);
    }
    let arranged = arrange(samples)?;
    let whole = &arranged.samples[arranged.after_gap..];
    let level = GaugePressure::psi(line::mean(whole));
    let band_psi = band.unwrap_or_else(|| default_band(level)).in_psi();
    let mut verdict = if whole.len() < 3 {
        plain(whole, State::TooShort, Because::TooFewReadings)
    } else if whole[whole.len() - 1].at_s - whole[0].at_s < SHORTEST_S {
        plain(whole, State::TooShort, Because::TooShortTime)
    } else if whole.len() < MANY {
        few::judge(whole, band_psi)
    } else {
        many(whole, band_psi)
    };
    verdict.because.extend(arranged.because());
    verdict.band = PressureDifference::psi(band_psi);
    Ok(verdict)
}

/// A verdict on a window, with its mean and slope.
fn plain(window: &[Sample], state: State, because: Because) -> Verdict {
    let line = Line::through(window);
    Verdict {
        state,
        because: vec![because],
        mean_psi: line::mean(window),
        from_s: window.first().map_or(0.0, |first| first.at_s),
        samples: window.len(),
        slope_psi_per_min: line.map(|line| line.slope * 60.0),
        settled_at_s: None,
        period_s: None,
        amplitude_psi: None,
        band: PressureDifference::ZERO,
    }
}

fn many(whole: &[Sample], band: f64) -> Verdict {
    if let Some(hunting) = few::to_and_fro(whole, band) {
        return hunting;
    }
    let level = level::settled(whole, band);
    let tail = &whole[level.from..];
    let mut verdict = state_of(whole, tail, level.long_enough, band);
    if level.noise > band {
        verdict.because.push(Because::Noisy);
    }
    verdict
}

fn state_of(whole: &[Sample], tail: &[Sample], long_enough: bool, band: f64) -> Verdict {
    if long_enough {
        if let Some(swing) = swing::find(tail, band) {
            return hunting(tail, swing);
        }
        let line = Line::through(tail);
        let change = line.map_or(0.0, |line| line.change(tail));
        let settled = |because| Verdict {
            settled_at_s: tail.first().map(|first| first.at_s),
            ..plain(tail, State::Steady, because)
        };
        if change.abs() <= band {
            return settled(Because::TrendWithinBand);
        }
        if !line.is_some_and(|line| line.significant(tail)) {
            return settled(Because::TrendNotSignificant);
        }
    }
    // A swing that fills the whole record, or its later part.
    let parts = [whole, &whole[whole.len() / 2..], &whole[whole.len() * 3 / 4..]];
    if let Some((part, swing)) = parts
        .into_iter()
        .find_map(|part| swing::find(part, band).map(|swing| (part, swing)))
    {
        return hunting(part, swing);
    }
    let moving = level::moving_part(whole, band);
    if line::slows_down(moving) {
        plain(moving, State::Settling, Because::SlowingDown)
    } else {
        plain(moving, State::Drifting, Because::OneWay)
    }
}

/// Hunting, or settling where the swing dies away.
fn hunting(window: &[Sample], swing: Swing) -> Verdict {
    if swing.dies_away {
        return plain(window, State::Settling, Because::SwingDiesAway);
    }
    Verdict {
        period_s: Some(swing.period_s),
        amplitude_psi: Some(swing.amplitude),
        ..plain(window, State::Hunting, Because::Periodic)
    }
}

#[cfg(test)]
mod tests;
