//! A figure as it was read: its digits and its unit, never converted in the store.

use super::{FigureError, Measure, QuantityError, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;
use ts_rs::TS;

/// A figure as somebody read it. The digits stay as they were typed: `60.0` is not `60`.
///
/// What arrives from elsewhere is kept as it was written, whether or not it makes sense: deserialising does
/// not judge the digits, [`Figure::check`] does.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS, JsonSchema)]
pub struct Figure {
    /// The digits as typed: a decimal number, or for turns a plain fraction such as `-1 1/8`.
    pub digits: String,
    /// The unit they were read in.
    pub unit: Unit,
}

impl Figure {
    /// The most characters a figure may have.
    pub const MAX_DIGITS: usize = 24;

    /// A figure from what was typed: a sign if any, digits, and decimals behind a point; for turns, flats,
    /// threads and inches also a plain fraction. White space around it is left off.
    ///
    /// # Errors
    /// As [`Figure::check`].
    pub fn new(typed: &str, unit: Unit) -> Result<Self, FigureError> {
        let figure = Self {
            digits: typed.trim().to_owned(),
            unit,
        };
        figure.check()?;
        Ok(figure)
    }

    /// A figure that was computed, not read: `value` rounded to the decimals its unit is shown with.
    ///
    /// # Errors
    /// [`FigureError::NotFinite`], and [`FigureError::TooLong`] for a number no gauge shows.
    pub fn computed(value: f64, unit: Unit) -> Result<Self, FigureError> {
        if !value.is_finite() {
            return Err(FigureError::NotFinite);
        }
        let mut digits = format!("{value:.*}", unit.decimals());
        if digits.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
            digits = digits.trim_start_matches('-').to_owned();
        }
        Self::new(&digits, unit)
    }

    /// This figure for the eye in another unit of the same dimension: rounded to the decimals of that unit, or
    /// as it was typed where the unit is its own.
    ///
    /// # Errors
    /// As [`Figure::check`] and [`Unit::convert`].
    pub fn shown_in(&self, unit: Unit) -> Result<Self, QuantityError> {
        if unit == self.unit {
            self.check()?;
            return Ok(self.clone());
        }
        Ok(Self::computed(self.measure()?.in_unit(unit)?, unit)?)
    }

    /// Whether the digits make sense.
    ///
    /// # Errors
    /// What is wrong with them.
    pub fn check(&self) -> Result<(), FigureError> {
        self.value().map(|_| ())
    }

    /// The number, in the figure's own unit. Always finite.
    ///
    /// # Errors
    /// What is wrong with the digits.
    pub fn value(&self) -> Result<f64, FigureError> {
        let digits = self.digits.as_str();
        if digits.is_empty() {
            return Err(FigureError::Empty);
        }
        if digits.len() > Self::MAX_DIGITS {
            return Err(FigureError::TooLong);
        }
        if digits.trim() != digits {
            return Err(FigureError::Untrimmed);
        }
        if digits.contains(',') {
            return Err(FigureError::Comma);
        }
        if digits.contains('/') {
            fraction(digits, self.unit)
        } else {
            decimal(digits)
        }
    }

    /// The number with its unit, for arithmetic.
    ///
    /// # Errors
    /// What is wrong with the digits.
    pub fn measure(&self) -> Result<Measure, QuantityError> {
        Measure::new(self.value()?, self.unit)
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.digits, self.unit)
    }
}

impl FromStr for Figure {
    type Err = FigureError;

    /// Reads digits and their unit, such as `131.59 psi` or `1 3/8 turn`, and keeps the digits as written.
    fn from_str(text: &str) -> Result<Self, FigureError> {
        let (digits, unit) = super::measure::split(text.trim());
        if digits.is_empty() {
            return Err(if unit.is_empty() {
                FigureError::Empty
            } else {
                FigureError::NotANumber
            });
        }
        if unit.is_empty() {
            return Err(FigureError::NoUnit);
        }
        Self::new(digits, unit.parse()?)
    }
}

/// Reads `[+-]?digits[.digits]`, and nothing else.
fn decimal(digits: &str) -> Result<f64, FigureError> {
    let unsigned = digits.strip_prefix(['+', '-']).unwrap_or(digits);
    if matches!(unsigned.to_ascii_lowercase().as_str(), "nan" | "inf" | "infinity") {
        return Err(FigureError::NotFinite);
    }
    let (whole, decimals) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
    if ![whole, decimals].into_iter().all(all_digits) {
        return Err(FigureError::NotANumber);
    }
    let value: f64 = digits.parse().map_err(|_| FigureError::NotANumber)?;
    if value.is_finite() {
        Ok(value)
    } else {
        Err(FigureError::NotFinite)
    }
}

/// Reads `[+-]?[whole ]numerator/denominator` in a unit that takes fractions. With a whole part the fraction
/// must be less than one: `1 9/8` is more likely a slip than a turn and two and an eighth.
pub(super) fn fraction(digits: &str, unit: Unit) -> Result<f64, FigureError> {
    if !unit.takes_fractions() {
        return Err(FigureError::FractionNotTaken(unit));
    }
    let (sign, unsigned) = match digits.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, digits.strip_prefix('+').unwrap_or(digits)),
    };
    let (whole, parts) = match unsigned.rsplit_once(' ') {
        Some((whole, parts)) => (Some(number(whole)?), parts),
        None => (None, unsigned),
    };
    let (numerator, denominator) = parts.split_once('/').ok_or(FigureError::NotANumber)?;
    let (numerator, denominator) = (number(numerator)?, number(denominator)?);
    if denominator == 0.0 {
        return Err(FigureError::ZeroDenominator);
    }
    if whole.is_some() && numerator >= denominator {
        return Err(FigureError::NotANumber);
    }
    let value = sign * (whole.unwrap_or(0.0) + numerator / denominator);
    if value.is_finite() {
        Ok(value)
    } else {
        Err(FigureError::NotFinite)
    }
}

