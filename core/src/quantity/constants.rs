//! The exact numbers behind the units.
//!
//! Source, where none other is named: NIST Special Publication 811, *Guide for the Use of the International
//! System of Units*, appendix B. Exact by definition unless the line says otherwise.

/// Standard acceleration of free fall, m/s2.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Density of conventional water, kg/m3. Real water at 4 degC is 0.003 % lighter, at 15 degC 0.09 %.
pub const CONVENTIONAL_WATER: f64 = 1000.0;

/// One inch, m.
pub const INCH: f64 = 0.0254;

/// One foot, m.
pub const FOOT: f64 = 12.0 * INCH;

/// One pound (avoirdupois), kg.
pub const POUND: f64 = 0.453_592_37;

/// One pound-force, N.
pub const POUND_FORCE: f64 = POUND * STANDARD_GRAVITY;

/// One pound-force per square inch, Pa.
pub const PSI: f64 = POUND_FORCE / (INCH * INCH);

/// One standard atmosphere, Pa.
pub const ATMOSPHERE: f64 = 101_325.0;

/// One metre of conventional water, Pa.
pub const METRE_OF_WATER: f64 = CONVENTIONAL_WATER * STANDARD_GRAVITY;

/// One foot of conventional water, Pa.
pub const FOOT_OF_WATER: f64 = FOOT * METRE_OF_WATER;

/// One US gallon, m3: 231 cubic inches.
pub const GALLON: f64 = 231.0 * INCH * INCH * INCH;

/// One cubic foot, m3.
pub const CUBIC_FOOT: f64 = FOOT * FOOT * FOOT;

/// Kv of a valve whose Cv is 1. Not exact: derived from the two definitions (Kv: m3/h of water at a difference
/// of 1 bar; Cv: US gallons a minute at 1 psi), `GALLON * 60 * sqrt(1 bar / 1 psi)`, rounded to a double.
pub const KV_PER_CV: f64 = 0.864_977_655_442_301_8;

/// Zero of the Celsius scale, K.
pub const ZERO_CELSIUS: f64 = 273.15;

/// The atmosphere taken where nobody gave one, psi absolute: the rounded standard atmosphere of the trade
/// (common practice, no source; the exact one is 14.695 948 775 psi).
pub const USUAL_ATMOSPHERE_PSI: f64 = 14.696;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_flow_coefficients_follow_from_their_definitions() {
        let derived = GALLON * 60.0 * (1e5 / PSI).sqrt();
        assert!((derived / KV_PER_CV - 1.0).abs() < 1e-14, "{derived}");
    }

    #[test]
    fn a_gallon_is_what_the_guide_prints() {
        assert!((GALLON / 3.785_411_784e-3 - 1.0).abs() < 1e-14);
        assert!((CUBIC_FOOT / 0.028_316_846_592 - 1.0).abs() < 1e-14);
        assert!((POUND_FORCE / 4.448_221_615_260_5 - 1.0).abs() < 1e-14);
    }
}
