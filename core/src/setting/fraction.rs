//! A turn as a person turns it: a plain fraction.

use crate::quantity::Turns;
use serde::{Deserialize, Serialize};
use std::fmt;
use ts_rs::TS;

/// The finest fraction of a turn that a person is asked to turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Finest {
    /// An eighth: what a hand turns without looking twice.
    #[default]
    Eighth,
    /// A sixteenth: for trimming.
    Sixteenth,
}

/// Turns as a plain fraction in lowest terms, without a sign: the direction says which way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PlainFraction {
    /// Whole turns.
    pub whole: u32,
    /// Parts over them. Zero where the turns are whole.
    pub numerator: u32,
    /// Parts in a turn. One where the turns are whole.
    pub denominator: u32,
}

impl PlainFraction {
    /// The fraction nearest to these turns, whichever way they go; half way between two, the larger.
    /// None where the turns are more than a screw has, or not a number.
    ///
    /// Example: -0.926 turn is 7/8 (an eighth is the finest) or 15/16 (a sixteenth is).
    pub fn nearest(turns: Turns, finest: Finest) -> Option<Self> {
        let parts: u32 = match finest {
            Finest::Eighth => 8,
            Finest::Sixteenth => 16,
        };
        let count = (turns.abs().in_turns() * f64::from(parts)).round();
        if !(0.0..=1e6).contains(&count) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "in 0..=1e6, checked above"
        )]
        let count = count as u32;
        let (mut numerator, mut denominator) = (count % parts, parts);
        while numerator % 2 == 0 && denominator > 1 {
            (numerator, denominator) = (numerator / 2, denominator / 2);
        }
        Some(Self {
            whole: count / parts,
            numerator,
            denominator,
        })
    }

    /// How much of a turn it is.
    pub fn in_turns(self) -> f64 {
        f64::from(self.whole) + f64::from(self.numerator) / f64::from(self.denominator)
    }
}

impl fmt::Display for PlainFraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self {
                whole, numerator: 0, ..
            } => write!(f, "{whole}"),
            Self {
                whole: 0,
                numerator,
                denominator,
            } => write!(f, "{numerator}/{denominator}"),
            Self {
                whole,
                numerator,
                denominator,
            } => write!(f, "{whole} {numerator}/{denominator}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(turns: f64, finest: Finest) -> String {
        PlainFraction::nearest(Turns::of(turns), finest)
            .unwrap()
            .to_string()
    }

    #[test]
    fn a_turn_is_said_as_the_nearest_plain_fraction_in_lowest_terms() {
        for (turns, eighths, sixteenths) in [
            (0.0, "0", "0"),
            (-0.926, "7/8", "15/16"),
            (-0.185, "1/8", "3/16"),
            (1.375, "1 3/8", "1 3/8"),
            (-1.2, "1 1/4", "1 3/16"),
            (0.5, "1/2", "1/2"),
            (0.97, "1", "1"),
            (2.0, "2", "2"),
            (0.03, "0", "0"),
            (0.0625, "1/8", "1/16"),
        ] {
            assert_eq!(said(turns, Finest::Eighth), eighths, "{turns}");
            assert_eq!(said(turns, Finest::Sixteenth), sixteenths, "{turns}");
        }
    }

    #[test]
    fn more_turns_than_a_screw_has_are_not_said() {
        for turns in [1e9, f64::NAN, f64::INFINITY] {
            assert_eq!(PlainFraction::nearest(Turns::of(turns), Finest::Eighth), None);
        }
    }
}
