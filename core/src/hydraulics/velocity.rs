//! How fast water runs in a round bore.

use super::HydraulicsError;
use crate::quantity::{Flow, Length, Speed};

/// The mean velocity in a full round bore.
///
/// Equation: `V = 4 Q / (pi d^2)`; in the trade's units `V[ft/s] = 0.4084977 Q[gpm] / d[in]^2`. Range: a full pipe.
/// Source: continuity.
/// Example: 1000 gpm through 8 in: 6.3828 ft/s.
///
/// # Errors
/// [`HydraulicsError::LengthNotPositive`], [`HydraulicsError::NotFinite`].
pub fn velocity(flow: Flow, diameter: Length) -> Result<Speed, HydraulicsError> {
    if diameter <= Length::ZERO {
        return Err(HydraulicsError::LengthNotPositive);
    }
    let bore = diameter.in_metres();
    let cubic_metres = flow.in_cubic_metres_per_hour() / 3600.0;
    let speed = Speed::metres_per_second(4.0 * cubic_metres / (std::f64::consts::PI * bore * bore));
    if speed.is_finite() {
        Ok(speed)
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: plain arithmetic on NIST SP 811's gallon, foot and inch.
    #[test]
    fn a_gallon_a_minute_through_an_inch_runs_at_the_usual_factor() {
        let speed = velocity(Flow::gpm(1.0), Length::inches(1.0)).unwrap();
        assert!((speed.in_feet_per_second() - 0.408_497_7).abs() < 5e-8);
        let larger = velocity(Flow::gpm(1000.0), Length::inches(8.0)).unwrap();
        assert!((larger.in_feet_per_second() - 6.3828).abs() < 5e-5, "{larger:?}");
    }

    #[test]
    fn a_bore_is_more_than_nothing() {
        for diameter in [0.0, -8.0] {
            let refused = velocity(Flow::gpm(1.0), Length::inches(diameter)).unwrap_err();
            assert_eq!(refused.code(), "length_not_positive");
        }
        assert_eq!(
            velocity(Flow::gpm(1e300), Length::inches(1e-200))
                .unwrap_err()
                .code(),
            "not_finite"
        );
    }
}
