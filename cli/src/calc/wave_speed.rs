//! `wave_speed`: how fast a pressure wave runs along a pipe.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics::{self, PipeWall, WATER_BULK_MODULUS};
use turnwise_core::quantity::Density;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    m_per_s: Finite,
    warnings: [&'static str; 0],
}

/// Answers the wave speed in a pipe of inside `diameter`, `wall` and `youngs_modulus`, with the optional
/// `bulk_modulus` (2.19 GPa), `density` (1000 kg/m3) and restraint `c1` (1).
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let pipe = PipeWall {
        diameter: request.need_quantity("diameter")?,
        thickness: request.need_quantity("wall")?,
        youngs_modulus: request.need_quantity("youngs_modulus")?,
        restraint: request.number("c1")?.unwrap_or(1.0),
    };
    let bulk = request.quantity("bulk_modulus")?.unwrap_or(WATER_BULK_MODULUS);
    let density = request
        .quantity("density")?
        .unwrap_or(Density::CONVENTIONAL_WATER);
    request.finish()?;
    let speed = hydraulics::wave_speed(&pipe, bulk, density)?;
    Ok(Answer {
        m_per_s: speed.in_metres_per_second().try_into()?,
        warnings: [],
    })
}
