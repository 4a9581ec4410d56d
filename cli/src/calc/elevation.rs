//! `elevation`: the pressure of still water at another height.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics::pressure_at;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    psi: Finite,
    warnings: [&'static str; 0],
}

/// Answers what `pressure` at the elevation `from` is at the elevation `to`. Optional: `temperature`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let atmosphere = request.atmosphere()?;
    let pressure = request.need_gauge("pressure", atmosphere)?;
    let from = request.need_quantity("from")?;
    let to = request.need_quantity("to")?;
    let density = request.density()?;
    request.finish()?;
    let there = pressure_at(pressure, from, to, density)?;
    there.to_absolute(atmosphere)?;
    Ok(Answer {
        psi: there.in_psi().try_into()?,
        warnings: [],
    })
}
