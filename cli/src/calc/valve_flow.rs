//! `valve_flow`: what passes a valve, whether it is choked, and both cavitation indices.

use super::request::Passage;
use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::hydraulics::{self, cavitation, critical_pressure_ratio};

/// What is answered. Without a difference of pressure there are no cavitation indices.
#[derive(Serialize)]
pub struct Answer {
    flow_gpm: Finite,
    dp_choked_psi: Finite,
    choked: bool,
    ff: Finite,
    sigma_isa: Option<Finite>,
    sigma_downstream: Option<Finite>,
    warnings: Vec<&'static str>,
}

/// Answers the flow through a valve of `cv` or `kv` and `fl` from `inlet` to `outlet`, with the optional
/// `temperature` and `atmosphere_abs`. Water of relative density 1.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let coefficient = request.need_coefficient()?;
    let Passage {
        inlet,
        outlet,
        recovery,
        liquid,
    } = request.need_passage()?;
    request.finish()?;
    let passing = hydraulics::valve_flow(coefficient, inlet, outlet, recovery, &liquid)?;
    let sigma = cavitation(inlet, outlet, &liquid)?;
    let mut warnings = Vec::new();
    if sigma.is_none() {
        warnings.push("no_difference");
    }
    if outlet < liquid.vapour_pressure {
        warnings.push("outlet_below_vapour_pressure");
    }
    Ok(Answer {
        flow_gpm: passing.flow.in_gpm().try_into()?,
        dp_choked_psi: passing.choked_difference.in_psi().try_into()?,
        choked: passing.choked,
        ff: critical_pressure_ratio(&liquid).try_into()?,
        sigma_isa: sigma.map(|sigma| sigma.isa.try_into()).transpose()?,
        sigma_downstream: sigma.map(|sigma| sigma.downstream.try_into()).transpose()?,
        warnings,
    })
}
