//! The pressure of still water at another height.

use super::HydraulicsError;
use crate::quantity::constants::STANDARD_GRAVITY;
use crate::quantity::{Density, Elevation, GaugePressure, Length, PressureDifference};

/// What a column of still water weighs.
///
/// Equation: `dp = rho g h`. Range: still water; what friction takes is not in it. Source: hydrostatics; g 9.80665 m/s2
/// and, by convention, 1000 kg/m3 (NIST SP 811).
/// Example: 3.5 ft: 1.517 psi.
pub fn head_pressure(height: Length, density: Density) -> PressureDifference {
    PressureDifference::pa(density.in_kg_per_m3() * STANDARD_GRAVITY * height.in_metres())
}

/// The pressure at another elevation of the same still water.
///
/// Equation: `p2 = p1 - rho g (z2 - z1)`. Range and source: as [`head_pressure`].
/// Example: a gauge 3.5 ft below the datum reads 1.517 psi high: 60 psi there are 58.483 psi at the datum.
///
/// # Errors
/// [`HydraulicsError::NotFinite`].
pub fn pressure_at(
    pressure: GaugePressure,
    from: Elevation,
    to: Elevation,
    density: Density,
) -> Result<GaugePressure, HydraulicsError> {
    let there = pressure - head_pressure(to - from, density);
    if there.is_finite() {
        Ok(there)
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: plain arithmetic on the conventional foot of water (NIST SP 811).
    #[test]
    fn a_gauge_below_the_datum_reads_high() {
        let water = Density::CONVENTIONAL_WATER;
        let at_datum = pressure_at(
            GaugePressure::psi(60.0),
            Elevation::feet(-3.5),
            Elevation::feet(0.0),
            water,
        )
        .unwrap();
        assert!((60.0 - at_datum.in_psi() - 1.517).abs() <= 5e-4, "{at_datum:?}");
        let back = pressure_at(at_datum, Elevation::feet(0.0), Elevation::feet(-3.5), water).unwrap();
        assert!((back.in_psi() - 60.0).abs() < 1e-12);
    }

    #[test]
    fn a_height_beyond_all_numbers_is_refused() {
        let refused = pressure_at(
            GaugePressure::psi(60.0),
            Elevation::feet(1e308),
            Elevation::feet(-1e308),
            Density::CONVENTIONAL_WATER,
        );
        assert_eq!(refused.unwrap_err().code(), "not_finite");
    }
}
