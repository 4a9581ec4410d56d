//! The setting engine on simulated screws: what it saves, and whether its intervals are honest.

use crate::dice::Dice;
use crate::screw::{Compared, Coverage, Truth, compare, coverage};
use anyhow::Result;
use serde::Serialize;

/// How many screws each figure is from.
const SCREWS: usize = 10_000;
/// The same screws in every run, so that two runs can be compared.
const SEED: u64 = 20_240_229;

/// What the setting engine brings.
#[derive(Clone, Debug, Serialize)]
pub struct Learning {
    /// Half of the zones on line, half of the stations isolated.
    pub policies: Compared,
    /// How often the intervals hold the truth, the screws being what they are believed to be.
    pub as_believed: Coverage,
    /// The same, where they are not: evenly off by up to 40 %.
    pub evenly_off: Coverage,
    /// The same, where every rate is 40 % below the printed one.
    pub all_low: Coverage,
    /// The same, where every rate is 40 % above it.
    pub all_high: Coverage,
}

/// Measures the setting engine.
///
/// # Errors
/// Where the engine refuses a screw.
pub fn learning() -> Result<Learning> {
    let of = |truth| coverage(&mut Dice::of(SEED), SCREWS, truth);
    Ok(Learning {
        policies: compare(&mut Dice::of(SEED), SCREWS, None)?,
        as_believed: of(Truth::AsBelieved)?,
        evenly_off: of(Truth::Evenly)?,
        all_low: of(Truth::Always(0.6))?,
        all_high: of(Truth::Always(1.4))?,
    })
}
