//! How a record is printed: in which language, in which units.

use serde::Deserialize;
use turnwise_core::quantity::{Dimension, FigureError, Unit};

/// The language of a printed record. What people typed stays as they typed it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Lang {
    /// English.
    #[default]
    En,
    /// Spanish.
    Es,
}

impl Lang {
    /// Its code: `en` or `es`.
    pub fn code(self) -> &'static str {
        match self {
            Self::En => "en",
            Self::Es => "es",
        }
    }
}

impl std::str::FromStr for Lang {
    type Err = PrintOptionError;

    /// Reads `en` or `es`.
    fn from_str(text: &str) -> Result<Self, PrintOptionError> {
        match text {
            "en" => Ok(Self::En),
            "es" => Ok(Self::Es),
            other => Err(PrintOptionError::Language(other.chars().take(20).collect())),
        }
    }
}

/// The units that figures are shown in beside the figure as it was read. None: only as read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Units {
    pressure: Option<Unit>,
    flow: Option<Unit>,
}

impl Units {
    /// Figures only as they were read.
    pub const AS_READ: Self = Self {
        pressure: None,
        flow: None,
    };

    /// These units of pressure and flow; `None` leaves such figures as read.
    ///
    /// # Errors
    /// [`PrintOptionError::Unit`] for a unit of something else.
    pub fn new(pressure: Option<Unit>, flow: Option<Unit>) -> Result<Self, PrintOptionError> {
        for (unit, dimension) in [(pressure, Dimension::Pressure), (flow, Dimension::Flow)] {
            if let Some(unit) = unit
                && unit.dimension() != dimension
            {
                return Err(PrintOptionError::Unit { unit, dimension });
            }
        }
        Ok(Self { pressure, flow })
    }

    /// The unit that a figure read in `unit` is shown in beside, if in another one than its own.
    pub(super) fn beside(self, unit: Unit) -> Option<Unit> {
        let wanted = match unit.dimension() {
            Dimension::Pressure => self.pressure,
            Dimension::Flow => self.flow,
            Dimension::Rate => match self.pressure {
                Some(Unit::Psi) => Some(Unit::PsiPerTurn),
                Some(Unit::Kilopascal) => Some(Unit::KilopascalPerTurn),
                Some(Unit::Bar) => Some(Unit::BarPerTurn),
                _ => None,
            },
            _ => None,
        };
        wanted.filter(|wanted| *wanted != unit)
    }

    /// The unit of pressure asked for.
    pub(super) fn pressure(self) -> Option<Unit> {
        self.pressure
    }
}

/// How a record is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Options {
    /// The language of everything that was not typed by people.
    pub lang: Lang,
    /// The units beside the figures as read.
    pub units: Units,
}

impl Options {
    /// The sheet of paper: letter where pressures are wanted in psi or only as read in English, else A4.
    pub(super) fn paper(self) -> &'static str {
        match (self.units.pressure, self.lang) {
            (Some(Unit::Psi | Unit::FootOfWater), _) | (None, Lang::En) => "us-letter",
            _ => "a4",
        }
    }
}

/// Options as a web address or a command line says them; what is left out is as by default.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// `en` or `es`.
    pub lang: Option<String>,
    /// The symbol of a unit of pressure, such as `kPa`.
    pub pressure: Option<String>,
    /// The symbol of a unit of flow, such as `L/s`.
    pub flow: Option<String>,
}

impl TryFrom<&Wanted> for Options {
    type Error = PrintOptionError;

    /// # Errors
    /// [`PrintOptionError`] for a language or a unit that is none here.
    fn try_from(wanted: &Wanted) -> Result<Self, PrintOptionError> {
        let unit = |symbol: &Option<String>| {
            symbol
                .as_deref()
                .map(|symbol| symbol.parse().map_err(PrintOptionError::NoUnit))
                .transpose()
        };
        Ok(Self {
            lang: wanted
                .lang
                .as_deref()
                .map(str::parse)
                .transpose()?
                .unwrap_or_default(),
            units: Units::new(unit(&wanted.pressure)?, unit(&wanted.flow)?)?,
        })
    }
}

/// What is wrong with an option.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum PrintOptionError {
    /// A language there are no words in.
    #[error("there are no words in the language {0}; en and es are known")]
    Language(String),
    /// No unit at all.
    #[error(transparent)]
    NoUnit(FigureError),
    /// A unit of something else.
    #[error("{unit} is no unit of {dimension}")]
    Unit {
        /// The unit.
        unit: Unit,
        /// What a unit of was wanted.
        dimension: Dimension,
    },
}

impl PrintOptionError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Language(_) => "unknown_language",
            Self::NoUnit(error) => error.code(),
            Self::Unit { .. } => "wrong_dimension",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_of_something_else_is_refused() {
        assert!(Units::new(Some(Unit::Bar), Some(Unit::LitrePerSecond)).is_ok());
        let error = Units::new(Some(Unit::GallonPerMinute), None).unwrap_err();
        assert_eq!(
            (error.code(), error.to_string().as_str()),
            ("wrong_dimension", "gpm is no unit of pressure")
        );
    }

    #[test]
    fn what_is_wanted_is_read_and_what_is_left_out_is_as_by_default() {
        assert_eq!(Options::try_from(&Wanted::default()), Ok(Options::default()));
        let wanted = Wanted {
            lang: Some("es".to_owned()),
            pressure: Some("kPa".to_owned()),
            flow: None,
        };
        let options = Options::try_from(&wanted).unwrap();
        assert_eq!(options.lang, Lang::Es);
        assert_eq!(options.units.pressure(), Some(Unit::Kilopascal));
        let wanted = Wanted {
            flow: Some("buckets".to_owned()),
            ..wanted
        };
        assert_eq!(Options::try_from(&wanted).unwrap_err().code(), "unknown_unit");
    }

    #[test]
    fn a_language_without_words_is_refused() {
        assert_eq!("es".parse(), Ok(Lang::Es));
        assert_eq!("fr".parse::<Lang>().unwrap_err().code(), "unknown_language");
    }
}
