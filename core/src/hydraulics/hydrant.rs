//! Water from a hydrant, and what the mains could give at a lower pressure.

use super::HydraulicsError;
use crate::quantity::{Flow, GaugePressure, Length, PressureDifference};

/// The share of the static pressure that a test should draw down before its law is trusted: a quarter. From memory,
/// after the test practice of NFPA 291.
const LEAST_DROP: f64 = 0.25;

/// The residual pressure that fire flow is rated at: 20 psi. Source: NFPA 291 (from memory).
pub fn usual_residual() -> GaugePressure {
    GaugePressure::psi(20.0)
}

/// The flow from a hydrant's outlet by the pitot in its stream.
///
/// Equation: `Q = 29.83 c d^2 sqrt(p)` (gpm, in, psi), `c` the outlet's discharge coefficient. Range: a full stream
/// from a smooth outlet, pitot above zero. Source: NFPA 291.
/// Example: c 0.90, 2.5 in, 40 psi: 1061.22 gpm. (1178 gpm, which goes around for it, is wrong.)
///
/// # Errors
/// A coefficient that is not above 0 and at most 1, a diameter that is not above zero, a pitot below zero, an
/// overflow.
pub fn hydrant_flow(
    coefficient: f64,
    diameter: Length,
    pitot: GaugePressure,
) -> Result<Flow, HydraulicsError> {
    if !(coefficient > 0.0 && coefficient <= 1.0) {
        return Err(HydraulicsError::DischargeOutOfRange);
    }
    if diameter <= Length::ZERO {
        return Err(HydraulicsError::LengthNotPositive);
    }
    if pitot.in_psi() < 0.0 {
        return Err(HydraulicsError::NegativePressure);
    }
    let bore = diameter.in_inches();
    let flow = Flow::gpm(29.83 * coefficient * bore * bore * pitot.in_psi().sqrt());
    if flow.is_finite() {
        Ok(flow)
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

/// What to know before trusting an available flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AvailableFlowWarning {
    /// The law is that of mains fed at a fixed pressure: behind a regulating valve it does not hold. Common practice,
    /// no source.
    NotBehindRegulatingValve,
    /// The test drew the pressure down by less than a quarter of the static one. From memory.
    SmallDrop,
}

impl AvailableFlowWarning {
    /// The stable code of this warning.
    pub fn code(self) -> &'static str {
        match self {
            Self::NotBehindRegulatingValve => "not_behind_regulating_valve",
            Self::SmallDrop => "small_drop",
        }
    }
}

/// What the mains could give, and what to know before trusting it.
#[derive(Clone, Debug, PartialEq)]
pub struct AvailableFlow {
    /// How much.
    pub flow: Flow,
    /// What to know.
    pub warnings: Vec<AvailableFlowWarning>,
}

