//! What came after the signature, and what stands in the journal without effect.

use super::{Code, Item};
use crate::journal::{About, Body, EntryId, JobState, Resolution};

/// Entries that the newest signature's writer had not seen, but for what says nothing new about the valve.
pub(super) fn late(state: &JobState, items: &mut Vec<Item>) {
    let Some(signed) = newest_sign_off(state) else {
        return;
    };
    let Some(sign_off) = state.entry(signed) else {
        return;
    };
    let entries: Vec<_> = state
        .live()
        .filter(|folded| folded.entry.id != signed && !sign_off.saw(folded))
        .filter(|folded| says_something(&folded.entry.told.body))
        .map(|folded| folded.entry.id)
        .collect();
    if !entries.is_empty() {
        items.push(Item::new(Code::LateEntries, entries).at("close_out"));
    }
}

/// Whether a body says something of the job itself: signing it, opening it again, standing by one's entries,
/// settling an item and comparing clocks do not.
fn says_something(body: &Body) -> bool {
    !settles_item(body)
        && !matches!(
            body,
            Body::SignOff(_) | Body::ReOpened(_) | Body::Initials(_) | Body::ClockCheck(_)
        )
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

/// The entry that opened a signed job again, if one did: the first in fold order.
pub fn re_opened(state: &JobState, sign_off: EntryId) -> Option<EntryId> {
    state
        .live()
        .find(
            |folded| matches!(&folded.entry.told.body, Body::ReOpened(opened) if opened.sign_off == sign_off),
        )
        .map(|folded| folded.entry.id)
}

/// Entries of a kind that this version does not know: nobody can sign what nobody can read.
pub(super) fn unknown_kinds(state: &JobState, items: &mut Vec<Item>) {
    for folded in state.live() {
        if let Body::Unknown(unknown) = &folded.entry.told.body {
            items.push(Item::new(Code::UnknownKind, vec![folded.entry.id]).about(&unknown.kind));
        }
    }
}

/// What somebody wrote who may not: it is shown, and does nothing.
pub(super) fn without_effect(state: &JobState, items: &mut Vec<Item>) {
    for folded in &state.entries {
        if let (Some(why), None) = (folded.no_effect, folded.withdrawn_by) {
            let mut item = Item::new(Code::WithoutEffect, vec![folded.entry.id]);
            item.condition = Some(why.to_owned());
            items.push(item);
        }
    }
}
