//! `surge`: the rise in pressure where water is stopped at once.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics::{critical_time, surge_rise};

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    rise_psi: Finite,
    #[serde(skip_serializing_if = "Option::is_none")]
    critical_time_s: Option<Finite>,
    warnings: [&'static str; 0],
}

/// Answers the rise from a `velocity_change` where waves run at `wave_speed`; with a `length`, also how quick a change
/// must be to make all of it. Optional: `temperature`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let wave = request.need_quantity("wave_speed")?;
    let change = request.need_quantity("velocity_change")?;
    let length = request.quantity("length")?;
    let density = request.density()?;
    request.finish()?;
    let rise = surge_rise(wave, change, density)?;
    let time = length.map(|length| critical_time(length, wave)).transpose()?;
    Ok(Answer {
        rise_psi: rise.in_psi().try_into()?,
        critical_time_s: time.map(|time| time.in_seconds().try_into()).transpose()?,
        warnings: [],
    })
}
