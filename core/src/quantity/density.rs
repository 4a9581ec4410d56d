//! Mass per volume.

use super::constants::CONVENTIONAL_WATER;
use super::scalar::{named_units, quantity};

quantity! {
    /// Mass per volume.
    Density, Density
}

named_units! { Density:
    kg_per_m3, in_kg_per_m3 = KilogramPerCubicMetre, "kilograms per cubic metre";
}

impl Density {
    /// Conventional water: 1000 kg/m3.
    pub const CONVENTIONAL_WATER: Self = Self(CONVENTIONAL_WATER);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conventional_water_weighs_a_tonne_a_cubic_metre() {
        assert!((Density::CONVENTIONAL_WATER.in_kg_per_m3() - 1000.0).abs() < 1e-12);
    }
}
