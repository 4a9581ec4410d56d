//! The units that people read and type, and what each is worth.

use super::constants::{
    ATMOSPHERE, CUBIC_FOOT, FOOT, FOOT_OF_WATER, GALLON, INCH, KV_PER_CV, METRE_OF_WATER, PSI,
    STANDARD_GRAVITY,
};
use super::{FigureError, QuantityError};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;
use ts_rs::TS;

/// What a unit measures. Units convert into one another only within a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Pressure, gauge or absolute, or a difference of two; also stiffness. Base: Pa.
    Pressure,
    /// Change of setting per turn of a screw. Base: Pa per turn.
    Rate,
    /// Volume per time. Base: m3/s.
    Flow,
    /// Turning of a screw. Base: turn.
    Turn,
    /// Length, diameter, elevation. Base: m.
    Length,
    /// Speed. Base: m/s.
    Speed,
    /// Mass per volume. Base: kg/m3.
    Density,
    /// Temperature. Base: degC.
    Temperature,
    /// Time. Base: s.
    Time,
    /// Flow coefficient of a valve. Base: Cv.
    FlowCoefficient,
    /// Parts in a hundred.
    Percent,
    /// Parts in a hundred of the lower flammable limit.
    PercentOfFlammableLimit,
    /// Parts in a million.
    PartsPerMillion,
    /// Threads showing on a screw.
    Threads,
    /// One figure over another of its kind: no unit of its own.
    Ratio,
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pressure => "pressure",
            Self::Rate => "pressure per turn",
            Self::Flow => "flow",
            Self::Turn => "turning",
            Self::Length => "length",
            Self::Speed => "speed",
            Self::Density => "density",
            Self::Temperature => "temperature",
            Self::Time => "time",
            Self::FlowCoefficient => "a flow coefficient",
            Self::Percent => "percent",
            Self::PercentOfFlammableLimit => "percent of the lower flammable limit",
            Self::PartsPerMillion => "parts per million",
            Self::Threads => "threads",
            Self::Ratio => "ratio",
        })
    }
}

