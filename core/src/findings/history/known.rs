//! Valves that earlier jobs were about: a new job for one of them keeps its id, and so its history.

use crate::journal::{Asset, History, JobId, JobState, ValveOnJob};
use serde::{Deserialize, Serialize};
use std::cmp::Reverse;
use std::collections::BTreeSet;
use ts_rs::TS;

/// The most earlier visits that a new job carries of one valve: ten years of yearly service.
pub const MOST_VISITS: usize = 10;

/// A valve that an earlier job was about, as that job has it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct KnownValve {
    /// The newest job about it.
    pub job: JobId,
    /// That job's number.
    pub number: String,
    /// Whose system it is.
    pub customer: String,
    /// Where it is.
    pub site: String,
    /// Its chamber.
    pub station: Asset,
    /// The valve, with the procedure it was worked by.
    pub valve: ValveOnJob,
}

/// The valves of one job.
pub fn known(state: &JobState) -> Vec<KnownValve> {
    let Some(opening) = state.opening() else {
        return Vec::new();
    };
    let valves = opening.valves.iter().map(|valve| KnownValve {
        job: state.job,
        number: opening.number.clone(),
        customer: opening.customer.clone(),
        site: opening.site.clone(),
        station: opening.station.clone(),
        valve: valve.clone(),
    });
    valves.collect()
}

/// Each valve once, as its newest job has it (a job's id begins with the time at which it was made), in the order of
/// sites, chambers and names.
pub fn newest(all: impl IntoIterator<Item = KnownValve>) -> Vec<KnownValve> {
    let mut all: Vec<KnownValve> = all.into_iter().collect();
    all.sort_by_key(|known| Reverse(known.job));
    let mut seen = BTreeSet::new();
    all.retain(|known| seen.insert(known.valve.id));
    all.sort_by(|a, b| {
        let key = |known: &KnownValve| {
            (
                known.site.clone(),
                known.station.name.clone(),
                known.valve.name.clone(),
            )
        };
        key(a).cmp(&key(b))
    });
    all
}

/// The last visits, the newest last, by the stated times of their ends: at most [`MOST_VISITS`].
pub fn last(mut visits: Vec<History>) -> Vec<History> {
    visits.sort_by(|a, b| super::compare::instant(&a.closed_at).cmp(&super::compare::instant(&b.closed_at)));
    let from = visits.len().saturating_sub(MOST_VISITS);
    visits.split_off(from)
}
