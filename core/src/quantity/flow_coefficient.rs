//! How much a valve lets through.

use super::scalar::{named_units, quantity};

quantity! {
    /// A valve's flow coefficient: what it passes at a unit of difference, fully turbulent, not choked.
    FlowCoefficient, FlowCoefficient
}

named_units! { FlowCoefficient:
    cv, in_cv = Cv, "US gallons a minute at 1 psi";
    kv, in_kv = Kv, "cubic metres an hour at 1 bar";
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the definitions of Kv and Cv (IEC 60534-2-1), recomputed with pint 0.25.3.
    #[test]
    fn a_valve_has_one_coefficient_in_two_units() {
        assert!((FlowCoefficient::cv(400.0).in_kv() - 345.991_062).abs() < 1e-6);
    }
}
