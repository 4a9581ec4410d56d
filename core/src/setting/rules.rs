//! The rules of the screw that an owner will be able to change.

use crate::quantity::{GaugePressure, PressureDifference, Turns};

/// The largest move while the station is isolated and far off. Common practice, no source.
pub const LARGEST_MOVE_ISOLATED: Turns = Turns::of(0.5);

/// The largest move while the zone is on line; then wait. Common practice, no source.
pub fn largest_move_on_line() -> PressureDifference {
    PressureDifference::psi(5.0)
}

/// How far off a set point may be where the request does not say: 2 psi or 5 %, the larger. Common practice,
/// no source.
///
/// Example: 55 psi may be off by 2.75 psi, 30 psi by 2 psi.
pub fn default_tolerance(target: GaugePressure) -> PressureDifference {
    PressureDifference::psi((target.in_psi() * 0.05).max(2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_psi_or_five_percent_whichever_is_larger() {
        for (target, tolerance) in [(30.0, 2.0), (40.0, 2.0), (55.0, 2.75), (100.0, 5.0)] {
            let by_rule = default_tolerance(GaugePressure::psi(target)).in_psi();
            assert!((by_rule - tolerance).abs() < 1e-9, "{target} psi: {by_rule}");
        }
    }
}
