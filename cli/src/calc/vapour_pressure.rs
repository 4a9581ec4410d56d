//! `vapour_pressure`: the pressure below which water boils.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics;

/// What is answered: Pa, absolute.
#[derive(Serialize)]
pub struct Answer {
    pa: Finite,
    warnings: [&'static str; 0],
}

/// Answers the vapour pressure of water at `temperature`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let temperature = request.need_quantity("temperature")?;
    request.finish()?;
    let pressure =
        hydraulics::vapour_pressure(temperature).map_err(|error| CalcError::from(error).at("temperature"))?;
    Ok(Answer {
        pa: pressure.in_pa().try_into()?,
        warnings: [],
    })
}
