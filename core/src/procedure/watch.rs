//! What must be shouted, and what must not be trusted.

use super::model::{Procedure, Step};
use super::scene::{Pool, newest};
use crate::journal::{AssetId, Body, Duty, EntryId, Folded, JobState, PersonId};
use crate::quantity::Figure;

/// A newest reading of the zone is over its limit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ZoneAlarm {
    /// The reading: the highest of those over the limit.
    pub reading: EntryId,
    /// Where it was read.
    pub point: String,
    /// What was read.
    pub figure: Figure,
    /// The limit.
    pub limit: Figure,
}

/// The newest readings of the zone against its limit: every tablet shouts. Of readings beside one another each
/// counts, since nobody can say which is the newer.
pub fn zone_alarm(procedure: &Procedure, state: &JobState, valve: AssetId) -> Option<ZoneAlarm> {
    let pool = Pool::new(state, procedure, valve);
    let scene = pool.now();
    let (folded, reading) = scene.over_limit()?;
    let (limit, _) = scene.zone_limit()?;
    Some(ZoneAlarm {
        reading: folded.entry.id,
        point: reading.point.clone(),
        figure: reading.figure.clone(),
        limit: limit.clone(),
    })
}

/// Whether a reading is older than a turn of a screw of its valve: its writer had not seen every turn. Such a
/// reading is dimmed, and never drives a move.
pub fn is_stale(state: &JobState, reading: &Folded) -> bool {
    let Body::Reading(read) = &reading.entry.told.body else {
        return false;
    };
    state.live().any(|folded| {
        matches!(&folded.entry.told.body, Body::ScrewMove(moved) if moved.asset == read.asset)
            && !reading.saw(folded)
    })
}

/// Whether what was read last at a point of a valve is older than a turn of its screw. False where nothing was
/// read there.
pub fn newest_reading_is_stale(state: &JobState, valve: AssetId, point: &str) -> bool {
    let there = state.live().filter_map(|folded| match &folded.entry.told.body {
        Body::Reading(reading) if reading.asset == valve && reading.point == point => Some((folded, reading)),
        _ => None,
    });
    newest(there).iter().any(|(folded, _)| is_stale(state, folded))
}

/// What to warn a person of who takes a step, as a code: the attendant of a permit space does nothing that
/// interferes with watching (29 CFR 1910.146(i), 1926.1209).
pub fn duty_warning(
    procedure: &Procedure,
    state: &JobState,
    valve: AssetId,
    step: &Step,
    person: PersonId,
) -> Option<&'static str> {
    let pool = Pool::new(state, procedure, valve);
    let scene = pool.now();
    let watching = matches!(step.who, Some(Duty::Attendant | Duty::EntrySupervisor)) || !scene.permit_space();
    let attends = |duties: &[Duty]| duties.contains(&Duty::Attendant);
    let people = scene.people();
    let is_attendant = people
        .iter()
        .any(|(who, duties)| *who == person && attends(duties));
    (is_attendant && !watching).then_some("attendant_only_watches")
}
