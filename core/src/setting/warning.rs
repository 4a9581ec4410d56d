//! What to know before turning.

use super::{ClockwiseEffect, MoveRequest, Place, PlanError};
use crate::quantity::PressureDifference;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What to know before turning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Warning {
    /// The target is out of the spring's reach.
    OutOfRange,
    /// The target is in the first or last tenth of the spring's range.
    NearEnd,
    /// What the outlet reads now is out of the spring's reach: it does not show the setting, or the spring is
    /// another one than recorded. The turns are then no better than a guess.
    FromOutOfRange,
    /// The target is not below the inlet pressure: a reducing valve cannot get there.
    AboveInlet,
    /// The target leaves the valve less than its minimum differential.
    MinDifferential,
    /// A minimum differential was given but no inlet pressure: it was not checked.
    InletUnknown,
    /// This screw lowers the setting when it is turned clockwise.
    ReversedScrew,
}

impl Warning {
    /// The stable code of this warning, as it stands in JSON.
    pub fn code(self) -> &'static str {
        match self {
            Self::OutOfRange => "out_of_range",
            Self::NearEnd => "near_end",
            Self::FromOutOfRange => "from_out_of_range",
            Self::AboveInlet => "above_inlet",
            Self::MinDifferential => "min_differential",
            Self::InletUnknown => "inlet_unknown",
            Self::ReversedScrew => "reversed_screw",
        }
    }
}

/// What there is to know about this move, in the order of the codes.
pub(super) fn warnings(request: &MoveRequest) -> Result<Vec<Warning>, PlanError> {
    let MoveRequest {
        from,
        to,
        clockwise,
        range,
        inlet,
        min_differential,
        ..
    } = *request;
    let mut warnings = Vec::new();
    if let Some(range) = range {
        match range.place(to) {
            Place::Below | Place::Above => warnings.push(Warning::OutOfRange),
            Place::NearLow | Place::NearHigh => warnings.push(Warning::NearEnd),
            Place::Inside => {}
        }
        if matches!(range.place(from), Place::Below | Place::Above) {
            warnings.push(Warning::FromOutOfRange);
        }
    }
    if min_differential.is_some_and(|least| !least.is_finite())
        || inlet.is_some_and(|inlet| !inlet.is_finite())
    {
        return Err(PlanError::NotFinite);
    }
    if min_differential.is_some_and(|least| least < PressureDifference::ZERO) {
        return Err(PlanError::NegativeDifferential);
    }
    match (inlet, min_differential) {
        (Some(inlet), least) => {
            // A millionth of a pascal: rounding must not fail a target that stands on the line.
            let slack = PressureDifference::pa(1e-6);
            let left = inlet - to;
            if left <= PressureDifference::ZERO {
                warnings.push(Warning::AboveInlet);
            }
            if least.is_some_and(|least| left < least - slack) {
                warnings.push(Warning::MinDifferential);
            }
        }
        (None, Some(_)) => warnings.push(Warning::InletUnknown),
        (None, None) => {}
    }
    if clockwise == ClockwiseEffect::Lowers {
        warnings.push(Warning::ReversedScrew);
    }
    Ok(warnings)
}

#[cfg(test)]
mod tests {
    use super::super::{Limits, SpringRange, turn_plan};
    use super::*;
    use crate::quantity::{GaugePressure, Rate};

    fn from_to(from: f64, to: f64, rate: f64) -> MoveRequest {
        MoveRequest {
            from: GaugePressure::psi(from),
            to: GaugePressure::psi(to),
            rate: Rate::psi_per_turn(rate),
            clockwise: ClockwiseEffect::Raises,
            range: None,
            inlet: None,
            min_differential: None,
            limits: Limits::default(),
        }
    }

    fn codes(request: &MoveRequest) -> Vec<&'static str> {
        turn_plan(request)
            .unwrap()
            .warnings
            .into_iter()
            .map(Warning::code)
            .collect()
    }

    #[test]
    fn a_target_at_or_over_an_end_of_the_spring_is_warned_of() {
        let range = SpringRange::new(GaugePressure::psi(30.0), GaugePressure::psi(300.0)).ok();
        let with = |from, to| {
            codes(&MoveRequest {
                range,
                ..from_to(from, to, 27.0)
            })
        };
        assert_eq!(with(100.0, 60.0), [""; 0]);
        assert_eq!(with(100.0, 35.0), ["near_end"]);
        assert_eq!(with(100.0, 290.0), ["near_end"]);
        assert_eq!(with(100.0, 25.0), ["out_of_range"]);
        assert_eq!(with(100.0, 301.0), ["out_of_range"]);
        assert_eq!(with(10.0, 60.0), ["from_out_of_range"]);
    }

    #[test]
    fn a_target_the_inlet_cannot_feed_is_warned_of() {
        let inlet = Some(GaugePressure::psi(60.0));
        let least = Some(PressureDifference::psi(10.0));
        let with = |to, inlet, min_differential| {
            codes(&MoveRequest {
                inlet,
                min_differential,
                ..from_to(40.0, to, 15.0)
            })
        };
        assert_eq!(with(50.0, inlet, least), [""; 0]);
        assert_eq!(with(50.5, inlet, least), ["min_differential"]);
        assert_eq!(with(50.5, inlet, None), [""; 0]);
        assert_eq!(with(60.0, inlet, None), ["above_inlet"]);
        assert_eq!(with(61.0, inlet, least), ["above_inlet", "min_differential"]);
        assert_eq!(with(50.0, None, least), ["inlet_unknown"]);
    }

    #[test]
    fn a_warning_is_its_code_in_json() {
        let all = [
            Warning::OutOfRange,
            Warning::NearEnd,
            Warning::FromOutOfRange,
            Warning::AboveInlet,
            Warning::MinDifferential,
            Warning::InletUnknown,
            Warning::ReversedScrew,
        ];
        for warning in all {
            assert_eq!(serde_json::to_value(warning).unwrap(), warning.code());
        }
    }
}