/// The flow that would be available at a lower residual pressure, from a test at a higher one.
///
/// Equation: `Q = QF ((S - at) / (S - R))^0.54`, `S` the static and `R` the residual pressure of the test. Range: mains
/// fed at a fixed pressure, a drop of a quarter of `S` or more (from memory); not behind a regulating valve (common
/// practice, no source). Source: NFPA 291; the exponent is that of Hazen and Williams.
/// Example: 1061 gpm drew 80 psi down to 60 psi: 1920.3 gpm at 20 psi.
///
/// # Errors
/// A negative flow, a residual that is not below the static pressure, a pressure to keep above it, an overflow.
pub fn available_flow(
    test: Flow,
    still: GaugePressure,
    residual: GaugePressure,
    at: GaugePressure,
) -> Result<AvailableFlow, HydraulicsError> {
    if test < Flow::ZERO {
        return Err(HydraulicsError::NegativeFlow);
    }
    let drop = still - residual;
    if drop <= PressureDifference::ZERO {
        return Err(HydraulicsError::ResidualNotBelowStatic);
    }
    let left = still - at;
    if left < PressureDifference::ZERO {
        return Err(HydraulicsError::AboveStatic);
    }
    let flow = test * (left.in_pa() / drop.in_pa()).powf(0.54);
    if !flow.is_finite() {
        return Err(HydraulicsError::NotFinite);
    }
    let mut warnings = vec![AvailableFlowWarning::NotBehindRegulatingValve];
    // A billionth: rounding must not fail a test that drew down a quarter.
    if drop.in_pa() < LEAST_DROP * still.in_pa() * (1.0 - 1e-9) {
        warnings.push(AvailableFlowWarning::SmallDrop);
    }
    Ok(AvailableFlow { flow, warnings })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn psi(value: f64) -> GaugePressure {
        GaugePressure::psi(value)
    }

    /// Source: plain arithmetic on the equation of NFPA 291.
    #[test]
    fn a_hydrant_gives_what_its_pitot_says() {
        for (coefficient, inches, pitot, gpm) in [
            (0.90, 2.5, 10.0, 530.61),
            (0.90, 2.5, 20.0, 750.40),
            (0.90, 2.5, 40.0, 1061.22),
            (0.80, 2.5, 25.0, 745.75),
        ] {
            let found = hydrant_flow(coefficient, Length::inches(inches), psi(pitot)).unwrap();
            assert!(
                (found.in_gpm() - gpm).abs() <= 0.005 * (1.0 + 1e-9),
                "{found:?} {gpm}"
            );
        }
    }

    /// 1178 gpm goes around for a coefficient of 0.9, 2.5 in and 40 psi. The equation gives 1061; 1178 is what it gives
    /// with the coefficient left out, within a gallon.
    #[test]
    fn a_wrong_figure_that_goes_around_is_not_ours() {
        let found = hydrant_flow(0.9, Length::inches(2.5), psi(40.0))
            .unwrap()
            .in_gpm();
        assert!((found - 1178.0).abs() > 100.0);
        let without = hydrant_flow(1.0, Length::inches(2.5), psi(40.0))
            .unwrap()
            .in_gpm();
        assert!((without - 1178.0).abs() < 2.0, "{without}");
    }

    /// Source: plain arithmetic on the equation of NFPA 291.
    #[test]
    fn more_is_available_at_a_lower_pressure() {
        let large = available_flow(Flow::gpm(1061.0), psi(80.0), psi(60.0), usual_residual()).unwrap();
        assert!((large.flow.in_gpm() - 1920.3).abs() <= 0.05, "{large:?}");
        assert_eq!(large.warnings, [AvailableFlowWarning::NotBehindRegulatingValve]);
        let small = available_flow(Flow::gpm(1000.0), psi(65.0), psi(50.0), usual_residual()).unwrap();
        assert!((small.flow.in_gpm() - 1809.9).abs() <= 0.05, "{small:?}");
        assert_eq!(small.warnings.last(), Some(&AvailableFlowWarning::SmallDrop));
    }

    #[test]
    fn tests_that_make_no_sense_are_refused() {
        let refused = |test, still, residual, at| {
            available_flow(Flow::gpm(test), psi(still), psi(residual), psi(at))
                .unwrap_err()
                .code()
        };
        assert_eq!(refused(-1.0, 80.0, 60.0, 20.0), "negative_flow");
        assert_eq!(refused(1.0, 60.0, 60.0, 20.0), "residual_not_below_static");
        assert_eq!(refused(1.0, 80.0, 60.0, 81.0), "above_static");
        let refused = |c, d, p| hydrant_flow(c, Length::inches(d), psi(p)).unwrap_err().code();
        assert_eq!(refused(0.0, 2.5, 40.0), "discharge_coefficient_out_of_range");
        assert_eq!(refused(1.1, 2.5, 40.0), "discharge_coefficient_out_of_range");
        assert_eq!(refused(0.9, 0.0, 40.0), "length_not_positive");
        assert_eq!(refused(0.9, 2.5, -1.0), "negative_pressure");
    }
}
