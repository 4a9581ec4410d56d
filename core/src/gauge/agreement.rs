//! Whether two readings agree.

use crate::quantity::{GaugePressure, PressureDifference};

/// How two readings of one pressure compare.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// The difference in units of what the two gauges can tell together. Infinite where the readings differ and
    /// neither gauge may be off at all.
    pub en: f64,
    /// Whether they agree: `|En| <= 1`.
    pub agree: bool,
}

/// Compares two readings by their expanded uncertainties.
///
/// Equation: `En = (a - b) / sqrt(Ua^2 + Ub^2)`; they agree if `|En| <= 1`. Range: two independent gauges on the
/// same water at the same height and time. Source: ISO/IEC 17043 (performance statistics of proficiency tests);
/// using it for two gauges in the field is an extension of our own.
/// Example: 62.0 +- 2.0 psi and 60.0 +- 0.5 psi: 0.9701, they agree.
pub fn agreement(
    a: GaugePressure,
    ua: PressureDifference,
    b: GaugePressure,
    ub: PressureDifference,
) -> Agreement {
    let apart = (a - b).in_pa();
    let can_tell = ua.in_pa().hypot(ub.in_pa());
    let en = if apart == 0.0 { 0.0 } else { apart / can_tell };
    Agreement {
        en,
        agree: en.abs() <= 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn compare(a: f64, ua: f64, b: f64, ub: f64) -> Agreement {
        agreement(
            GaugePressure::psi(a),
            PressureDifference::psi(ua),
            GaugePressure::psi(b),
            PressureDifference::psi(ub),
        )
    }

    /// Source: plain arithmetic on the equation of ISO/IEC 17043.
    #[test]
    fn readings_agree_where_their_difference_is_within_what_both_gauges_can_tell() {
        let near = compare(62.0, 2.0, 60.0, 0.5);
        assert!((near.en - 0.9701).abs() < 5e-5 && near.agree, "{near:?}");
        let far = compare(62.0, 1.0, 60.0, 0.5);
        assert!((far.en - 1.7889).abs() < 5e-5 && !far.agree, "{far:?}");
        assert!((compare(60.0, 0.5, 62.0, 1.0).en + 1.7889).abs() < 5e-5);
    }

    #[test]
    fn gauges_that_are_never_off_agree_only_on_the_same_reading() {
        assert_eq!(compare(60.0, 0.0, 60.0, 0.0), Agreement { en: 0.0, agree: true });
        assert!(!compare(60.1, 0.0, 60.0, 0.0).agree);
    }
}
