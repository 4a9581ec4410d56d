//! What is printed about a gauge's accuracy.

use super::{Grade, Part};
use std::fmt;
use std::str::FromStr;
use thiserror::Error;

/// How far off a gauge may be: by its grade, or by a percentage of its span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Accuracy {
    /// A grade of ASME B40.100.
    Grade(Grade),
    /// A limit of error in percent of span, the same over the whole scale.
    PercentOfSpan(f64),
}

/// Why a text tells no accuracy.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AccuracyError {
    /// Neither a grade nor a number.
    #[error("no accuracy: `{0}` is neither a grade nor a percentage of span")]
    Unknown(String),
    /// A percentage that is not above 0 and at most 100.
    #[error("an accuracy is more than 0 and at most 100 % of span")]
    OutOfRange,
}

impl AccuracyError {
    /// The stable code of this error.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Unknown(_) => "unknown_grade",
            Self::OutOfRange => "accuracy_out_of_range",
        }
    }
}

impl Accuracy {
    /// A percentage of span.
    ///
    /// # Errors
    /// [`AccuracyError::OutOfRange`] for what is not above 0 and at most 100.
    pub fn percent(percent: f64) -> Result<Self, AccuracyError> {
        if percent > 0.0 && percent <= 100.0 {
            Ok(Self::PercentOfSpan(percent))
        } else {
            Err(AccuracyError::OutOfRange)
        }
    }

    /// The limit of error in that part of the scale, percent of span, either way.
    pub fn limit(self, part: Part) -> f64 {
        match self {
            Self::Grade(grade) => grade.percent(part),
            Self::PercentOfSpan(percent) => percent,
        }
    }
}

impl fmt::Display for Accuracy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Grade(grade) => grade.fmt(f),
            Self::PercentOfSpan(percent) => write!(f, "{percent} %"),
        }
    }
}

impl FromStr for Accuracy {
    type Err = AccuracyError;

    /// Reads a grade (`1A`, `grade B`) or a percentage of span (`0.5 %`, `0.5%`, `±0.5 % FS`, `0.5`). A decimal comma
    /// is read as well (`0,5 %`): at most a hundred, it can be no thousands' mark.
    fn from_str(text: &str) -> Result<Self, AccuracyError> {
        if let Ok(grade) = text.parse() {
            return Ok(Self::Grade(grade));
        }
        let number = text
            .trim()
            .trim_start_matches("+-")
            .trim_start_matches("+/-")
            .trim_start_matches('±')
            .trim_start();
        let end = number
            .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
            .unwrap_or(number.len());
        let (digits, rest) = number.split_at(end);
        let rest = rest.trim_start().trim_start_matches('%').trim().to_lowercase();
        let known = ["", "fs", "f.s.", "of span", "of full scale"];
        match digits.replacen(',', ".", 1).parse::<f64>() {
            Ok(percent) if known.contains(&rest.as_str()) => Self::percent(percent),
            _ => Err(AccuracyError::Unknown(text.chars().take(40).collect())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_accuracy_is_read_as_people_write_it_on_a_form() {
        for text in [
            "0.5 %",
            "0.5%",
            "0.5",
            "+-0.5 %",
            "+/- 0.5%",
            "±0.5 % FS",
            " 0.50 % of span ",
            "0,5 %",
            "±0,5",
        ] {
            assert_eq!(text.parse(), Ok(Accuracy::PercentOfSpan(0.5)), "{text}");
        }
        assert_eq!("1A".parse(), Ok(Accuracy::Grade(Grade::G1A)));
        assert_eq!("1 %".parse(), Ok(Accuracy::PercentOfSpan(1.0)));
        for accuracy in [Accuracy::PercentOfSpan(0.25), Accuracy::Grade(Grade::B)] {
            assert_eq!(accuracy.to_string().parse(), Ok(accuracy));
        }
    }

    #[test]
    fn what_is_no_accuracy_says_why() {
        for (text, code) in [
            ("", "unknown_grade"),
            ("good", "unknown_grade"),
            ("0,5,0 %", "unknown_grade"),
            ("1,000.5", "unknown_grade"),
            ("0.5 psi", "unknown_grade"),
            ("1.2.3", "unknown_grade"),
            ("-1 %", "unknown_grade"),
            ("0", "accuracy_out_of_range"),
            ("101 %", "accuracy_out_of_range"),
        ] {
            assert_eq!(text.parse::<Accuracy>().unwrap_err().code(), code, "{text}");
        }
        assert_eq!(
            Accuracy::percent(f64::NAN).unwrap_err().code(),
            "accuracy_out_of_range"
        );
    }
}
