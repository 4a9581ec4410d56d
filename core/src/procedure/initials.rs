//! Who has entries to stand by, and who does.

use crate::journal::{Body, DeviceId, EntryId, Folded, JobState, PersonId};
use std::collections::{BTreeMap, BTreeSet};

/// One person's entries, and how many of them the person's initials cover.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OwnEntries {
    /// The entries that the person stands by or should, in fold order: what they saw or did.
    pub entries: Vec<EntryId>,
    /// Those among them that their newest initials cover.
    pub initialled: Vec<EntryId>,
}

/// Everybody with entries of their own. What arranges the job (its opening, requests, duties, grants, history,
/// clock checks, initials and signatures, and whatever else the office wrote) is nobody's to initial; what was
/// taken back is not either.
pub fn own_entries(state: &JobState) -> BTreeMap<PersonId, OwnEntries> {
    let mut people: BTreeMap<PersonId, OwnEntries> = BTreeMap::new();
    let mut initials: BTreeMap<PersonId, Vec<&Folded>> = BTreeMap::new();
    for folded in state.live() {
        if let Body::Initials(_) = folded.entry.told.body {
            initials.entry(folded.entry.told.by).or_default().push(folded);
        }
    }
    let offices = offices(state);
    for folded in state.live().filter(|folded| {
        is_to_initial(&folded.entry.told.body) && !offices.contains(&folded.entry.told.device)
    }) {
        let by = folded.entry.told.by;
        let own = people.entry(by).or_default();
        own.entries.push(folded.entry.id);
        let covered = initials
            .get(&by)
            .is_some_and(|all| all.iter().any(|it| it.saw(folded)));
        if covered {
            own.initialled.push(folded.entry.id);
        }
    }
    people
}

/// The devices whose grants count: grants come from nobody but the office.
fn offices(state: &JobState) -> BTreeSet<DeviceId> {
    state
        .live()
        .filter(|folded| matches!(folded.entry.told.body, Body::Grant(_)))
        .map(|folded| folded.entry.told.device)
        .collect()
}

fn is_to_initial(body: &Body) -> bool {
    !matches!(
        body,
        Body::JobOpened(_)
            | Body::Request(_)
            | Body::PersonJoined(_)
            | Body::Grant(_)
            | Body::History(_)
            | Body::ProcedureFile(_)
            | Body::ClockCheck(_)
            | Body::Initials(_)
            | Body::SignOff(_)
            | Body::ReOpened(_)
    )
}

/// Whether everybody stands by all of their own entries.
pub(super) fn everybody_initialled(state: &JobState) -> bool {
    own_entries(state)
        .values()
        .all(|own| own.initialled.len() == own.entries.len())
}
