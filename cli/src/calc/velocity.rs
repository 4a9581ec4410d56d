//! `velocity`: how fast water runs in a round bore.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    ft_per_s: Finite,
    m_per_s: Finite,
    warnings: [&'static str; 0],
}

/// Answers the mean velocity of `flow` in a bore of `diameter`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let flow = request.need_quantity("flow")?;
    let diameter = request.need_quantity("diameter")?;
    request.finish()?;
    let speed = hydraulics::velocity(flow, diameter)?;
    Ok(Answer {
        ft_per_s: speed.in_feet_per_second().try_into()?,
        m_per_s: speed.in_metres_per_second().try_into()?,
        warnings: [],
    })
}