fn number(digits: &str) -> Result<f64, FigureError> {
    if !all_digits(digits) {
        return Err(FigureError::NotANumber);
    }
    digits.parse().map_err(|_| FigureError::NotANumber)
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(digits: &str, unit: Unit) -> Result<f64, &'static str> {
        Figure {
            digits: digits.to_owned(),
            unit,
        }
        .value()
        .map_err(|error| error.code())
    }

    #[test]
    fn a_figure_keeps_the_digits_that_were_typed() {
        let figure = Figure::new("60.0", Unit::Psi).unwrap();
        assert_eq!(figure.to_string(), "60.0 psi");
        assert_eq!(figure.value(), Ok(60.0));
        assert_ne!(figure, Figure::new("60", Unit::Psi).unwrap());
        assert_eq!(Figure::new("+007", Unit::Psi).unwrap().digits, "+007");
        assert_eq!(Figure::new(" 55 ", Unit::Psi).unwrap().digits, "55");
    }

    #[test]
    fn turns_may_be_typed_as_plain_fractions() {
        assert_eq!(value("-1 1/8", Unit::Turn), Ok(-1.125));
        assert_eq!(value("3/8", Unit::Turn), Ok(0.375));
        assert_eq!(value("+1/2", Unit::Flat), Ok(0.5));
        assert_eq!(value("2 1/2", Unit::Inch), Ok(2.5));
        assert_eq!(value("9/8", Unit::Turn), Ok(1.125));
        assert_eq!(value("1/2", Unit::Psi), Err("fraction_not_taken"));
        assert_eq!(value("1 9/8", Unit::Turn), Err("not_a_number"));
        assert_eq!(value("1/0", Unit::Turn), Err("zero_denominator"));
        for digits in [
            "1/2/3", "/2", "1/", "1 /2", "1/ 2", "1  1/2", "1.5/2", "--1/2", "- 1/2", "1/-2",
        ] {
            assert_eq!(value(digits, Unit::Turn), Err("not_a_number"), "{digits}");
        }
    }

    #[test]
    fn what_is_no_decimal_number_is_refused_with_its_own_code() {
        assert_eq!(value("", Unit::Psi), Err("empty_figure"));
        assert_eq!(
            value("1234567890123456789012345", Unit::Psi),
            Err("figure_too_long")
        );
        assert_eq!(value("60 ", Unit::Psi), Err("untrimmed_figure"));
        assert_eq!(value("1,5", Unit::Bar), Err("decimal_comma"));
        assert_eq!(value("1,500.5", Unit::Bar), Err("decimal_comma"));
        for digits in ["NaN", "inf", "-Infinity"] {
            assert_eq!(value(digits, Unit::Psi), Err("not_finite"), "{digits}");
        }
        for digits in [
            "60psi", "1e3", ".5", "5.", "--5", "+", "0x10", "٦٠", "5 5", "1_000", "−5",
        ] {
            assert_eq!(value(digits, Unit::Psi), Err("not_a_number"), "{digits}");
        }
    }

    #[test]
    fn a_foreign_figure_is_kept_as_written_and_judged_later() {
        let foreign: Figure = serde_json::from_str(r#"{"digits":" 6e9,NaN ","unit":"psi"}"#).unwrap();
        assert_eq!(foreign.digits, " 6e9,NaN ");
        assert_eq!(foreign.check().unwrap_err().code(), "untrimmed_figure");
        assert_eq!(
            serde_json::to_string(&foreign).unwrap(),
            r#"{"digits":" 6e9,NaN ","unit":"psi"}"#
        );
        assert!(serde_json::from_str::<Figure>(r#"{"digits":"6","unit":"furlong"}"#).is_err());
    }

    #[test]
    fn a_figure_reads_back_from_its_text() {
        for text in ["131.59 psi", "60.0 psi", "-1 3/8 turn", "6 in", "0.0 % LFL"] {
            assert_eq!(text.parse::<Figure>().unwrap().to_string(), text);
        }
        for (text, code) in [
            ("60", "no_unit"),
            ("psi", "not_a_number"),
            ("", "empty_figure"),
            ("1e3 psi", "not_a_number"),
        ] {
            assert_eq!(text.parse::<Figure>().unwrap_err().code(), code, "{text}");
        }
    }

    #[test]
    fn for_the_eye_a_figure_is_shown_in_another_unit() {
        let figure = Figure::new("60", Unit::Psi).unwrap();
        assert_eq!(figure.shown_in(Unit::Kilopascal).unwrap().to_string(), "414 kPa");
        assert_eq!(figure.shown_in(Unit::Bar).unwrap().to_string(), "4.14 bar");
        assert_eq!(figure.shown_in(Unit::Psi).unwrap(), figure);
        assert_eq!(figure.shown_in(Unit::Turn).unwrap_err().code(), "wrong_dimension");
        assert_eq!(Figure::computed(-0.01, Unit::Psi).unwrap().digits, "0.0");
        assert_eq!(Figure::computed(-0.06, Unit::Psi).unwrap().digits, "-0.1");
        assert_eq!(
            Figure::computed(f64::INFINITY, Unit::Psi).unwrap_err().code(),
            "not_finite"
        );
        assert_eq!(
            Figure::computed(1e30, Unit::Psi).unwrap_err().code(),
            "figure_too_long"
        );
    }
}
