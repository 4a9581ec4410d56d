//! The blow of water that is stopped.

use super::HydraulicsError;
use crate::quantity::{Density, Length, PressureDifference, Speed, Stiffness, TimeSpan};

/// The bulk modulus of water where none is given: 2.19 GPa, that of cold water under low pressure. From memory.
pub const WATER_BULK_MODULUS: Stiffness = Stiffness::gigapascals(2.19);

/// A pipe, as a pressure wave feels it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PipeWall {
    /// Inside diameter.
    pub diameter: Length,
    /// Thickness of the wall.
    pub thickness: Length,
    /// Young's modulus of the wall.
    pub youngs_modulus: Stiffness,
    /// How the pipe is held: 1 with expansion joints throughout; less where it is held along its length.
    pub restraint: f64,
}

/// How fast a pressure wave runs along a pipe.
///
/// Equation: `a = sqrt((K / rho) / (1 + K D c1 / (E e)))`, `K` the water's bulk modulus, `rho` its density, `D` the
/// inside diameter, `e` the wall, `E` its modulus, `c1` the restraint. Range: a thin elastic wall (`D / e` above 25,
/// from memory), water without air: a little air slows the wave greatly. Source: the equation of Korteweg and
/// Joukowsky, as in US Army TM 5-813-9.
/// Example: ductile iron, 0.2189 m, wall 6.9 mm, 166 GPa, water of 2.19 GPa: 1242.5 m/s.
///
/// # Errors
/// Lengths, stiffnesses or a density that are not above zero, a negative restraint, an overflow.
pub fn wave_speed(wall: &PipeWall, bulk: Stiffness, density: Density) -> Result<Speed, HydraulicsError> {
    if wall.diameter <= Length::ZERO || wall.thickness <= Length::ZERO {
        return Err(HydraulicsError::LengthNotPositive);
    }
    if wall.youngs_modulus.in_pa() <= 0.0 || bulk.in_pa() <= 0.0 {
        return Err(HydraulicsError::StiffnessNotPositive);
    }
    if density.in_kg_per_m3() <= 0.0 {
        return Err(HydraulicsError::DensityNotPositive);
    }
    if wall.restraint < 0.0 {
        return Err(HydraulicsError::NegativeRestraint);
    }
    let yields = (bulk.in_pa() / wall.youngs_modulus.in_pa())
        * (wall.diameter.in_metres() / wall.thickness.in_metres())
        * wall.restraint;
    let speed = Speed::metres_per_second((bulk.in_pa() / density.in_kg_per_m3() / (1.0 + yields)).sqrt());
    if speed.is_finite() {
        Ok(speed)
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

/// The rise in pressure where the velocity changes at once, or within [`critical_time`].
///
/// Equation: `rise = rho a dV`. Range: one pipe, a change quicker than the critical time. A slower change gives less, but
/// the textbook's `2 L V / (g t)` is no upper bound for it at a low static head, so nothing here computes it.
/// Source: Joukowsky, as in US Army TM 5-813-9.
/// Example: 2690 ft/s, 6.48 ft/s: 541.8 ft of water, 234.9 psi (the manual's 544.7 ft comes of g = 32 ft/s2).
///
/// # Errors
/// [`HydraulicsError::WaveSpeedNotPositive`], [`HydraulicsError::NotFinite`].
pub fn surge_rise(
    wave: Speed,
    change: Speed,
    density: Density,
) -> Result<PressureDifference, HydraulicsError> {
    if wave <= Speed::ZERO {
        return Err(HydraulicsError::WaveSpeedNotPositive);
    }
    let rise = PressureDifference::pa(
        density.in_kg_per_m3() * wave.in_metres_per_second() * change.in_metres_per_second(),
    );
    if rise.is_finite() {
        Ok(rise)
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

/// How long a wave takes to the far end of a pipe and back: a valve shut within it makes the whole rise.
///
/// Equation: `t = 2 L / a`. Range: one pipe to an open end. Source: US Army TM 5-813-9.
/// Example: 3400 ft, 2690 ft/s: 2.53 s.
///
/// # Errors
/// [`HydraulicsError::WaveSpeedNotPositive`], [`HydraulicsError::LengthNotPositive`], [`HydraulicsError::NotFinite`].
pub fn critical_time(length: Length, wave: Speed) -> Result<TimeSpan, HydraulicsError> {
    if wave <= Speed::ZERO {
        return Err(HydraulicsError::WaveSpeedNotPositive);
    }
    if length <= Length::ZERO {
        return Err(HydraulicsError::LengthNotPositive);
    }
    let time = TimeSpan::seconds(2.0 * length.in_metres() / wave.in_metres_per_second());
    if time.is_finite() {
        Ok(time)
    } else {
        Err(HydraulicsError::NotFinite)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::constants::{FOOT_OF_WATER, STANDARD_GRAVITY};

    /// Source: US Army TM 5-813-9, figure 4-5 (public domain). It takes g as 32 ft/s2, we 9.80665 m/s2.
    #[test]
    fn the_manuals_worked_example_comes_out() {
        let wave = Speed::feet_per_second(2690.0);
        let time = critical_time(Length::feet(3400.0), wave).unwrap();
        assert!((time.in_seconds() - 2.53).abs() < 0.005, "{time:?}");
        let rise = surge_rise(wave, Speed::feet_per_second(6.48), Density::CONVENTIONAL_WATER).unwrap();
        let feet = rise.in_pa() / FOOT_OF_WATER;
        assert!((feet - 541.8).abs() < 0.05, "{feet}");
        let with_their_g = feet * (STANDARD_GRAVITY / 0.3048) / 32.0;
        assert!((with_their_g - 544.7).abs() <= 0.05, "{with_their_g}");
        let psi = with_their_g * FOOT_OF_WATER / crate::quantity::constants::PSI;
        assert!((psi - 236.1).abs() <= 0.1, "{psi}");
    }

    fn ductile_iron() -> PipeWall {
        PipeWall {
            diameter: Length::metres(0.2189),
            thickness: Length::metres(0.0069),
            youngs_modulus: Stiffness::gigapascals(166.0),
            restraint: 1.0,
        }
    }

    /// Source: plain arithmetic on the equation.
    #[test]
    fn a_wave_in_ductile_iron_runs_as_the_equation_says() {
        let speed = wave_speed(&ductile_iron(), WATER_BULK_MODULUS, Density::CONVENTIONAL_WATER).unwrap();
        assert!((speed.in_metres_per_second() - 1242.5).abs() <= 0.05, "{speed:?}");
    }

    #[test]
    fn a_softer_pipe_carries_a_slower_wave() {
        let plastic = PipeWall {
            youngs_modulus: Stiffness::gigapascals(3.0),
            ..ductile_iron()
        };
        let speed = |wall| wave_speed(wall, WATER_BULK_MODULUS, Density::CONVENTIONAL_WATER).unwrap();
        assert!(speed(&plastic) < speed(&ductile_iron()) / 2.0);
    }

    #[test]
    fn pipes_that_make_no_sense_are_refused() {
        let water = Density::CONVENTIONAL_WATER;
        let refused = |wall: PipeWall| wave_speed(&wall, WATER_BULK_MODULUS, water).unwrap_err().code();
        let wall = ductile_iron();
        assert_eq!(
            refused(PipeWall {
                diameter: Length::ZERO,
                ..wall
            }),
            "length_not_positive"
        );
        assert_eq!(
            refused(PipeWall {
                thickness: Length::metres(-1.0),
                ..wall
            }),
            "length_not_positive"
        );
        assert_eq!(
            refused(PipeWall {
                restraint: -0.1,
                ..wall
            }),
            "negative_restraint"
        );
        let soft = PipeWall {
            youngs_modulus: Stiffness::gigapascals(0.0),
            ..wall
        };
        assert_eq!(refused(soft), "stiffness_not_positive");
        assert_eq!(
            wave_speed(&wall, WATER_BULK_MODULUS, Density::kg_per_m3(0.0))
                .unwrap_err()
                .code(),
            "density_not_positive"
        );
        let still = Speed::ZERO;
        assert_eq!(
            surge_rise(still, still, water).unwrap_err().code(),
            "wave_speed_not_positive"
        );
        assert_eq!(
            critical_time(Length::ZERO, Speed::feet_per_second(1.0))
                .unwrap_err()
                .code(),
            "length_not_positive"
        );
    }
}
