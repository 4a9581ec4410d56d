//! The customer changed the request after the valve was set.

use super::causal::ByWriter;
use crate::journal::{AssetId, Body, EntryId, Folded, JobState, Purpose, Stand};

/// Work that was done to another request than the one that stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RequestChange {
    /// The valve.
    pub valve: AssetId,
    /// The request that stands.
    pub request: EntryId,
    /// The request that was worked to: of the newest such entry in fold order.
    pub worked_to: EntryId,
    /// The moves and as-left readings that name another request, and that no later work for the standing
    /// request has seen.
    pub entries: Vec<EntryId>,
}

/// For every valve of the job: whether work stands that names a request which asks for another pressure
/// than the one that stands. Decided by what each writer had seen, not by clocks.
pub fn requests_changed(state: &JobState) -> Vec<RequestChange> {
    let Some(opening) = state.opening() else {
        return Vec::new();
    };
    opening
        .valves
        .iter()
        .filter_map(|valve| request_changed(state, valve.id))
        .collect()
}

/// The same for one valve.
pub fn request_changed(state: &JobState, valve: AssetId) -> Option<RequestChange> {
    let Stand::Agreed(Some(asked), standing) = state.request(valve) else {
        return None;
    };
    let work: Vec<(&Folded, EntryId)> = state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::ScrewMove(turned) if turned.asset == valve => Some((folded, turned.request?)),
            Body::Reading(read) if read.asset == valve && read.purpose == Purpose::AsLeft => {
                Some((folded, read.request?))
            }
            _ => None,
        })
        .collect();
    let asks_the_same = |named: EntryId| {
        named == standing.entry.id
            || state
                .entry(named)
                .is_some_and(|folded| match folded.entry.told.body.found() {
                    Body::Request(request) => {
                        request.pressure == asked.pressure && request.tolerance == asked.tolerance
                    }
                    _ => false,
                })
    };
    let (done_to_it, done_to_another): (Vec<_>, Vec<_>) =
        work.into_iter().partition(|(_, named)| asks_the_same(*named));
    let later = ByWriter::of(done_to_it.into_iter().map(|(new, _)| (0, new)));
    let open: Vec<_> = done_to_another
        .into_iter()
        .filter(|(old, _)| !later.any_after(old))
        .collect();
    let (_, worked_to) = *open.last()?;
    Some(RequestChange {
        valve,
        request: standing.entry.id,
        worked_to,
        entries: open.into_iter().map(|(folded, _)| folded.entry.id).collect(),
    })
}
