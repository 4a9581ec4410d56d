//! Which way to turn, and what that does.

use crate::quantity::Turns;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Which way a screw is turned, seen from its head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// With the clock.
    Clockwise,
    /// Against the clock.
    CounterClockwise,
    /// Not at all.
    None,
}

impl Direction {
    /// The direction of signed turns, clockwise positive.
    pub fn of(turns: Turns) -> Self {
        if turns > Turns::ZERO {
            Self::Clockwise
        } else if turns < Turns::ZERO {
            Self::CounterClockwise
        } else {
            Self::None
        }
    }
}

/// What a turn clockwise was seen to do to the setting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ClockwiseEffect {
    /// It raises the setting: nearly every pilot (common practice, no source).
    #[default]
    Raises,
    /// It lowers the setting. Only where somebody saw it.
    Lowers,
}

impl ClockwiseEffect {
    /// The sign of the change that a turn clockwise makes.
    pub(crate) const fn sign(self) -> f64 {
        match self {
            Self::Raises => 1.0,
            Self::Lowers => -1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sign_of_a_turn_is_its_direction() {
        assert_eq!(Direction::of(Turns::of(0.1)), Direction::Clockwise);
        assert_eq!(Direction::of(Turns::of(-0.1)), Direction::CounterClockwise);
        assert_eq!(Direction::of(Turns::of(-0.0)), Direction::None);
        assert_eq!(
            serde_json::to_value(Direction::CounterClockwise).unwrap(),
            "counter-clockwise"
        );
    }
}
