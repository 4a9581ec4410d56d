//! The close-out screen: what is missing, what disagrees, who stands by what, and the signature.

use super::Showing;
use crate::journal::{Body, EntryId, PersonId, Role};
use crate::procedure::{missing_at_close, own_entries};
use crate::record::{Record, hex};
use crate::review::{Code, Item, newest_sign_off, open_items};
use crate::tablet::view::{
    CloseOutView, InitialsView, Missing, Person, RecordView, ReviewItem, ReviewSide, SetAside, SignedView,
    Subject,
};

/// What is missing, what disagrees, who stands by what, and the record as it would be signed.
pub fn close_out(showing: &Showing<'_>, record: Option<&Record>) -> CloseOutView {
    let state = showing.state;
    let items = open_items(state);
    let missing = missing(showing);
    let cannot_sign = cannot_sign(showing, &missing, &items, record);
    CloseOutView {
        can_sign: cannot_sign.is_empty(),
        cannot_sign: cannot_sign.into_iter().map(str::to_owned).collect(),
        review: items.iter().map(|item| review_item(showing, item)).collect(),
        settled: state
            .live()
            .filter(|folded| matches!(folded.entry.told.body, Body::Resolution(_)))
            .map(|folded| showing.item(folded))
            .collect(),
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
        missing,
    }
}

/// What stands between every valve of the job and the signature, as far as work and evidence go.
pub(in crate::tablet) fn missing(showing: &Showing<'_>) -> Vec<Missing> {
    let mut all = Vec::new();
    let valves = showing
        .state
        .opening()
        .map(|opening| opening.valves.as_slice())
        .unwrap_or_default();
    for valve in valves {
        let procedure = showing
            .procedures
            .get(&valve.procedure)
            .unwrap_or(showing.procedure);
        for item in missing_at_close(procedure, showing.state, valve.id) {
            all.push(Missing {
                step: item.about.clone().filter(|about| procedure.step(about).is_some()),
                procedure: item
                    .about
                    .is_some_and(|about| procedure.step(&about).is_some())
                    .then(|| procedure.id.clone()),
                code: item.code,
                say: item.say,
                screen: item.screen.map(str::to_owned),
            });
        }
    }
    all
}

/// Why the person using this tablet cannot sign now. Empty: they can.
pub(in crate::tablet) fn cannot_sign(
    showing: &Showing<'_>,
    missing: &[Missing],
    items: &[Item],
    record: Option<&Record>,
) -> Vec<&'static str> {
    let mut why = Vec::new();
    match &showing.me {
        None => why.push("nobody_here"),
        Some(me) if !may_sign(showing, me.id) => why.push("not_lead_tech"),
        Some(_) => {}
    }
    if record.is_none() {
        why.push("no_record");
    }
    if !missing.is_empty() {
        why.push("something_missing");
    }
    if items.iter().any(|item| item.code == Code::UnknownKind) {
        why.push("update_needed");
    }
    if items
        .iter()
        .any(|item| !matches!(item.code, Code::UnknownKind | Code::LateEntries))
    {
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

fn review_item(showing: &Showing<'_>, item: &Item) -> ReviewItem {
    let folded = |id: &EntryId| showing.state.entry(*id);
    ReviewItem {
        code: item.code.as_str().to_owned(),
        subject: item.register.as_ref().map_or_else(
            || Subject::Code(item.code.as_str().to_owned()),
            |register| showing.register_name(register),
        ),
        register: item.register.clone(),
        sides: item
            .entries
            .iter()
            .filter_map(folded)
            .map(|folded| ReviewSide {
                said: showing.said(folded),
                item: showing.item(folded),
                body: folded.entry.told.body.found().clone(),
            })
            .collect(),
        entries: item.entries.clone(),
        can_settle: item.code != Code::UnknownKind
            && showing.me.as_ref().is_some_and(|me| may_settle(showing, me.id)),
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
            InitialsView {
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
    let late = open_items(state)
        .iter()
        .find(|item| item.code == Code::LateEntries)
        .map_or(0, |item| u32::try_from(item.entries.len()).unwrap_or(u32::MAX));
    state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::SignOff(signed) => Some(SignedView {
                said: showing.said(folded),
                revision: signed.revision,
                digest: signed.digest.clone(),
                late: if Some(folded.entry.id) == newest { late } else { 0 },
                re_opened: state.live().find_map(|other| match &other.entry.told.body {
                    Body::ReOpened(opened) if opened.sign_off == folded.entry.id => {
                        Some(opened.reason.clone())
                    }
                    _ => None,
                }),
            }),
            _ => None,
        })
        .collect()
}