/// The table of units: name, symbol, dimension, worth of one in the dimension's base unit, decimals shown when
/// a figure is converted into it (chosen so that a step of the last digit is finer than a gauge shows; common
/// practice, no source), and the other spellings that are understood.
macro_rules! units {
    ($($(#[$doc:meta])* $name:ident = $symbol:literal, $dimension:ident, $worth:expr, $decimals:literal, [$($other:literal),*];)*) => {
        /// The units that people read and type. In JSON each is its symbol.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema)]
        pub enum Unit {
            $($(#[$doc])* #[serde(rename = $symbol)] $name,)*
        }

        impl Unit {
            /// Every unit.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// The symbol that people see, and that stands in JSON.
            pub const fn symbol(self) -> &'static str {
                match self {
                    $(Self::$name => $symbol,)*
                }
            }

            /// What the unit measures.
            pub const fn dimension(self) -> Dimension {
                match self {
                    $(Self::$name => Dimension::$dimension,)*
                }
            }

            /// The decimals that a figure converted into this unit is shown with.
            pub const fn decimals(self) -> usize {
                match self {
                    $(Self::$name => $decimals,)*
                }
            }

            /// One of this unit in the base unit of its dimension; for temperatures, one degree.
            const fn worth(self) -> f64 {
                match self {
                    $(Self::$name => $worth,)*
                }
            }
        }

        impl FromStr for Unit {
            type Err = FigureError;

            /// Reads a symbol or one of its other spellings. Case matters: `mPa` is not `MPa`.
            fn from_str(text: &str) -> Result<Self, FigureError> {
                match text {
                    $($symbol $(| $other)* => Ok(Self::$name),)*
                    _ => Err(FigureError::UnknownUnit(text.chars().take(40).collect())),
                }
            }
        }
    };
}

units! {
    /// Pound-force per square inch.
    Psi = "psi", Pressure, PSI, 1, [];
    /// Kilopascal.
    Kilopascal = "kPa", Pressure, 1e3, 0, [];
    /// Bar.
    Bar = "bar", Pressure, 1e5, 2, [];
    /// Megapascal.
    Megapascal = "MPa", Pressure, 1e6, 3, [];
    /// Pascal.
    Pascal = "Pa", Pressure, 1.0, 0, [];
    /// Gigapascal, for the stiffness of pipe walls.
    Gigapascal = "GPa", Pressure, 1e9, 1, [];
    /// Metre of conventional water.
    MetreOfWater = "m H2O", Pressure, METRE_OF_WATER, 1, ["mH2O", "m of water"];
    /// Foot of conventional water.
    FootOfWater = "ft H2O", Pressure, FOOT_OF_WATER, 1, ["ftH2O", "ft of water"];
    /// Standard atmosphere.
    Atmosphere = "atm", Pressure, ATMOSPHERE, 2, [];
    /// Kilogram-force per square centimetre, on many gauges where Spanish is spoken.
    KilogramForcePerSquareCentimetre = "kgf/cm2", Pressure, STANDARD_GRAVITY * 1e4, 2, ["kgf/cm²", "kg/cm2", "kg/cm²"];

    /// Psi per turn.
    PsiPerTurn = "psi/turn", Rate, PSI, 2, [];
    /// Kilopascal per turn.
    KilopascalPerTurn = "kPa/turn", Rate, 1e3, 1, [];
    /// Bar per turn.
    BarPerTurn = "bar/turn", Rate, 1e5, 3, [];

    /// US gallon per minute.
    GallonPerMinute = "gpm", Flow, GALLON / 60.0, 0, ["GPM", "gal/min"];
    /// Litre per second.
    LitrePerSecond = "L/s", Flow, 1e-3, 2, ["l/s"];
    /// Cubic metre per hour.
    CubicMetrePerHour = "m3/h", Flow, 1.0 / 3600.0, 1, ["m³/h", "m^3/h"];
    /// Cubic foot per second.
    CubicFootPerSecond = "cfs", Flow, CUBIC_FOOT, 3, ["ft3/s", "ft³/s"];

    /// One whole turn of a screw.
    Turn = "turn", Turn, 1.0, 3, ["turns"];
    /// One degree of a turn.
    Degree = "deg", Turn, 1.0 / 360.0, 0, ["°"];
    /// One flat of a hexagon: a sixth of a turn.
    Flat = "flat", Turn, 1.0 / 6.0, 1, ["flats"];

    /// Inch.
    Inch = "in", Length, INCH, 2, [];
    /// Millimetre.
    Millimetre = "mm", Length, 1e-3, 0, [];
    /// Metre.
    Metre = "m", Length, 1.0, 2, [];
    /// Foot.
    Foot = "ft", Length, FOOT, 1, [];

    /// Foot per second.
    FootPerSecond = "ft/s", Speed, FOOT, 1, [];
    /// Metre per second.
    MetrePerSecond = "m/s", Speed, 1.0, 2, [];

    /// Kilogram per cubic metre.
    KilogramPerCubicMetre = "kg/m3", Density, 1.0, 1, ["kg/m³"];

    /// Degree Celsius.
    DegreeCelsius = "degC", Temperature, 1.0, 1, ["°C"];
    /// Degree Fahrenheit.
    DegreeFahrenheit = "degF", Temperature, 5.0 / 9.0, 0, ["°F"];

    /// Second.
    Second = "s", Time, 1.0, 0, [];
    /// Minute.
    Minute = "min", Time, 60.0, 1, [];

    /// Flow coefficient: US gallons of water per minute at a difference of 1 psi.
    Cv = "Cv", FlowCoefficient, 1.0, 1, [];
    /// Flow coefficient: cubic metres of water per hour at a difference of 1 bar.
    Kv = "Kv", FlowCoefficient, 1.0 / KV_PER_CV, 1, [];

    /// Percent.
    Percent = "%", Percent, 1.0, 1, [];
    /// Percent of the lower flammable limit.
    PercentLfl = "% LFL", PercentOfFlammableLimit, 1.0, 0, [];
    /// Parts per million.
    PartsPerMillion = "ppm", PartsPerMillion, 1.0, 0, [];

    /// One thread of a screw showing.
    Thread = "thread", Threads, 1.0, 1, ["threads"];

    /// Over one: a recovery factor, a cavitation index.
    Ratio = "ratio", Ratio, 1.0, 2, [];
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

impl Unit {
    /// Whether people read this unit in plain fractions, such as `1 1/8`.
    pub const fn takes_fractions(self) -> bool {
        matches!(self, Self::Turn | Self::Flat | Self::Inch | Self::Thread)
    }

    /// The reading in this unit at the zero of the base unit: 0, but 32 for degF.
    const fn zero(self) -> f64 {
        match self {
            Self::DegreeFahrenheit => 32.0,
            _ => 0.0,
        }
    }

    /// A value in this unit, in the base unit of its dimension.
    pub(super) const fn to_base(self, value: f64) -> f64 {
        (value - self.zero()) * self.worth()
    }

    /// A value in the base unit of the dimension, in this unit.
    pub(super) const fn of_base(self, value: f64) -> f64 {
        value / self.worth() + self.zero()
    }

    /// Converts a value in this unit into another unit of the same dimension. Temperatures are taken as points
    /// on their scales, not as differences. The same unit gives the same value back, bit for bit.
    ///
    /// # Errors
    /// [`QuantityError::WrongDimension`] between dimensions; [`QuantityError::NotFinite`] where the value or
    /// the result is not finite.
    pub fn convert(self, value: f64, to: Self) -> Result<f64, QuantityError> {
        if self.dimension() != to.dimension() {
            return Err(QuantityError::WrongDimension {
                unit: to,
                wanted: self.dimension(),
            });
        }
        let converted = if self == to {
            value
        } else {
            (value - self.zero()) * (self.worth() / to.worth()) + to.zero()
        };
        if converted.is_finite() {
            Ok(converted)
        } else {
            Err(QuantityError::NotFinite)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_json_a_unit_is_its_symbol() {
        for &unit in Unit::ALL {
            let json = serde_json::to_value(unit).unwrap();
            assert_eq!(json, unit.symbol());
            assert_eq!(serde_json::from_value::<Unit>(json).unwrap(), unit);
            assert_eq!(unit.symbol().parse(), Ok(unit));
        }
        assert_eq!(Unit::ALL.len(), 38);
    }

    #[test]
    fn the_page_sees_the_same_symbols() {
        let inline = Unit::inline(&ts_rs::Config::default());
        for unit in Unit::ALL {
            assert!(inline.contains(&format!("\"{unit}\"")), "{unit} in {inline}");
        }
    }

    #[test]
    fn an_unknown_or_misspelt_unit_is_not_guessed() {
        for text in [
            "", "PSI", "mPa", "psia", "psig", "Psi", " psi", "hours", "%LFL?", "m h2o",
        ] {
            assert_eq!(text.parse::<Unit>().unwrap_err().code(), "unknown_unit", "{text}");
        }
    }

    #[test]
    fn conversion_there_and_back_gives_the_value_back() {
        for &from in Unit::ALL {
            for &to in Unit::ALL.iter().filter(|to| to.dimension() == from.dimension()) {
                for value in [-1234.5, -1.0, 0.0, 0.125, 55.0, 1e6] {
                    let back = to.convert(from.convert(value, to).unwrap(), from).unwrap();
                    let slack = 1e-13 * (value.abs() + from.zero().abs() + to.zero().abs());
                    assert!((back - value).abs() <= slack, "{value} {from} -> {to} -> {back}");
                }
            }
        }
    }

    #[test]
    fn by_way_of_a_third_unit_makes_no_difference() {
        for &from in Unit::ALL {
            let same = |unit: &&Unit| unit.dimension() == from.dimension();
            for &through in Unit::ALL.iter().filter(same) {
                for &to in Unit::ALL.iter().filter(same) {
                    let straight = from.convert(77.0, to).unwrap();
                    let around = through.convert(from.convert(77.0, through).unwrap(), to).unwrap();
                    assert!(
                        (straight - around).abs() <= 1e-12 * (straight.abs() + 60.0),
                        "{from} {through} {to}"
                    );
                }
            }
        }
    }

    #[test]
    fn dimensions_do_not_mix_and_what_overflows_is_refused() {
        assert_eq!(
            Unit::Psi.convert(1.0, Unit::GallonPerMinute).unwrap_err().code(),
            "wrong_dimension"
        );
        assert_eq!(
            Unit::Psi.convert(1.0, Unit::PsiPerTurn).unwrap_err().code(),
            "wrong_dimension"
        );
        assert_eq!(
            Unit::Gigapascal.convert(1e305, Unit::Pascal).unwrap_err().code(),
            "not_finite"
        );
        assert_eq!(
            Unit::Psi.convert(f64::NAN, Unit::Psi).unwrap_err().code(),
            "not_finite"
        );
    }
}
