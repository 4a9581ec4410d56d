//! Signatures, and the record that each covers.
//!
//! A signature names the digest of the record, the journal's heads, and how far every writer had come when it was
//! made. Whoever holds the same changes makes the same record; the office makes it again from what it received and
//! compares.

use turnwise_core::journal::{Body, EntryId, JobState, SignOff};
use turnwise_core::review::newest_sign_off;

/// Every signature that counts, oldest first.
pub(crate) fn all(state: &JobState) -> Vec<(EntryId, SignOff)> {
    state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::SignOff(sign_off) => Some((folded.entry.id, sign_off.clone())),
            _ => None,
        })
        .collect()
}

/// The newest signature that counts.
pub(crate) fn newest(state: &JobState) -> Option<(EntryId, SignOff)> {
    let id = newest_sign_off(state)?;
    match &state.entry(id)?.entry.told.body {
        Body::SignOff(sign_off) => Some((id, sign_off.clone())),
        _ => None,
    }
}
