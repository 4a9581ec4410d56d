//! What a valve's own moves teach about its screw: how much one turn does, and how much is lost on reversal.
//!
//! # The model
//! A screw turned by `t` drives the spring by `x`, what is left of `t` once the play has been taken up
//! ([`play`]). The setting follows by `k x`, and a gauge reads it with an error of its own:
//!
//! `y_j = p + k x_j + e_j`, one level `p` for every run of readings in which nothing was left unseen.
//!
//! | What is not known | What is believed beforehand |
//! |---|---|
//! | `k`, pressure per turn | normal: mean the printed rate, standard deviation 20 % of it ([`RATE_SPREAD`]) |
//! | `d`, dead band in turns | falling in a straight line from 0 to nothing at a quarter turn ([`DEAD_BAND_MOST`]) |
//! | `p`, where a run of readings lies | nothing (a flat density) |
//! | `e_j` | normal, zero mean, the standard uncertainty of that reading ([`reading_noise`]) |
//! | one fault | that one reading is plain wrong, or that one thing moved the pressure between two readings: each 1 in 100 ([`FAULT_SHARE`]), and then anywhere within ten turns' worth ([`FAULT_WIDTH`]) |
//!
//! Two moves that share a reading share its error, so the differences are not independent; the run keeps that.
//!
//! A gauge's accuracy is not in `e_j`. Nearly all of it is the same for every reading of one gauge: an offset
//! falls out of every difference, and a wrong scale is in the rate *as that gauge shows it*, which is the rate
//! that brings that gauge to the target. What is left for a difference is how finely the gauge can be read.
//! Readings of two gauges therefore must not be paired; a caller leaves such a move unseen.
//!
//! # How it is computed
//! `d` goes over a fixed grid ([`GRID`]) and the faults over a list; given both, the posterior of `k` is normal
//! in closed form (the conjugate normal with known variances). The answer is that mixture: no sampling, the
//! same digits every time. The levels are integrated out, which is the weighted regression of `y` on `x` with
//! an intercept for each run.
//!
//! Source of the machinery: Bayes' theorem with a conjugate normal prior for a regression with known noise,
//! and a contaminated normal for wrong readings, both standard textbook forms (Gelman and others, *Bayesian
//! Data Analysis*; chapter numbers not given: from memory). What is believed beforehand is common practice, no
//! source. Units: any; inside, everything is in turns' worth of the printed rate. Range: the spring's straight
//! part, with water moving at every reading that is used.

mod answer;
mod chain;
mod estimate;
mod mixture;
mod play;
mod surroundings;

pub use answer::{Answered, LearnWarning};
pub use estimate::{DeadBand, Estimate, Expected, learn};
pub(super) use mixture::{Part, normal_cdf};
pub use surroundings::{Surroundings, around};

use crate::quantity::{GaugePressure, PressureDifference, Rate, Turns};
use crate::setting::ClockwiseEffect;
use thiserror::Error;

/// The relative standard deviation of the rate before anything was seen: how far springs of one kind, and the
/// plates on them, are off. Common practice, no source.
pub const RATE_SPREAD: f64 = 0.2;

/// The largest dead band that is thought of, in turns. Common practice, no source.
pub const DEAD_BAND_MOST: f64 = 0.25;

/// The dead bands that are tried: this many, in the middle of as many equal parts of 0 to [`DEAD_BAND_MOST`].
pub const GRID: usize = 50;

/// How likely, before looking, one reading is plain wrong, or one thing besides the screw moved the pressure
/// between two readings. Common practice, no source.
pub const FAULT_SHARE: f64 = 0.01;

/// Where a wrong reading, or the pressure after an upset, may lie: as many turns' worth of the printed rate.
/// Common practice, no source.
pub const FAULT_WIDTH: f64 = 10.0;

/// How steadily a valve that works holds, as the standard deviation of what a gauge of any fineness shows:
/// a fiftieth of a psi. Common practice, no source.
pub const HOLDS_WITHIN_PSI: f64 = 0.02;

/// The most moves that are looked at.
pub const MOST_MOVES: usize = 500;

/// The gauge's resolution where nobody said it: 1 psi, a common division. Common practice, no source.
pub const ASSUMED_RESOLUTION: PressureDifference = PressureDifference::psi(1.0);

/// The standard uncertainty of one reading, as far as it does not fall out of a difference.
///
/// Equation: `u = sqrt(r^2 / 12 + h^2)`: a rectangular distribution of half-width `r/2` for the resolution `r`,
/// and `h` = [`HOLDS_WITHIN_PSI`]. Units: any pressure. Range: any resolution from 0.
/// Source: GUM (JCGM 100:2008), rectangular distribution for a resolution; `h` common practice, no source.
/// Example: 1 psi: sqrt(0.0833 + 0.0004) = 0.289 psi.
pub fn reading_noise(resolution: PressureDifference) -> PressureDifference {
    PressureDifference::psi((resolution.in_psi().powi(2) / 12.0 + HOLDS_WITHIN_PSI.powi(2)).sqrt())
}

/// One reading, with its standard uncertainty as [`reading_noise`] gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Read {
    /// What the gauge showed.
    pub pressure: GaugePressure,
    /// Its standard uncertainty within one gauge. Above zero.
    pub noise: PressureDifference,
}

/// What a gauge showed around a move, with water moving both times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Before.
    pub before: Read,
    /// After, once settled. The same gauge.
    pub after: Read,
}

/// One turn of the screw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Clockwise positive.
    pub turns: Turns,
    /// What was seen. None where no water moved, or nobody read, or another gauge: it teaches nothing about the
    /// rate, though the screw stands elsewhere afterwards.
    pub seen: Option<Seen>,
}

/// Which way the play lies before the first move.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AtStart {
    /// Taken up for the first move: its whole turn counts.
    #[default]
    TakenUp,
    /// Nobody knows who turned last and which way: as likely all of it must be taken up as none.
    Unknown,
}

/// All that is known of a screw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct History<'a> {
    /// The printed rate, or the one learned at an earlier visit.
    pub printed: Rate,
    /// What a turn clockwise was seen to do.
    pub clockwise: ClockwiseEffect,
    /// Where the play was before the first move.
    pub start: AtStart,
    /// Every move, oldest first.
    pub moves: &'a [Move],
    /// The newest reading, made after the last move.
    pub now: Option<Read>,
}

/// Why nothing can be learned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum LearnError {
    /// A printed rate of zero or less.
    #[error("the printed rate is not above zero")]
    RateNotPositive,
    /// A reading whose uncertainty is not above zero.
    #[error("the uncertainty of a reading is not above zero")]
    NoiseNotPositive,
    /// More than [`MOST_MOVES`].
    #[error("more than {MOST_MOVES} moves")]
    TooManyMoves,
    /// A figure that is not finite, or so large that the arithmetic overflows.
    #[error("not a finite number")]
    NotFinite,
}

impl LearnError {
    /// The stable code of this error.
    pub fn code(self) -> &'static str {
        match self {
            Self::RateNotPositive => "rate_not_positive",
            Self::NoiseNotPositive => "noise_not_positive",
            Self::TooManyMoves => "too_many_moves",
            Self::NotFinite => "not_finite",
        }
    }
}

#[cfg(test)]
mod tests;
