//! Unit conversions against values from outside.

use super::Unit::{self, *};

/// One row: so much of one unit is so much of another, to the digits printed.
fn row(value: f64, from: Unit, expected: f64, to: Unit, printed_to: f64) {
    let got = from.convert(value, to).unwrap();
    assert!(
        (got - expected).abs() <= printed_to / 2.0,
        "{value} {from} = {got} {to}, expected {expected}"
    );
}

/// Source: NIST SP 811, appendix B, recomputed with pint 0.25.3.
#[test]
fn pressures_convert_as_the_guide_prints() {
    row(1.0, Psi, 6.894_757_293, Kilopascal, 1e-9);
    row(1.0, Bar, 14.503_773_77, Psi, 1e-8);
    row(1.0, Atmosphere, 14.695_948_78, Psi, 1e-8);
    row(1.0, Psi, 2.306_659, FootOfWater, 1e-6);
    row(1.0, FootOfWater, 2989.067, Pascal, 1e-3);
}

/// Source: NIST SP 811, appendix B, recomputed with pint 0.25.3.
#[test]
fn flows_convert_as_the_guide_prints() {
    row(1.0, GallonPerMinute, 0.063_090_196_4, LitrePerSecond, 1e-10);
    row(1.0, GallonPerMinute, 0.227_124_707_04, CubicMetrePerHour, 1e-11);
    row(1.0, CubicFootPerSecond, 448.831_168_8, GallonPerMinute, 1e-7);
}

/// Source: the definitions of Kv and Cv (IEC 60534-2-1), recomputed with pint 0.25.3.
#[test]
fn the_flow_coefficients_convert() {
    row(1.0, Cv, 0.864_977_655_4, Kv, 1e-10);
}

/// EPANET converts heads at 0.4333 psi a foot, so that its 50 psi setting reads back as 50.03 psi by the
/// conventional factor. That is its rounding, not ours to copy. Source of the factor: the EPANET source code
/// (`PSIperFT`), checked with wntr 1.5.0.
#[test]
fn epanets_rounded_factor_is_not_ours() {
    let head = 50.0 / 0.4333;
    row(head, FootOfWater, 50.03, Psi, 0.01);
}
