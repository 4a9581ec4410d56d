//! The accuracy grades of dial gauges.

use std::fmt;
use std::str::FromStr;
use thiserror::Error;

/// An accuracy grade of ASME B40.100: how far off a gauge may be, in percent of its span.
///
/// | grade | middle half | first and last quarter |
/// |---|---|---|
/// | 4A | 0.1 | 0.1 |
/// | 3A | 0.25 | 0.25 |
/// | 2A | 0.5 | 0.5 |
/// | 1A | 1 | 1 |
/// | A | 1 | 2 |
/// | B | 2 | 3 |
/// | C | 3 | 4 |
/// | D | 5 | 5 |
///
/// Source: ASME B40.100, the table from memory: to be confirmed against the standard before it is quoted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// 0.1 % of span.
    G4A,
    /// 0.25 % of span.
    G3A,
    /// 0.5 % of span.
    G2A,
    /// 1 % of span.
    G1A,
    /// 1 % in the middle half, 2 % in the rest.
    A,
    /// 2 % in the middle half, 3 % in the rest.
    B,
    /// 3 % in the middle half, 4 % in the rest.
    C,
    /// 5 % of span.
    D,
}

/// The part of a scale that a reading falls in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// From 25 to 75 % of the span, both included.
    Middle,
    /// The first or the last quarter.
    End,
}

/// No such grade.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("no gauge grade `{0}`")]
pub struct UnknownGrade(pub String);

impl UnknownGrade {
    /// The stable code of this error.
    pub fn code(&self) -> &'static str {
        "unknown_grade"
    }
}

impl Grade {
    /// Every grade, the finest first.
    pub const ALL: [Self; 8] = [
        Self::G4A,
        Self::G3A,
        Self::G2A,
        Self::G1A,
        Self::A,
        Self::B,
        Self::C,
        Self::D,
    ];

    /// How it is printed on a dial.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::G4A => "4A",
            Self::G3A => "3A",
            Self::G2A => "2A",
            Self::G1A => "1A",
            Self::A => "A",
            Self::B => "B",
            Self::C => "C",
            Self::D => "D",
        }
    }

    /// The limit of error there, percent of span, either way.
    pub const fn percent(self, part: Part) -> f64 {
        match (self, part) {
            (Self::G4A, _) => 0.1,
            (Self::G3A, _) => 0.25,
            (Self::G2A, _) => 0.5,
            (Self::G1A, _) | (Self::A, Part::Middle) => 1.0,
            (Self::A, Part::End) | (Self::B, Part::Middle) => 2.0,
            (Self::B, Part::End) | (Self::C, Part::Middle) => 3.0,
            (Self::C, Part::End) => 4.0,
            (Self::D, _) => 5.0,
        }
    }
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

impl FromStr for Grade {
    type Err = UnknownGrade;

    /// Reads `2A`, `a`, `Grade B` or `ASME 1A`: small letters and the words before it do not matter.
    fn from_str(text: &str) -> Result<Self, UnknownGrade> {
        let unknown = || UnknownGrade(text.chars().take(40).collect());
        let mut words = text.split_whitespace().rev();
        let symbol = words.next().ok_or_else(unknown)?;
        let spoken = ["asme", "b40.100", "grade", "grado", "class", "clase"];
        if !words.all(|word| spoken.contains(&word.to_lowercase().as_str())) {
            return Err(unknown());
        }
        Self::ALL
            .into_iter()
            .find(|grade| grade.symbol().eq_ignore_ascii_case(symbol))
            .ok_or_else(unknown)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: ASME B40.100, from memory.
    #[test]
    fn each_grade_has_its_limits_in_the_middle_and_at_the_ends() {
        for (symbol, middle, end) in [
            ("4A", 0.1, 0.1),
            ("3A", 0.25, 0.25),
            ("2A", 0.5, 0.5),
            ("1A", 1.0, 1.0),
            ("A", 1.0, 2.0),
            ("B", 2.0, 3.0),
            ("C", 3.0, 4.0),
            ("D", 5.0, 5.0),
        ] {
            let grade: Grade = symbol.parse().unwrap();
            assert_eq!(grade.to_string(), symbol);
            let limits = [grade.percent(Part::Middle), grade.percent(Part::End)];
            assert!(
                limits
                    .iter()
                    .zip([middle, end])
                    .all(|(a, b)| (a - b).abs() < 1e-15),
                "{symbol}"
            );
        }
    }

    #[test]
    fn a_grade_is_read_however_a_person_writes_it_and_nothing_else_is_one() {
        for (text, grade) in [
            ("1a", Grade::G1A),
            (" Grade  b ", Grade::B),
            ("ASME B40.100 Grade 2A", Grade::G2A),
            ("grado A", Grade::A),
        ] {
            assert_eq!(text.parse(), Ok(grade), "{text}");
        }
        for text in ["", "5A", "AA", "1.0", "not B", "A B", "é"] {
            assert_eq!(
                text.parse::<Grade>().unwrap_err().code(),
                "unknown_grade",
                "{text}"
            );
        }
    }
}
