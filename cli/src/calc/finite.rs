//! The only numbers that an answer can hold.

use super::CalcError;
use serde::Serialize;

/// A finite number, never minus zero.
#[derive(Clone, Copy, Debug, Serialize)]
#[serde(transparent)]
pub struct Finite(f64);

impl TryFrom<f64> for Finite {
    type Error = CalcError;

    fn try_from(value: f64) -> Result<Self, CalcError> {
        if value.is_finite() {
            // Adding zero turns -0 into 0 and leaves the rest alone.
            Ok(Self(value + 0.0))
        } else {
            Err(CalcError::new("not_finite", "the result is not a finite number"))
        }
    }
}
