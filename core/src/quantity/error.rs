//! Why a figure or a quantity is refused.

use super::{Dimension, Unit};
use thiserror::Error;

/// Why the text of a figure is refused.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum FigureError {
    /// Nothing was written.
    #[error("no digits")]
    Empty,
    /// More characters than anybody reads off a gauge.
    #[error("more than {} characters", super::Figure::MAX_DIGITS)]
    TooLong,
    /// White space around the digits.
    #[error("white space around the digits")]
    Untrimmed,
    /// A comma, which is a decimal mark to some and a thousands mark to others.
    #[error("a comma in the digits: write a decimal point, and no thousands marks")]
    Comma,
    /// Not a decimal number.
    #[error("not a number")]
    NotANumber,
    /// Infinite, or not a number by name.
    #[error("not a finite number")]
    NotFinite,
    /// A fraction in a unit that nobody reads in fractions.
    #[error("no fractions of {0}: write a decimal number")]
    FractionNotTaken(Unit),
    /// A fraction over zero.
    #[error("a fraction over zero")]
    ZeroDenominator,
    /// A number with no unit behind it.
    #[error("no unit")]
    NoUnit,
    /// A unit that is not known here.
    #[error("unknown unit `{0}`")]
    UnknownUnit(String),
}

impl FigureError {
    /// The stable code of this error.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "empty_figure",
            Self::TooLong => "figure_too_long",
            Self::Untrimmed => "untrimmed_figure",
            Self::Comma => "decimal_comma",
            Self::NotANumber => "not_a_number",
            Self::NotFinite => "not_finite",
            Self::FractionNotTaken(_) => "fraction_not_taken",
            Self::ZeroDenominator => "zero_denominator",
            Self::NoUnit => "no_unit",
            Self::UnknownUnit(_) => "unknown_unit",
        }
    }
}

/// Why a figure or measure does not stand for the quantity asked for.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum QuantityError {
    /// Its text is refused.
    #[error(transparent)]
    Figure(#[from] FigureError),
    /// Its unit measures something else.
    #[error("{unit} measures {}, not {wanted}", unit.dimension())]
    WrongDimension {
        /// The unit it is in.
        unit: Unit,
        /// What was wanted.
        wanted: Dimension,
    },
    /// Infinite or not a number, as given or after conversion.
    #[error("not a finite number")]
    NotFinite,
    /// Less pressure than none at all.
    #[error("an absolute pressure below zero")]
    NegativeAbsolutePressure,
    /// Colder than absolute zero.
    #[error("a temperature below absolute zero")]
    BelowAbsoluteZero,
}

impl QuantityError {
    /// The stable code of this error.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Figure(error) => error.code(),
            Self::WrongDimension { .. } => "wrong_dimension",
            Self::NotFinite => "not_finite",
            Self::NegativeAbsolutePressure => "negative_absolute_pressure",
            Self::BelowAbsoluteZero => "below_absolute_zero",
        }
    }
}
