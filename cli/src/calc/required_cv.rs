//! `required_cv`: how much a valve must let through.

use super::request::Passage;
use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics::required_coefficient;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    cv: Finite,
    kv: Finite,
    choked: bool,
    warnings: [&'static str; 0],
}

/// Answers the coefficient that passes `flow` from `inlet` to `outlet` with `fl`, with the optional `temperature` and
/// `atmosphere_abs`. Water of relative density 1.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let flow = request.need_quantity("flow")?;
    let Passage {
        inlet,
        outlet,
        recovery,
        liquid,
    } = request.need_passage()?;
    request.finish()?;
    let needed = required_coefficient(flow, inlet, outlet, recovery, &liquid)?;
    Ok(Answer {
        cv: needed.coefficient.in_cv().try_into()?,
        kv: needed.coefficient.in_kv().try_into()?,
        choked: needed.choked,
        warnings: [],
    })
}
