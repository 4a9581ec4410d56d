//! The spring of a pilot: where it can be set, and how fast it answers.

use crate::quantity::{GaugePressure, PressureDifference, Rate};
use thiserror::Error;

/// The part of a spring's range, at either end, in which a setting is better avoided: 10 % of the range.
/// Common practice, no source. Near the low end the spring is almost slack, near the high end almost solid.
pub const END_SHARE: f64 = 0.1;

/// The adjustment range of a spring: the settings it can hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpringRange {
    low: GaugePressure,
    high: GaugePressure,
}

/// A spring: its range and its rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spring {
    range: SpringRange,
    rate: Rate,
}

/// Where a pressure lies in a spring's range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// Below the range: out of this spring's reach.
    Below,
    /// In the lowest tenth of the range.
    NearLow,
    /// Well inside.
    Inside,
    /// In the highest tenth of the range.
    NearHigh,
    /// Above the range: out of this spring's reach.
    Above,
}

/// Why these figures make no spring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum SpringError {
    /// The low end is not below the high end.
    #[error("the low end of the range is not below its high end")]
    EmptyRange,
    /// A rate of zero or less.
    #[error("the rate is not above zero")]
    RateNotPositive,
}

impl SpringError {
    /// The stable code of this error.
    pub fn code(self) -> &'static str {
        match self {
            Self::EmptyRange => "empty_range",
            Self::RateNotPositive => "rate_not_positive",
        }
    }
}

impl SpringRange {
    /// A range from its two ends.
    ///
    /// # Errors
    /// [`SpringError::EmptyRange`].
    pub fn new(low: GaugePressure, high: GaugePressure) -> Result<Self, SpringError> {
        if low < high && (high - low).is_finite() {
            Ok(Self { low, high })
        } else {
            Err(SpringError::EmptyRange)
        }
    }

    /// The lowest setting.
    pub fn low(self) -> GaugePressure {
        self.low
    }

    /// The highest setting.
    pub fn high(self) -> GaugePressure {
        self.high
    }

    /// How far from either end a setting should stay: [`END_SHARE`] of the range.
    ///
    /// Equation: `margin = 0.1 (high - low)`. Source: common practice, no source.
    /// Example: 30-300 psi keeps 27 psi off either end, so that 57 to 273 psi is well inside.
    pub fn margin(self) -> PressureDifference {
        (self.high - self.low) * END_SHARE
    }

    /// Where a pressure lies. A pressure exactly at a margin is well inside, exactly at an end still in reach.
    pub fn place(self, pressure: GaugePressure) -> Place {
        self.place_by(pressure, END_SHARE)
    }

    /// The same where an owner wants another share of the range kept off either end.
    pub fn place_by(self, pressure: GaugePressure, share: f64) -> Place {
        // Rounding in a conversion must not push a setting over a line it stands on.
        let slack = (self.high - self.low) * 1e-9;
        let above_low = pressure - self.low;
        let below_high = self.high - pressure;
        let enough = (self.high - self.low) * share - slack;
        if above_low < -slack {
            Place::Below
        } else if below_high < -slack {
            Place::Above
        } else if above_low < enough {
            Place::NearLow
        } else if below_high < enough {
            Place::NearHigh
        } else {
            Place::Inside
        }
    }
}

impl Spring {
    /// A spring from its range and rate.
    ///
    /// # Errors
    /// [`SpringError::RateNotPositive`].
    pub fn new(range: SpringRange, rate: Rate) -> Result<Self, SpringError> {
        if rate.in_psi_per_turn() > 0.0 && rate.is_finite() {
            Ok(Self { range, rate })
        } else {
            Err(SpringError::RateNotPositive)
        }
    }

    /// Its adjustment range.
    pub fn range(self) -> SpringRange {
        self.range
    }

    /// Its rate.
    pub fn rate(self) -> Rate {
        self.rate
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn range(low: f64, high: f64) -> SpringRange {
        SpringRange::new(GaugePressure::psi(low), GaugePressure::psi(high)).unwrap()
    }

    #[test]
    fn a_setting_keeps_a_tenth_of_the_range_off_either_end() {
        let range = range(30.0, 300.0);
        assert!((range.margin().in_psi() - 27.0).abs() < 1e-12);
        let place = |psi| range.place(GaugePressure::psi(psi));
        assert_eq!(place(29.9), Place::Below);
        assert_eq!(place(30.0), Place::NearLow);
        assert_eq!(place(56.9), Place::NearLow);
        assert_eq!(place(57.0), Place::Inside);
        assert_eq!(place(273.0), Place::Inside);
        assert_eq!(place(273.1), Place::NearHigh);
        assert_eq!(place(300.0), Place::NearHigh);
        assert_eq!(place(300.1), Place::Above);
    }

    #[test]
    fn a_range_has_a_low_end_below_its_high_end() {
        for (low, high) in [
            (300.0, 30.0),
            (60.0, 60.0),
            (f64::NAN, 60.0),
            (0.0, f64::INFINITY),
        ] {
            let made = SpringRange::new(GaugePressure::psi(low), GaugePressure::psi(high));
            assert_eq!(made.unwrap_err().code(), "empty_range");
        }
    }

    #[test]
    fn a_spring_answers_to_the_screw() {
        for rate in [0.0, -27.0, f64::NAN, f64::INFINITY] {
            let made = Spring::new(range(30.0, 300.0), Rate::psi_per_turn(rate));
            assert_eq!(made.unwrap_err().code(), "rate_not_positive");
        }
        let spring = Spring::new(range(30.0, 300.0), Rate::psi_per_turn(27.0)).unwrap();
        assert_eq!(spring.range().low(), GaugePressure::psi(30.0));
        assert_eq!(spring.rate(), Rate::psi_per_turn(27.0));
    }
}
