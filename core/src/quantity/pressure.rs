//! Pressures: by the gauge, absolute, and the difference of two.

use super::QuantityError;
use super::scalar::{amounts_add_up, named_units, quantity};
use std::ops::{Add, Sub};

quantity! {
    /// A pressure as a gauge shows it: above the atmosphere around. May be negative (suction).
    GaugePressure, Pressure
}

quantity! {
    /// A pressure above a perfect vacuum. Never negative.
    AbsolutePressure, Pressure, not_below_vacuum
}

quantity! {
    /// How much one pressure is above another. Has a sign.
    PressureDifference, Pressure
}

quantity! {
    /// How hard a material is to stretch or squeeze: a modulus of elasticity.
    Stiffness, Pressure
}

named_units! { Stiffness:
    gigapascals, in_gigapascals = Gigapascal, "GPa";
    pa, in_pa = Pascal, "Pa";
}

named_units! { GaugePressure:
    psi, in_psi = Psi, "psi";
    kpa, in_kpa = Kilopascal, "kPa";
    bar, in_bar = Bar, "bar";
    pa, in_pa = Pascal, "Pa";
}

named_units! { PressureDifference:
    psi, in_psi = Psi, "psi";
    kpa, in_kpa = Kilopascal, "kPa";
    bar, in_bar = Bar, "bar";
    pa, in_pa = Pascal, "Pa";
}

amounts_add_up!(PressureDifference);

fn not_below_vacuum(pa: f64) -> Result<(), QuantityError> {
    if pa < 0.0 {
        Err(QuantityError::NegativeAbsolutePressure)
    } else {
        Ok(())
    }
}

impl AbsolutePressure {
    /// The atmosphere taken where nobody gave one: 14.696 psi.
    pub const USUAL_ATMOSPHERE: Self = Self(super::constants::USUAL_ATMOSPHERE_PSI * super::constants::PSI);

    /// In psi.
    pub const fn in_psi(self) -> f64 {
        super::Unit::Psi.of_base(self.0)
    }

    /// In Pa.
    pub const fn in_pa(self) -> f64 {
        self.0
    }

    /// What a gauge shows of it under this atmosphere.
    pub fn to_gauge(self, atmosphere: Self) -> GaugePressure {
        GaugePressure(self.0 - atmosphere.0)
    }
}

impl GaugePressure {
    /// The absolute pressure under this atmosphere.
    ///
    /// # Errors
    /// [`QuantityError::NegativeAbsolutePressure`] where the suction is more than the atmosphere gives;
    /// [`QuantityError::NotFinite`] on overflow.
    pub fn to_absolute(self, atmosphere: AbsolutePressure) -> Result<AbsolutePressure, QuantityError> {
        AbsolutePressure::from_unit(self.0 + atmosphere.0, super::Unit::Pascal)
    }
}

impl Sub for GaugePressure {
    type Output = PressureDifference;
    fn sub(self, other: Self) -> PressureDifference {
        PressureDifference(self.0 - other.0)
    }
}

impl Add<PressureDifference> for GaugePressure {
    type Output = Self;
    fn add(self, difference: PressureDifference) -> Self {
        Self(self.0 + difference.0)
    }
}

impl Sub<PressureDifference> for GaugePressure {
    type Output = Self;
    fn sub(self, difference: PressureDifference) -> Self {
        Self(self.0 - difference.0)
    }
}

impl Sub for AbsolutePressure {
    type Output = PressureDifference;
    fn sub(self, other: Self) -> PressureDifference {
        PressureDifference(self.0 - other.0)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Figure, Unit};
    use super::*;

    #[test]
    fn the_difference_of_two_gauge_pressures_added_back_gives_the_first() {
        let (high, low) = (GaugePressure::psi(60.0), GaugePressure::psi(35.0));
        let difference = high - low;
        assert!((difference.in_psi() - 25.0).abs() < 1e-12);
        assert!(((low + difference).in_psi() - 60.0).abs() < 1e-12);
        assert!(((high - difference).in_psi() - 35.0).abs() < 1e-12);
    }

    #[test]
    fn an_absolute_pressure_less_its_atmosphere_is_the_gauge_pressure_again() {
        let atmosphere = AbsolutePressure::USUAL_ATMOSPHERE;
        let gauge = GaugePressure::psi(100.0);
        let absolute = gauge.to_absolute(atmosphere).unwrap();
        assert!((absolute.in_psi() - 114.696).abs() < 1e-12);
        assert!((absolute.to_gauge(atmosphere).in_psi() - 100.0).abs() < 1e-12);
        assert!(((absolute - atmosphere).in_psi() - 100.0).abs() < 1e-12);
    }

    #[test]
    fn there_is_nothing_below_a_vacuum() {
        let suction = GaugePressure::psi(-14.7);
        let refused = suction
            .to_absolute(AbsolutePressure::USUAL_ATMOSPHERE)
            .unwrap_err();
        assert_eq!(refused.code(), "negative_absolute_pressure");
        assert_eq!(
            AbsolutePressure::from_unit(-0.1, Unit::Bar).unwrap_err().code(),
            "negative_absolute_pressure"
        );
    }

    #[test]
    fn a_figure_of_another_kind_is_no_pressure() {
        let turns = Figure::new("1 1/8", Unit::Turn).unwrap();
        assert_eq!(
            GaugePressure::try_from(&turns).unwrap_err().code(),
            "wrong_dimension"
        );
        let head = Figure::new("10", Unit::MetreOfWater).unwrap();
        assert!((GaugePressure::try_from(&head).unwrap().in_kpa() - 98.0665).abs() < 1e-12);
        let hostile = Figure {
            digits: "1e9".to_owned(),
            unit: Unit::Psi,
        };
        assert_eq!(
            GaugePressure::try_from(&hostile).unwrap_err().code(),
            "not_a_number"
        );
    }
}
