//! The close-out screen: what is missing, what disagrees, who stands by what, and the signature.

use super::{Showing, review_item::missing_item};
use crate::journal::{Body, EntryId, PersonId, ReOpened, Resolution, Role};
use crate::procedure::own_entries;
use crate::record::{Record, hex};
use crate::review::{Code, Item, Way, Weight, newest_sign_off, open_items, re_opened};
use crate::tablet::view::{CloseOutView, InitialsView, Person, RecordView, SaidWhy, SetAside, SignedView};
use std::collections::BTreeSet;

/// The most entries of one person, or of what came late, that are shown one by one; all are counted.
const SHOWN: usize = 60;

/// What is missing, what disagrees, who stands by what, and the record as it would be signed.
pub fn close_out(showing: &Showing<'_>, record: Option<&Record>) -> CloseOutView {
    let state = showing.state;
    let cannot_sign = cannot_sign(showing, record);
    let all = showing.review.iter();
    let settled = all.clone().filter(|item| item.settled_by.is_some());
    let open = all.filter(|item| item.settled_by.is_none());
    let show = |item| showing.review_item(item);
    CloseOutView {
        can_sign: cannot_sign.is_empty(),
        cannot_sign: cannot_sign.into_iter().map(str::to_owned).collect(),
        missing: open
            .clone()
            .filter(|item| item.is_missing())
            .map(|item| missing_item(showing, item))
            .collect(),
        review: open_items(showing.review).map(show).collect(),
        worth_reading: open
            .filter(|item| item.weight == Weight::Read)
            .map(show)
            .collect(),
        settled: settled.map(show).collect(),
        initials: initials(showing),
        set_aside: state
            .quarantine
            .iter()
            .map(|set_aside| SetAside {
                code: set_aside.code.to_owned(),
                hash: hex(&set_aside.hash.0),
                said: None,
            })
            .collect(),
        record: record.map_or_else(
            || RecordView {
                digest: String::new(),
                entries: 0,
            },
            |record| RecordView {
                digest: record.digest.clone(),
                entries: record.entries,
            },
        ),
        signed: signed(showing),
        can_re_open: signed_and_closed(showing)
            && showing.me.as_ref().is_some_and(|me| may_sign(showing, me.id)),
    }
}

/// Why the person using this tablet cannot sign now. Empty: they can.
pub(in crate::tablet) fn cannot_sign(showing: &Showing<'_>, record: Option<&Record>) -> Vec<&'static str> {
    let mut why = Vec::new();
    match &showing.me {
        None => why.push("nobody_here"),
        Some(me) if !may_sign(showing, me.id) => why.push("not_lead_tech"),
        Some(_) => {}
    }
    if record.is_none() {
        why.push("no_record");
    }
    if showing.review.iter().any(Item::is_missing) {
        why.push("something_missing");
    }
    let decisions = || open_items(showing.review);
    let needs_update = |item: &Item| item.code.ways() == [Way::Update];
    if decisions().any(needs_update) {
        why.push("update_needed");
    }
    // What came late goes into the next revision: signing it is one of the ways to settle it.
    if decisions().any(|item| !needs_update(item) && item.code != Code::LateEntries) {
        why.push("open_items");
    }
    if signed_and_closed(showing) {
        why.push("already_signed");
    }
    why
}

/// Whether the job is signed and was not opened again since.
fn signed_and_closed(showing: &Showing<'_>) -> bool {
    super::head::status(showing) == crate::tablet::view::JobStatus::Signed
}

/// A lead tech by the office's grant; in a job that no office granted anything in, anybody.
pub(in crate::tablet) fn may_sign(showing: &Showing<'_>, person: PersonId) -> bool {
    may(showing, person, |role| role == Role::LeadTech)
}

/// A lead tech or technician; in a job that no office granted anything in, anybody.
pub(in crate::tablet) fn may_settle(showing: &Showing<'_>, person: PersonId) -> bool {
    may(showing, person, |role| {
        matches!(role, Role::LeadTech | Role::Technician)
    })
}

fn may(showing: &Showing<'_>, person: PersonId, enough: impl Fn(Role) -> bool) -> bool {
    match showing.state.role(person) {
        Some(role) => enough(role),
        None => !showing
            .state
            .live()
            .any(|folded| matches!(folded.entry.told.body, Body::Grant(_))),
    }
}

/// How many entries are a person's to initial.
pub(in crate::tablet) fn entries_of(showing: &Showing<'_>, person: PersonId) -> u32 {
    own_entries(showing.state)
        .get(&person)
        .map_or(0, |own| count(&own.entries))
}

fn initials(showing: &Showing<'_>) -> Vec<InitialsView> {
    own_entries(showing.state)
        .into_iter()
        .map(|(person, own)| {
            let mut keyed_by: Vec<_> = own
                .entries
                .iter()
                .filter_map(|&id| showing.state.entry(id)?.entry.told.keyed_by)
                .filter(|&keyed| keyed != person)
                .map(|keyed| showing.name(keyed))
                .collect();
            keyed_by.sort();
            keyed_by.dedup();
            let stood_by: BTreeSet<_> = own.initialled.iter().collect();
            let open = own.entries.iter().rev().filter(|id| !stood_by.contains(id));
            InitialsView {
                open: open
                    .filter_map(|&id| showing.state.entry(id))
                    .take(SHOWN)
                    .map(|folded| showing.item(folded))
                    .collect(),
                entries: count(&own.entries),
                initialled: count(&own.initialled),
                keyed_by,
                person: Person {
                    id: person,
                    name: showing.name(person),
                },
            }
        })
        .collect()
}

fn count<T>(all: &[T]) -> u32 {
    u32::try_from(all.len()).unwrap_or(u32::MAX)
}

/// How many signatures the job has so far.
pub(in crate::tablet) fn signatures(showing: &Showing<'_>) -> u32 {
    let signed = showing
        .state
        .live()
        .filter(|folded| matches!(folded.entry.told.body, Body::SignOff(_)));
    u32::try_from(signed.count()).unwrap_or(u32::MAX)
}

fn signed(showing: &Showing<'_>) -> Vec<SignedView> {
    let state = showing.state;
    let newest = newest_sign_off(state);
    let late = showing.review.iter().find(|item| item.code == Code::LateEntries);
    let why = |id: EntryId| {
        let folded = state.entry(id)?;
        let reason = match &folded.entry.told.body {
            Body::ReOpened(ReOpened { reason, .. }) | Body::Resolution(Resolution { reason, .. }) => {
                reason.clone()
            }
            _ => return None,
        };
        Some(SaidWhy {
            said: showing.said(folded),
            reason,
        })
    };
    state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::SignOff(signed) => {
                let late = late.filter(|_| Some(folded.entry.id) == newest);
                let entries = late.map(|item| item.entries.as_slice()).unwrap_or_default();
                Some(SignedView {
                    said: showing.said(folded),
                    revision: signed.revision,
                    digest: signed.digest.clone(),
                    late: count(entries),
                    late_entries: entries
                        .iter()
                        .filter_map(|&id| state.entry(id))
                        .take(SHOWN)
                        .map(|folded| showing.item(folded))
                        .collect(),
                    addendum: late.and_then(|item| item.settled_by).and_then(why),
                    re_opened: re_opened(state, folded.entry.id).and_then(why),
                })
            }
            _ => None,
        })
        .collect()
}
