//! `turn_plan`: how far to turn the screw, which way, in which moves.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::quantity::{GaugePressure, Turns, Unit};
use turnwise_core::setting::{self, ClockwiseEffect, Direction, Limits, MoveRequest, SpringRange, Warning};

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    turns: Finite,
    degrees: Finite,
    direction: Direction,
    moves: Vec<Finite>,
    warnings: Vec<Warning>,
}

/// Answers the plan from `from` to `to` at `rate`, with the optional `range`, `inlet`, `min_differential`,
/// `max_move_turns` and `max_move`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let atmosphere = request.atmosphere()?;
    let from = request.need_gauge("from", atmosphere)?;
    let to = request.need_gauge("to", atmosphere)?;
    let rate = request.need_quantity("rate")?;
    let range = match request.pair::<GaugePressure>("range")? {
        Some([low, high]) => {
            Some(SpringRange::new(low, high).map_err(|error| CalcError::from(error).at("range"))?)
        }
        None => None,
    };
    let inlet = request.gauge("inlet", atmosphere)?;
    let min_differential = request.quantity("min_differential")?;
    let limits = Limits {
        turns: request.quantity_in::<Turns>("max_move_turns", Unit::Turn)?,
        change: request.quantity("max_move")?,
    };
    request.finish()?;
    let clockwise = ClockwiseEffect::Raises;
    let plan = setting::turn_plan(&MoveRequest {
        from,
        to,
        rate,
        clockwise,
        range,
        inlet,
        min_differential,
        limits,
    })?;
    Ok(Answer {
        turns: plan.turns.in_turns().try_into()?,
        degrees: plan.turns.in_degrees().try_into()?,
        direction: plan.direction,
        moves: plan
            .moves
            .iter()
            .map(|each| each.in_turns().try_into())
            .collect::<Result<_, _>>()?,
        warnings: plan.warnings,
    })
}
