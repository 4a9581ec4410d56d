//! What stands around the screw and bends its answer.

use super::LearnWarning;
use crate::quantity::{GaugePressure, PressureDifference};
use crate::setting::{Place, SpringRange};

/// The least difference between inlet and outlet where no manual gives it, in psi: the low end of the 5-10 psi
/// that are usual (from memory).
const LEAST_DIFFERENTIAL_PSI: f64 = 5.0;

/// What is known around the screw.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Surroundings {
    /// The spring's adjustment range.
    pub range: Option<SpringRange>,
    /// The newest inlet pressure.
    pub inlet: Option<GaugePressure>,
    /// The least differential that the valve needs.
    pub min_differential: Option<PressureDifference>,
    /// The newest outlet pressure, water moving.
    pub outlet: Option<GaugePressure>,
}

/// What the surroundings warn of.
///
/// Equations: near the end, where the outlet lies outside the middle 80 % of the range ([`SpringRange::place`]);
/// starved, where `inlet - outlet` is below the least differential (5 psi where unknown).
/// Units: gauge pressure. Range: a reducing valve with water moving. Source: common practice, no source.
/// Example: spring 30-300 psi at 40 psi is near its end; inlet 62 and outlet 58 psi with 10 psi needed is starved.
pub fn around(surroundings: &Surroundings) -> Vec<LearnWarning> {
    let mut warnings = Vec::new();
    let Some(outlet) = surroundings.outlet else {
        return warnings;
    };
    if surroundings
        .range
        .is_some_and(|range| range.place(outlet) != Place::Inside)
    {
        warnings.push(LearnWarning::NearSpringEnd);
    }
    let least = surroundings
        .min_differential
        .unwrap_or(PressureDifference::psi(LEAST_DIFFERENTIAL_PSI));
    if surroundings.inlet.is_some_and(|inlet| inlet - outlet < least) {
        warnings.push(LearnWarning::StarvedByInlet);
    }
    warnings
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(outlet: f64, inlet: Option<f64>, least: Option<f64>) -> Vec<&'static str> {
        let found = around(&Surroundings {
            range: SpringRange::new(GaugePressure::psi(30.0), GaugePressure::psi(300.0)).ok(),
            inlet: inlet.map(GaugePressure::psi),
            min_differential: least.map(PressureDifference::psi),
            outlet: Some(GaugePressure::psi(outlet)),
        });
        found.into_iter().map(LearnWarning::code).collect()
    }

    #[test]
    fn a_reading_at_the_springs_end_or_close_under_the_inlet_is_warned_of() {
        assert_eq!(codes(60.0, Some(100.0), Some(10.0)), [""; 0]);
        assert_eq!(codes(40.0, Some(100.0), None), ["near_spring_end"]);
        assert_eq!(codes(58.0, Some(62.0), Some(10.0)), ["starved_by_inlet"]);
        assert_eq!(codes(58.0, Some(62.0), None), ["starved_by_inlet"]);
        assert_eq!(codes(58.0, Some(64.0), None), [""; 0]);
        assert_eq!(around(&Surroundings::default()), []);
    }
}
