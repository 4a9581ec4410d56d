//! `hydrant_flow`: what a hydrant gives, by the pitot in its stream.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    flow_gpm: Finite,
    warnings: [&'static str; 0],
}

/// Answers the flow from an outlet of `diameter` and discharge `coefficient` at `pitot`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let coefficient = request.need_number("coefficient")?;
    let diameter = request.need_quantity("diameter")?;
    let atmosphere = request.atmosphere()?;
    let pitot = request.need_gauge("pitot", atmosphere)?;
    request.finish()?;
    let flow = hydraulics::hydrant_flow(coefficient, diameter, pitot)?;
    Ok(Answer {
        flow_gpm: flow.in_gpm().try_into()?,
        warnings: [],
    })
}
