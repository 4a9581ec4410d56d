//! Why a line is not served.

use serde::Serialize;
use turnwise_core::gauge::{AccuracyError, SpecError};
use turnwise_core::hydraulics::HydraulicsError;
use turnwise_core::quantity::{FigureError, QuantityError};
use turnwise_core::setting::learn::LearnError;
use turnwise_core::setting::{PlanError, SpringError};

/// A stable code, and words for a person.
#[derive(Debug, Serialize)]
pub struct CalcError {
    code: &'static str,
    message: String,
}

impl CalcError {
    /// An error.
    pub fn new(code: &'static str, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
        }
    }

    /// The same error, saying which key it is about.
    pub fn at(self, key: &str) -> Self {
        Self {
            message: format!("{key}: {}", self.message),
            ..self
        }
    }
}

/// A foreign text, short enough to stand in a message.
pub fn clip(text: &str) -> String {
    text.chars().take(40).collect()
}

impl From<FigureError> for CalcError {
    fn from(error: FigureError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<QuantityError> for CalcError {
    fn from(error: QuantityError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<SpringError> for CalcError {
    fn from(error: SpringError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<PlanError> for CalcError {
    fn from(error: PlanError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<LearnError> for CalcError {
    fn from(error: LearnError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<HydraulicsError> for CalcError {
    fn from(error: HydraulicsError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<SpecError> for CalcError {
    fn from(error: SpecError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

impl From<AccuracyError> for CalcError {
    fn from(error: AccuracyError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}
