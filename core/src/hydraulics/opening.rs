//! How much of its full coefficient a pilot-operated valve lets through at a part of its stroke.

use super::HydraulicsError;

/// Below this part of the stroke the curve is a straight line to nothing.
const STRAIGHT_BELOW: f64 = 0.12;

/// The share of the full flow coefficient at a part of the stroke, as measured on one pilot-operated reducing valve.
///
/// Equation: `C / Cmax = 0.09 x^3 - 1.21 x^2 + 2.33 x - 0.21` from `x` 0.12 on, a straight line to zero below it; `x` is
/// the stroke over the full stroke. Range: 0 to 1; one make of valve, a first guess for others. Source: Kosucu and
/// Demirel 2022, doi 10.2166/hydro.2022.172, after Prescott and Ulanicki 2003, J. Hydraul. Eng. 129(10) 804-812.
/// Example: half the stroke, 0.6638 of the coefficient.
///
/// # Errors
/// [`HydraulicsError::OpeningOutOfRange`].
pub fn share_at_stroke(stroke: f64) -> Result<f64, HydraulicsError> {
    if !(0.0..=1.0).contains(&stroke) {
        return Err(HydraulicsError::OpeningOutOfRange);
    }
    let curve = |x: f64| ((0.09 * x - 1.21) * x + 2.33) * x - 0.21;
    Ok(if stroke >= STRAIGHT_BELOW {
        curve(stroke)
    } else {
        curve(STRAIGHT_BELOW) * stroke / STRAIGHT_BELOW
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: plain arithmetic on the polynomial of Kosucu and Demirel 2022.
    #[test]
    fn the_curve_of_the_paper_comes_out() {
        for (stroke, share) in [
            (0.06, 0.0262),
            (0.12, 0.0523),
            (0.2, 0.2083),
            (0.5, 0.6638),
            (0.8, 0.9257),
            (1.0, 1.000),
        ] {
            let found = share_at_stroke(stroke).unwrap();
            assert!((found - share).abs() <= 5e-5 * (1.0 + 1e-9), "{stroke}: {found}");
        }
        assert_eq!(share_at_stroke(0.0), Ok(0.0));
    }

    #[test]
    fn more_stroke_never_lets_less_through() {
        let shares: Vec<f64> = (0..=1000_u16)
            .map(|each| share_at_stroke(f64::from(each) / 1000.0).unwrap())
            .collect();
        assert!(shares.is_sorted());
    }

    #[test]
    fn there_is_no_stroke_beyond_the_ends() {
        for stroke in [-0.01, 1.01, f64::NAN] {
            assert_eq!(
                share_at_stroke(stroke).unwrap_err().code(),
                "opening_out_of_range"
            );
        }
    }
}
