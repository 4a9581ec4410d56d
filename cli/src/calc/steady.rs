//! `steady`: whether a pressure has settled.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::quantity::PressureDifference;
use turnwise_core::steady::{Because, Sample, State, SteadyError, judge};

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    state: State,
    mean_psi: Finite,
    #[serde(skip_serializing_if = "Option::is_none")]
    settled_at_s: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    period_s: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    amplitude_psi: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    slope_psi_per_min: Option<Finite>,
    /// Start of the window that mean and slope are of.
    from_s: Finite,
    band_psi: Finite,
    because: Vec<Because>,
    warnings: Vec<Because>,
}

impl From<SteadyError> for CalcError {
    fn from(error: SteadyError) -> Self {
        Self::new(error.code(), error.to_string())
    }
}

/// Answers how `samples` behave, with the optional `band`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let samples: Vec<Sample> = request
        .need_pairs("samples")?
        .into_iter()
        .map(|[at_s, psi]| Sample { at_s, psi })
        .collect();
    let band: Option<PressureDifference> = request.quantity("band")?;
    request.finish()?;
    let verdict = judge(&samples, band).map_err(|error| {
        let key = if error == SteadyError::BandNotPositive {
            "band"
        } else {
            "samples"
        };
        CalcError::from(error).at(key)
    })?;
    let (warnings, because) = verdict
        .because
        .into_iter()
        .partition(|because| because.is_remark());
    let optional = |number: Option<f64>| number.map(Finite::try_from).transpose();
    Ok(Answer {
        state: verdict.state,
        mean_psi: verdict.mean_psi.try_into()?,
        settled_at_s: optional(verdict.settled_at_s)?,
        period_s: optional(verdict.period_s)?,
        amplitude_psi: optional(verdict.amplitude_psi)?,
        slope_psi_per_min: optional(verdict.slope_psi_per_min)?,
        from_s: verdict.from_s.try_into()?,
        band_psi: verdict.band.in_psi().try_into()?,
        because,
        warnings,
    })
}
