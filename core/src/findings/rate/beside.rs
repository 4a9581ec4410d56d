//! What stands beside a reading: how finely it can be read, and whether the pressure was still on its way.

use crate::journal::{Body, Folded, Gauge, JobState, Reading, Register, Stand};
use crate::quantity::{GaugePressure, PressureDifference};
use crate::setting::learn::ASSUMED_RESOLUTION;
use crate::steady::{Sample, State, judge};

/// How finely the gauge of a reading can be read: as it is on record, else a step of the last decimal written,
/// else [`ASSUMED_RESOLUTION`], or a step of the unit where that is more.
pub(super) fn resolution_of(state: &JobState, reading: &Reading) -> PressureDifference {
    let serial = reading.gauge.clone().unwrap_or_default();
    let recorded = |gauge: &Gauge| PressureDifference::try_from(gauge.resolution.as_ref()?).ok();
    let on_record = match state.standing(&Register::Gauge { serial }) {
        Stand::Agreed(Body::Gauge(gauge), _) => recorded(gauge),
        _ => None,
    };
    on_record
        .filter(|step| step.is_finite() && *step > PressureDifference::ZERO)
        .unwrap_or_else(|| by_the_digits(reading))
}

fn by_the_digits(reading: &Reading) -> PressureDifference {
    let figure = &reading.figure;
    let decimals = figure.digits.split_once('.').map_or(0, |(_, after)| after.len());
    let step = i32::try_from(decimals)
        .ok()
        .and_then(|decimals| PressureDifference::from_unit(10.0_f64.powi(-decimals), figure.unit).ok());
    match step {
        Some(step) if decimals > 0 || step > ASSUMED_RESOLUTION => step,
        _ => ASSUMED_RESOLUTION,
    }
}

/// How the pressure behaved over readings of one gauge, at the times that their entries state. None: too few to say,
/// or times that cannot be read.
pub(super) fn state_of<'a>(readings: impl Iterator<Item = (&'a Folded, GaugePressure)>) -> Option<State> {
    let samples: Option<Vec<Sample>> = readings
        .map(|(folded, pressure)| {
            let at: jiff::Timestamp = folded.entry.told.at.parse().ok()?;
            Some(Sample {
                at_s: at.as_duration().as_secs_f64(),
                psi: pressure.in_psi(),
            })
        })
        .collect();
    judge(&samples?, None).ok().map(|verdict| verdict.state)
}
