//! A screw that nobody owns: a pilot's screw with a rate, a dead band and a gauge, simulated, to see how well the
//! setting engine learns and how well it turns.
//!
//! The play is written here in another way than in the engine, so that a slip in one shows against the other.

mod coverage;
mod policy;

pub use coverage::{Coverage, Truth, coverage};
pub use policy::{Compared, Outcome, Policy, Tally, compare};

use crate::dice::Dice;
use turnwise_core::quantity::GaugePressure;

/// A screw with the pressure it sets.
#[derive(Clone, Debug)]
pub struct Screw {
    /// What one turn really does, in psi.
    pub rate: f64,
    /// What is really lost on reversal, in turns.
    pub band: f64,
    /// The gauge's smallest step, in psi.
    pub resolution: f64,
    /// Where the screw stands, in turns.
    at: f64,
    /// Where the spring's end stands: never above the screw, never more than the dead band below it.
    spring: f64,
    /// The setting with the spring's end at 0, in psi.
    zero: f64,
}

impl Screw {
    /// A screw that holds `pressure`. `taken_up` says how much of the play is taken up clockwise, from 0 to 1.
    pub fn new(rate: f64, band: f64, resolution: f64, pressure: f64, taken_up: f64) -> Self {
        Self {
            rate,
            band,
            resolution,
            at: band * taken_up,
            spring: 0.0,
            zero: pressure,
        }
    }

    /// Turns it, clockwise positive.
    pub fn turn(&mut self, turns: f64) {
        self.at += turns;
        self.spring = self.spring.clamp(self.at - self.band, self.at);
    }

    /// What the pressure really is.
    pub fn pressure(&self) -> f64 {
        self.zero + self.rate * self.spring
    }

    /// What the gauge shows.
    pub fn read(&self) -> GaugePressure {
        GaugePressure::psi((self.pressure() / self.resolution).round() * self.resolution)
    }
}

/// A number between two others, evenly.
pub(crate) fn between(dice: &mut Dice, low: f64, high: f64) -> f64 {
    const PARTS: u64 = 1 << 53;
    #[expect(
        clippy::cast_precision_loss,
        reason = "below 2^53 every whole number is exact"
    )]
    let share = dice.below(PARTS) as f64 / PARTS as f64;
    low + (high - low) * share
}

/// A number from the standard normal distribution (Box and Muller's way, standard textbook form).
pub(crate) fn normal(dice: &mut Dice) -> f64 {
    let radius = (-2.0 * (1.0 - between(dice, 0.0, 1.0)).ln()).sqrt();
    radius * (2.0 * std::f64::consts::PI * between(dice, 0.0, 1.0)).cos()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_screw_drives_its_spring_once_the_play_is_taken_up() {
        let mut screw = Screw::new(15.0, 0.1, 1.0, 60.0, 0.0);
        let mut pressures = Vec::new();
        for turns in [0.06, 0.06, 0.5, -0.05, -0.25] {
            screw.turn(turns);
            pressures.push((screw.pressure() * 1e6).round() / 1e6);
        }
        assert_eq!(pressures, [60.0, 60.3, 67.8, 67.8, 64.8]);
        assert_eq!(screw.read(), GaugePressure::psi(65.0));
    }
}
