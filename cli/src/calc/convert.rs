//! `convert`: a figure in another unit of the same dimension.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::quantity::{Dimension, Temperature};

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    value: Finite,
    warnings: [&'static str; 0],
}

/// Answers `value` in the unit `to`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let measure = request.need_measure("value")?;
    let to = request.need_unit("to")?;
    request.finish()?;
    if measure.unit().dimension() == Dimension::Temperature {
        Temperature::try_from(measure).map_err(|error| CalcError::from(error).at("value"))?;
    }
    Ok(Answer {
        value: measure.in_unit(to)?.try_into()?,
        warnings: [],
    })
}
