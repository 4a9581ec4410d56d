//! What water is like at a temperature.

use super::HydraulicsError;
use super::chebyshev;
use crate::quantity::{AbsolutePressure, Density, Temperature, Unit};

/// The critical pressure of water, Pa. Source: IAPWS R2-83(1992), *Values of temperature, pressure and density of
/// ordinary and heavy water substances at their respective critical points*.
pub const CRITICAL_PRESSURE: f64 = 22.064e6;

/// The critical temperature of water, K. Source: as [`CRITICAL_PRESSURE`].
const CRITICAL_TEMPERATURE: f64 = 647.096;

/// The range of [`vapour_pressure`], degC.
const VAPOUR_RANGE: (f64, f64) = (0.0, 373.0);

/// The range of [`water_density`], degC.
const DENSITY_RANGE: (f64, f64) = (0.0, 99.0);

/// `(T/Tc) ln(p/pc)` against `sqrt(1 - T/Tc)`, taken to -1..1 over [`VAPOUR_RANGE`].
const VAPOUR: [f64; 25] = [
    -1.669_535_627_579_202_8,
    -2.160_183_450_936_004_5,
    -0.531_036_092_850_249_2,
    -0.044_471_035_976_296_05,
    -0.019_079_248_201_236_184,
    -0.004_450_161_042_164_348,
    -0.000_928_630_718_463_951_6,
    -7.707_718_866_406_989e-5,
    5.384_219_604_384_061_6e-5,
    2.064_203_122_222_455_3e-5,
    -4.809_829_341_126_485_4e-6,
    1.870_388_766_107_651e-7,
    -5.566_356_106_726_45e-6,
    -1.541_858_966_278_622_2e-6,
    5.562_143_770_164_848e-7,
    -1.504_437_233_559_656_5e-6,
    7.768_228_169_609_929e-7,
    -3.316_350_833_529_600_3e-7,
    -1.421_473_409_793_286_7e-7,
    1.639_864_564_109_967e-7,
    -1.694_836_694_418_508e-7,
    6.777_487_594_118_465e-8,
    -1.130_015_317_013_424_3e-8,
    -1.849_274_778_186_299e-8,
    2.133_609_182_737_346_7e-8,
];

/// Density at one atmosphere against the temperature, taken to -1..1 over [`DENSITY_RANGE`], kg/m3.
const DENSITY: [f64; 11] = [
    983.956_648_346_270_2,
    -20.887_976_193_565_162,
    -4.398_105_137_284_717,
    0.477_725_064_872_303_3,
    -0.098_892_589_340_672_34,
    0.020_523_243_228_428_578,
    -0.004_776_704_974_569_985,
    0.001_138_156_952_101_011,
    -0.000_281_477_558_010_622_4,
    7.153_203_629_910_96e-5,
    -1.849_526_266_611_888e-5,
];

/// The vapour pressure of water: below it, water boils.
///
/// Equation: `(T/Tc) ln(p/pc) = sum of c_k T_k(x)`, `x` the square root of `1 - T/Tc` taken to -1..1; `T` in K,
/// `p` in Pa, `Tc` 647.096 K, `pc` 22.064 MPa. The coefficients are a fit of our own to the saturation pressures of
/// IAPWS-95 (Wagner and Pruss 2002, J. Phys. Chem. Ref. Data 31, 387) as CoolProp 8.0.0 computes them, and follow
/// them within 4e-8. Range: 0 to 373 degC; from 0 to 0.01 degC, where ice is the stable form, water is meant.
/// Example: 15 degC, 1705.79 Pa.
///
/// # Errors
/// [`HydraulicsError::TemperatureOutOfRange`].
pub fn vapour_pressure(temperature: Temperature) -> Result<AbsolutePressure, HydraulicsError> {
    within(temperature, VAPOUR_RANGE)?;
    let root = |kelvin: f64| (1.0 - kelvin / CRITICAL_TEMPERATURE).sqrt();
    let zero = crate::quantity::constants::ZERO_CELSIUS;
    let (high, low) = (root(zero + VAPOUR_RANGE.1), root(zero + VAPOUR_RANGE.0));
    let kelvin = temperature.in_kelvin();
    let x = 2.0 * (root(kelvin) - high) / (low - high) - 1.0;
    let pressure = CRITICAL_PRESSURE * (chebyshev::sum(&VAPOUR, x) * CRITICAL_TEMPERATURE / kelvin).exp();
    AbsolutePressure::from_unit(pressure, Unit::Pascal).map_err(|_| HydraulicsError::NotFinite)
}

