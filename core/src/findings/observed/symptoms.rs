//! What is wrong, as far as the record shows it.

use super::{SignSeen, signs};
use crate::diagnosis::{Sign, Symptom};
use crate::findings::verdict::{Creep, lock_up, settled};
use crate::journal::{AssetId, JobState};
use crate::steady::State;
use std::collections::BTreeMap;

/// The symptoms that the record itself shows, in the order of [`Symptom::ALL`]: a move after which the point did not
/// follow, a pressure that hunts, a lock-up that climbs, an outlet at inlet pressure while no water runs. What it does
/// not show may still be so: a person can name it.
pub fn symptoms(
    state: &JobState,
    valve: AssetId,
    point: &str,
    seen: &BTreeMap<Sign, SignSeen>,
) -> Vec<Symptom> {
    let is = |sign: Sign, so: bool| seen.get(&sign).is_some_and(|seen| seen.so == so);
    let shows = |symptom: &Symptom| match symptom {
        Symptom::DoesNotFollow => signs::follows(state, valve, point).is_some_and(|seen| !seen.so),
        Symptom::Hunting => settled(state, valve, point).is_some_and(|found| found.state == State::Hunting),
        Symptom::Creep => lock_up(state, valve, point).is_some_and(|found| found.creep == Creep::Climbs),
        Symptom::OutletEqualsInletAtNoFlow => {
            is(Sign::OutletEqualsInlet, true) && is(Sign::FlowProven, false)
        }
        Symptom::RateOff | Symptom::StaysOpen | Symptom::StaysClosed | Symptom::GaugeDoesNotMove => false,
    };
    Symptom::ALL
        .iter()
        .copied()
        .filter(|symptom| shows(symptom))
        .collect()
}
