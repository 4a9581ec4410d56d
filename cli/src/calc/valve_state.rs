//! `valve_state`: what a reducing valve is doing.

use super::request::FlowSaid;
use super::{CalcError, Request};
use serde::Serialize;
use turnwise_core::diagnosis::valve_state::{self, Because, Seen, Water};
use turnwise_core::quantity::PressureDifference;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    state: &'static str,
    because: Vec<&'static str>,
    warnings: [&'static str; 0],
}

/// Answers the state of a valve with this `inlet`, `outlet` and `setting`, with the optional `flow` (a quantity, or
/// whether any), `min_differential` and `uncertainty`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let atmosphere = request.atmosphere()?;
    let seen = Seen {
        inlet: request.need_gauge("inlet", atmosphere)?,
        outlet: request.need_gauge("outlet", atmosphere)?,
        setting: request.need_gauge("setting", atmosphere)?,
        flow: request.flow_or_whether("flow")?.map(|said| match said {
            FlowSaid::Measured(flow) => Water::of(flow),
            FlowSaid::Whether(true) => Water::Runs,
            FlowSaid::Whether(false) => Water::Stands,
        }),
        min_differential: request.quantity("min_differential")?,
        uncertainty: request.quantity("uncertainty")?,
    };
    request.finish()?;
    let negative =
        |given: Option<PressureDifference>| given.is_some_and(|given| given < PressureDifference::ZERO);
    if negative(seen.min_differential) {
        return Err(CalcError::new(
            "negative_differential",
            "a minimum differential below zero",
        ));
    }
    if negative(seen.uncertainty) {
        return Err(CalcError::new(
            "negative_uncertainty",
            "an uncertainty below zero",
        ));
    }
    let judged = valve_state::valve_state(&seen);
    Ok(Answer {
        state: judged.state.code(),
        because: judged.because.into_iter().map(Because::code).collect(),
        warnings: [],
    })
}
