//! Everything that stands between a job and a sound record: computed, never remembered.
//!
//! An item names its entries. It is settled by an entry of a named person, or it goes away because the work
//! went on: another reading, another move, another look.

mod item;
mod request_changed;

pub use item::*;
pub use request_changed::*;

use crate::journal::{About, Body, EntryId, JobState, Register, Resolution};
use std::collections::BTreeSet;

/// Every item of the review of a job, settled ones too, in an order that is the same on every device.
pub fn review(state: &JobState) -> Vec<Item> {
    let mut items = Vec::new();
    registers(state, &mut items);
    for changed in requests_changed(state) {
        items.push(Item {
            code: Code::RequestChanged,
            register: Some(Register::Request { valve: changed.valve }),
            entries: changed.entries.iter().copied().chain([changed.request]).collect(),
            settled_by: None,
        });
    }
    unknown_kinds(state, &mut items);
    late(state, &mut items);
    for item in &mut items {
        item.settled_by = settlement(state, item);
    }
    items
}

/// The items that still need a person's decision.
pub fn open_items(state: &JobState) -> Vec<Item> {
    review(state)
        .into_iter()
        .filter(|item| item.settled_by.is_none())
        .collect()
}

/// Registers on which people disagree, and those of which nothing is known any more.
fn registers(state: &JobState, items: &mut Vec<Item>) {
    for (register, standing) in &state.registers {
        let of = |all: &[usize]| all.iter().map(|&at| state.entries[at].entry.id).collect();
        if standing.disagree {
            items.push(Item {
                code: Code::Disagreement,
                register: Some(register.clone()),
                entries: of(&standing.stands),
                settled_by: None,
            });
        } else if standing.stands.is_empty() && !standing.gone.is_empty() {
            items.push(Item {
                code: Code::UnknownState,
                register: Some(register.clone()),
                entries: of(&standing.gone),
                settled_by: None,
            });
        }
    }
}

/// Entries of a kind that this version does not know: nobody can sign what nobody can read.
fn unknown_kinds(state: &JobState, items: &mut Vec<Item>) {
    for folded in state.live() {
        if matches!(folded.entry.told.body, Body::Unknown(_)) {
            items.push(Item {
                code: Code::UnknownKind,
                register: None,
                entries: vec![folded.entry.id],
                settled_by: None,
            });
        }
    }
}

/// Entries that the newest signature's writer had not seen, but for initials, signatures and re-openings.
fn late(state: &JobState, items: &mut Vec<Item>) {
    let Some(signed) = newest_sign_off(state) else {
        return;
    };
    let Some(sign_off) = state.entry(signed) else {
        return;
    };
    let entries: Vec<_> = state
        .live()
        .filter(|folded| folded.entry.id != signed && !sign_off.saw(folded))
        .filter(|folded| {
            !matches!(
                folded.entry.told.body,
                Body::SignOff(_) | Body::ReOpened(_) | Body::Initials(_)
            )
        })
        .filter(|folded| !settles_item(&folded.entry.told.body))
        .map(|folded| folded.entry.id)
        .collect();
    if !entries.is_empty() {
        items.push(Item {
            code: Code::LateEntries,
            register: None,
            entries,
            settled_by: None,
        });
    }
}

/// Whether a body only settles an item of the review: it says nothing new about the valve.
pub(crate) fn settles_item(body: &Body) -> bool {
    matches!(
        body,
        Body::Resolution(Resolution {
            about: About::Item { .. },
            ..
        })
    )
}

/// The last sign-off in fold order, if the job was ever signed.
pub fn newest_sign_off(state: &JobState) -> Option<EntryId> {
    state
        .live()
        .rev()
        .find(|folded| matches!(folded.entry.told.body, Body::SignOff(_)))
        .map(|folded| folded.entry.id)
}

/// The entry that settles an item by its code and exactly its entries. An item that is a register's own is
/// settled by writing the register; what it then says is no longer this item.
fn settlement(state: &JobState, item: &Item) -> Option<EntryId> {
    if !item.code.settled_by_words() {
        return None;
    }
    let wanted: BTreeSet<_> = item.entries.iter().collect();
    state
        .live()
        .find(|folded| match &folded.entry.told.body {
            Body::Resolution(Resolution {
                about: About::Item { code, entries },
                ..
            }) => code == item.code.as_str() && entries.iter().collect::<BTreeSet<_>>() == wanted,
            _ => false,
        })
        .map(|folded| folded.entry.id)
}

#[cfg(test)]
mod tests;
