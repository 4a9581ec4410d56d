//! What settles an item by words: an entry that names its code and exactly its entries.

use super::{Item, Weight};
use crate::journal::{About, Body, EntryId, JobState, Resolution};
use std::collections::HashMap;

/// The settlements by words that have effect, by what they name.
pub(super) struct Settlements<'a> {
    by_item: HashMap<(&'a str, Vec<EntryId>), EntryId>,
}

impl<'a> Settlements<'a> {
    pub(super) fn of(state: &'a JobState) -> Self {
        let mut by_item = HashMap::new();
        for folded in state.live() {
            if let Body::Resolution(Resolution {
                about: About::Item { code, entries },
                ..
            }) = &folded.entry.told.body
            {
                // The first in fold order, where several say the same.
                by_item
                    .entry((code.as_str(), as_a_set(entries)))
                    .or_insert(folded.entry.id);
            }
        }
        Self { by_item }
    }

    /// The entry that settles an item. With another set of entries it is open again.
    pub(super) fn settle(&self, item: &mut Item) {
        if item.settled_by.is_none() && item.code.settled_by_words() && item.weight != Weight::Read {
            item.settled_by = self
                .by_item
                .get(&(item.key.as_str(), as_a_set(&item.entries)))
                .copied();
        }
    }
}

fn as_a_set(entries: &[EntryId]) -> Vec<EntryId> {
    let mut entries = entries.to_vec();
    entries.sort_unstable();
    entries.dedup();
    entries
}