/// The density of water at one atmosphere. Under 1 MPa it is 0.05 % more, which this leaves out.
///
/// Equation: `density = sum of c_k T_k(x)`, `x` the temperature taken to -1..1 over the range. The coefficients are
/// a fit of our own to the densities of IAPWS-95 (source as of [`vapour_pressure`]) at 101 325 Pa, and follow them
/// within 1e-8. Range: 0 to 99 degC.
/// Example: 15 degC, 999.1026 kg/m3.
///
/// # Errors
/// [`HydraulicsError::TemperatureOutOfRange`].
pub fn water_density(temperature: Temperature) -> Result<Density, HydraulicsError> {
    within(temperature, DENSITY_RANGE)?;
    let (low, high) = DENSITY_RANGE;
    let x = 2.0 * (temperature.in_celsius() - low) / (high - low) - 1.0;
    Ok(Density::kg_per_m3(chebyshev::sum(&DENSITY, x)))
}

fn within(temperature: Temperature, (low, high): (f64, f64)) -> Result<(), HydraulicsError> {
    // 32 degF is 0 degC, but its conversion rounds.
    if (low - 1e-9..=high + 1e-9).contains(&temperature.in_celsius()) {
        Ok(())
    } else {
        Err(HydraulicsError::TemperatureOutOfRange)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn celsius(value: f64) -> Temperature {
        Temperature::from_unit(value, Unit::DegreeCelsius).unwrap()
    }

    /// Source: IAPWS-95, as CoolProp 8.0.0 computes it.
    #[test]
    fn water_boils_at_the_pressures_of_the_formulation() {
        for (at, pascals) in [(5.0, 872.58), (15.0, 1705.79), (25.0, 3169.93), (40.0, 7384.94)] {
            let found = vapour_pressure(celsius(at)).unwrap().in_pa();
            assert!((found - pascals).abs() <= 0.005, "{at}: {found}");
        }
    }

    /// Source: IAPWS-95, as CoolProp 8.0.0 computes it: a psi is 2.30873 ft of water at 15 degC.
    #[test]
    fn water_is_as_heavy_as_the_formulation_has_it() {
        let density = water_density(celsius(15.0)).unwrap().in_kg_per_m3();
        assert!((density - 999.1026).abs() < 5e-5, "{density}");
        let feet = 1.0_f64 * crate::quantity::constants::PSI
            / (density * crate::quantity::constants::STANDARD_GRAVITY * crate::quantity::constants::FOOT);
        assert!((feet - 2.30873).abs() <= 5e-6, "{feet}");
    }

    #[test]
    fn a_temperature_beyond_the_fit_is_refused() {
        let freezing = Temperature::from_unit(32.0, Unit::DegreeFahrenheit).unwrap();
        assert!(vapour_pressure(freezing).is_ok() && water_density(freezing).is_ok());
        assert!(vapour_pressure(celsius(373.0)).is_ok() && water_density(celsius(99.0)).is_ok());
        for (at, refused) in [
            (-0.1, vapour_pressure(celsius(-0.1)).map(|_| ())),
            (373.1, vapour_pressure(celsius(373.1)).map(|_| ())),
            (-0.1, water_density(celsius(-0.1)).map(|_| ())),
            (99.1, water_density(celsius(99.1)).map(|_| ())),
        ] {
            assert_eq!(refused.unwrap_err().code(), "temperature_out_of_range", "{at}");
        }
    }
}
