//! Temperature.

use super::QuantityError;
use super::constants::ZERO_CELSIUS;
use super::scalar::quantity;

quantity! {
    /// A temperature, never below absolute zero. It is a point on a scale: two of them have no sum.
    Temperature, Temperature, not_below_absolute_zero
}

fn not_below_absolute_zero(celsius: f64) -> Result<(), QuantityError> {
    // A billionth of a degree of room: -459.67 degF is absolute zero, but its conversion rounds.
    if celsius < -ZERO_CELSIUS - 1e-9 {
        Err(QuantityError::BelowAbsoluteZero)
    } else {
        Ok(())
    }
}

impl Temperature {
    /// The temperature of water where nobody gave one: 15 degC. Common practice, no source.
    pub const USUAL_WATER: Self = Self(15.0);

    /// In degrees Celsius.
    pub const fn in_celsius(self) -> f64 {
        self.0
    }

    /// In kelvin.
    pub const fn in_kelvin(self) -> f64 {
        self.0 + ZERO_CELSIUS
    }
}

#[cfg(test)]
mod tests {
    use super::super::Unit;
    use super::*;

    #[test]
    fn the_two_scales_meet_at_forty_below() {
        let cold = Temperature::from_unit(-40.0, Unit::DegreeFahrenheit).unwrap();
        assert!((cold.in_celsius() + 40.0).abs() < 1e-12);
        assert!((cold.in_kelvin() - 233.15).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_colder_than_absolute_zero() {
        for (value, unit) in [(-273.16, Unit::DegreeCelsius), (-460.0, Unit::DegreeFahrenheit)] {
            assert_eq!(
                Temperature::from_unit(value, unit).unwrap_err().code(),
                "below_absolute_zero"
            );
        }
        assert!(Temperature::from_unit(-459.67, Unit::DegreeFahrenheit).is_ok());
    }
}
