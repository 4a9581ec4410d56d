//! Signatures, and the record that each covers.
//!
//! A signature names the digest of the record, the journal's heads, and how far every writer had come when it was
//! made. Whoever holds the same changes makes the same record; the office makes it again from what it received and
//! compares.

use crate::error::OfficeError;
use std::collections::BTreeMap;
use turnwise_core::journal::{ActorId, Body, ChangeHash, EntryId, JobId, JobState, SignOff};
use turnwise_core::procedure::Procedures;
use turnwise_core::record::{Record, record};
use turnwise_core::review::newest_sign_off;
use turnwise_core::store::JournalStore;

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

/// The record as it was when a signature was made. None: the signature does not say of what it was made.
pub(crate) fn record_at(
    store: &mut JournalStore,
    procedures: &Procedures,
    job: JobId,
    sign_off: &SignOff,
) -> Result<Option<Record>, OfficeError> {
    let clock: Option<BTreeMap<ActorId, u64>> = sign_off
        .clock
        .iter()
        .map(|(actor, seq)| Some((ActorId(from_hex(actor)?), *seq)))
        .collect();
    let heads: Option<Vec<ChangeHash>> = sign_off
        .heads
        .iter()
        .map(|head| from_hex(head).map(ChangeHash))
        .collect();
    let (Some(clock), Some(heads)) = (clock, heads) else {
        return Ok(None);
    };
    let then = store.state_at(job, &clock)?;
    Ok(Some(record(&then, procedures, &clock, &heads)?))
}

/// Exactly so many bytes in hex.
fn from_hex<const N: usize>(text: &str) -> Option<[u8; N]> {
    if text.len() != 2 * N || !text.bytes().all(|digit| digit.is_ascii_hexdigit()) {
        return None;
    }
    let mut bytes = [0; N];
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&text[2 * at..2 * at + 2], 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hex_is_read_only_at_its_full_length() {
        assert_eq!(from_hex("00ff7f"), Some([0, 255, 127]));
        for wrong in ["", "00ff", "00ff7f00", "00fg7f", "00f\u{e9}7", "+0ff7f"] {
            assert_eq!(from_hex::<3>(wrong), None, "{wrong}");
        }
    }
}
