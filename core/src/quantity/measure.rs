//! A number with a unit, on its way to arithmetic.

use super::{FigureError, QuantityError, Unit};
use std::fmt;
use std::str::FromStr;

/// A finite number with a unit. Unlike a [`super::Figure`] it has forgotten the digits; it comes from one, or
/// from a text such as `60 psi`, `27 psi/turn`, `15 degC`, `2.5 in`, `3/8 turn` or `1.5e-3 m3/h`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    value: f64,
    unit: Unit,
}

impl Measure {
    /// A measure.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`].
    pub fn new(value: f64, unit: Unit) -> Result<Self, QuantityError> {
        if value.is_finite() {
            Ok(Self { value, unit })
        } else {
            Err(QuantityError::NotFinite)
        }
    }

    /// The number, in [`Self::unit`].
    pub fn value(self) -> f64 {
        self.value
    }

    /// The unit.
    pub fn unit(self) -> Unit {
        self.unit
    }

    /// The number in another unit of the same dimension.
    ///
    /// # Errors
    /// As [`Unit::convert`].
    pub fn in_unit(self, unit: Unit) -> Result<f64, QuantityError> {
        self.unit.convert(self.value, unit)
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit)
    }
}

impl FromStr for Measure {
    type Err = FigureError;

    /// Reads a number and its unit. The number may have an exponent, and a plain fraction where the unit takes
    /// one; white space around and between is free.
    fn from_str(text: &str) -> Result<Self, FigureError> {
        let (number, unit) = split(text.trim());
        if number.is_empty() {
            // `NaN psi`, `inf psi`: the "unit" begins with the number's name.
            let word = unit
                .split_whitespace()
                .next()
                .unwrap_or_default()
                .to_ascii_lowercase();
            return Err(match word.as_str() {
                "" => FigureError::Empty,
                "nan" | "inf" | "infinity" => FigureError::NotFinite,
                _ => FigureError::NotANumber,
            });
        }
        if matches!(number, "+" | "-") {
            let named = unit.to_ascii_lowercase();
            let infinite = named.starts_with("inf") || named.starts_with("nan");
            return Err(if infinite {
                FigureError::NotFinite
            } else {
                FigureError::NotANumber
            });
        }
        if number.contains(',') {
            return Err(FigureError::Comma);
        }
        if unit.is_empty() {
            return Err(FigureError::NoUnit);
        }
        let unit: Unit = unit.parse()?;
        let value = if number.contains('/') {
            super::figure::fraction(number, unit)?
        } else {
            number.parse::<f64>().map_err(|_| FigureError::NotANumber)?
        };
        if value.is_finite() {
            Ok(Self { value, unit })
        } else {
            Err(FigureError::NotFinite)
        }
    }
}

/// Cuts a text where its unit begins: at the first letter or sign that no number contains. An `e` between a
/// digit and a digit or sign is an exponent.
pub(super) fn split(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let exponent = |at: usize| {
        let signed = matches!(bytes.get(at + 1), Some(b'+' | b'-'));
        at > 0 && (digit(at - 1) || bytes[at - 1] == b'.') && digit(at + 1 + usize::from(signed))
    };
    let end = text
        .char_indices()
        .find(|&(at, c)| match c {
            '0'..='9' | '+' | '-' | '.' | ',' | '/' => false,
            'e' | 'E' => !exponent(at),
            c => !c.is_whitespace(),
        })
        .map_or(text.len(), |(at, _)| at);
    let (number, unit) = text.split_at(end);
    (number.trim_end(), unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<(f64, &'static str), &'static str> {
        text.parse::<Measure>()
            .map(|m| (m.value(), m.unit().symbol()))
            .map_err(|error| error.code())
    }

    #[test]
    fn a_number_and_its_unit_are_told_apart() {
        assert_eq!(read("60 psi"), Ok((60.0, "psi")));
        assert_eq!(read("27 psi/turn"), Ok((27.0, "psi/turn")));
        assert_eq!(read("15 degC"), Ok((15.0, "degC")));
        assert_eq!(read(" -2.5in "), Ok((-2.5, "in")));
        assert_eq!(read("6.5 % LFL"), Ok((6.5, "% LFL")));
        assert_eq!(read("3.28 ft H2O"), Ok((3.28, "ft H2O")));
        assert_eq!(read("1e3 m3/h"), Ok((1000.0, "m3/h")));
        assert_eq!(read("1.5E-3 kPa"), Ok((0.0015, "kPa")));
        assert_eq!(read("90°"), Ok((90.0, "deg")));
        assert_eq!(
            read("0.1234567890123456789012345678901234567890 bar"),
            Ok((0.123_456_789_012_345_68, "bar"))
        );
    }

    #[test]
    fn turns_may_be_plain_fractions() {
        assert_eq!(read("-1 1/8 turn"), Ok((-1.125, "turn")));
        assert_eq!(read("3/8 turn"), Ok((0.375, "turn")));
        assert_eq!(read("3/8 psi"), Err("fraction_not_taken"));
    }

    #[test]
    fn what_is_not_a_measure_says_why() {
        assert_eq!(read(""), Err("empty_figure"));
        assert_eq!(read("60"), Err("no_unit"));
        assert_eq!(read("psi"), Err("not_a_number"));
        assert_eq!(read("60 PSI"), Err("unknown_unit"));
        assert_eq!(read("60 psi psi"), Err("unknown_unit"));
        assert_eq!(read("1,5 bar"), Err("decimal_comma"));
        assert_eq!(read("1.2.3 bar"), Err("not_a_number"));
        assert_eq!(read("- psi"), Err("not_a_number"));
        assert_eq!(read("5 5 psi"), Err("not_a_number"));
        for text in [
            "NaN psi",
            "nan",
            "inf psi",
            "-inf psi",
            "+Infinity psi",
            "1e999 psi",
        ] {
            assert_eq!(read(text), Err("not_finite"), "{text}");
        }
    }
}
