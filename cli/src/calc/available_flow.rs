//! `available_flow`: what the mains could give at a lower pressure.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics::{self, AvailableFlowWarning, usual_residual};

/// What is answered. The warnings always say that the law does not hold behind a regulating valve.
#[derive(Serialize)]
pub struct Answer {
    flow_gpm: Finite,
    warnings: Vec<&'static str>,
}

/// Answers the flow available at `at` (20 psi where nothing is said) from a test of `test_flow` that drew `static` down
/// to `residual`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let test = request.need_quantity("test_flow")?;
    let atmosphere = request.atmosphere()?;
    let still = request.need_gauge("static", atmosphere)?;
    let residual = request.need_gauge("residual", atmosphere)?;
    let at = request.gauge("at", atmosphere)?.unwrap_or_else(usual_residual);
    request.finish()?;
    let available = hydraulics::available_flow(test, still, residual, at)?;
    Ok(Answer {
        flow_gpm: available.flow.in_gpm().try_into()?,
        warnings: available
            .warnings
            .into_iter()
            .map(AvailableFlowWarning::code)
            .collect(),
    })
}
