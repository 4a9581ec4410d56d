//! The gate: a delivery is cut into chunks, and each is counted before the library reads it.
//!
//! Catching a panic does not help against a chunk that expands until memory or patience ends, so a chunk is
//! let through only if what it holds is bounded: one operation in a change, so many rows in a bundle.

use super::Refusal;
use super::bytes::Bytes;
use super::column::{self, Kind};
use super::limits::{CHANGE_LIMIT, EXPANDED_LIMIT, ROWS_LIMIT};
use sha2::{Digest as _, Sha256};
use std::borrow::Cow;

/// What every chunk starts with.
const MAGIC: [u8; 4] = [0x85, 0x6f, 0x4a, 0x83];

/// A change's operations' columns: what they do.
const ACTION: u32 = 4;
/// A change's operations' columns: what they overwrite.
const PRED: u32 = 7;

/// A chunk that was counted.
#[derive(Clone, Copy)]
pub(super) enum Chunk<'a> {
    /// One change.
    Change(&'a [u8]),
    /// Several changes, their columns side by side.
    Bundle(&'a [u8]),
}

/// Cuts off the first chunk and counts it.
pub(super) fn next<'a>(input: &mut Bytes<'a>) -> Result<Chunk<'a>, Refusal> {
    let whole = input.0;
    if input.take(4)? != MAGIC {
        return Err(Refusal::unreadable("not a chunk of changes"));
    }
    let checksum = input.take(4)?;
    let kind = input.byte()?;
    let data = input.prefixed()?;
    let chunk = &whole[..whole.len() - input.0.len()];
    if checksum != &digest(kind, data)[..4] {
        return Err(Refusal::BadChecksum);
    }
    match kind {
        1 => {
            if chunk.len() > CHANGE_LIMIT {
                return Err(Refusal::TooLarge {
                    what: "a change",
                    limit: CHANGE_LIMIT as u64,
                });
            }
            change(Bytes(data))?;
            Ok(Chunk::Change(chunk))
        }
        3 => {
            bundle(Bytes(data))?;
            Ok(Chunk::Bundle(chunk))
        }
        // 0 is a whole document and 2 a deflated change: neither is ever sent.
        _ => Err(Refusal::unreadable("not a kind of chunk that is sent")),
    }
}

/// What a chunk's checksum starts: SHA-256 of its kind, its length and its content.
fn digest(kind: u8, data: &[u8]) -> [u8; 32] {
    let mut hasher = Sha256::new();
    hasher.update([kind]);
    let mut length = data.len();
    loop {
        let byte = u8::try_from(length & 0x7f).unwrap_or_default();
        length >>= 7;
        if length == 0 {
            hasher.update([byte]);
            break;
        }
        hasher.update([byte | 0x80]);
    }
    hasher.update(data);
    hasher.finalize().into()
}

/// Counts a change: at most one operation, without `pred`.
fn change(mut input: Bytes<'_>) -> Result<(), Refusal> {
    hashes(&mut input)?;
    actor(&mut input)?;
    input.unsigned()?; // number
    input.unsigned()?; // first operation
    input.signed()?; // time
    input.prefixed()?; // message
    let others = input.unsigned()?;
    for _ in 0..others {
        input.prefixed()?;
    }
    let (mut operations, mut overwrites, mut widest) = (0, false, 0);
    for (spec, data) in column::section(&mut input)? {
        if spec.is_deflated() {
            return Err(Refusal::unreadable("a deflated column in a change"));
        }
        let extent = column::extent(spec.kind(), data)?;
        widest = widest.max(extent.rows);
        if spec.id() == ACTION {
            operations = operations.max(extent.rows);
        }
        overwrites |=
            spec.id() == PRED && (extent.grouped > 0 || (spec.kind() != Kind::Group && extent.rows > 0));
    }
    if operations > 1 {
        Err(Refusal::ManyOps)
    } else if overwrites {
        Err(Refusal::HasPred)
    } else if widest > 1 {
        Err(Refusal::unreadable(
            "a column has more rows than there are operations",
        ))
    } else {
        Ok(())
    }
}

/// Counts a bundle: no column over the limits, no `pred`.
fn bundle(mut input: Bytes<'_>) -> Result<(), Refusal> {
    hashes(&mut input)?;
    let actors = input.unsigned()?;
    for _ in 0..actors {
        actor(&mut input)?;
    }
    let mut bytes = 0_u64;
    for section in ["changes", "operations"] {
        for (spec, data) in column::section(&mut input)? {
            let data = if spec.is_deflated() {
                Cow::Owned(column::inflate(data)?)
            } else {
                Cow::Borrowed(data)
            };
            let extent = column::extent(spec.kind(), &data)?;
            if section == "operations" && spec.id() == PRED && extent.grouped > 0 {
                return Err(Refusal::HasPred);
            }
            if extent.rows > ROWS_LIMIT || extent.grouped > ROWS_LIMIT {
                return Err(Refusal::TooLarge {
                    what: "a column's number of rows",
                    limit: ROWS_LIMIT,
                });
            }
            bytes = bytes
                .saturating_add(data.len() as u64)
                .saturating_add(extent.text);
            if bytes > EXPANDED_LIMIT {
                return Err(column::too_large());
            }
        }
    }
    Ok(())
}

/// A counted list of change hashes.
fn hashes(input: &mut Bytes<'_>) -> Result<(), Refusal> {
    let count = input.unsigned()?;
    input.take(count.saturating_mul(32))?;
    Ok(())
}

/// A writer's id: always 16 bytes here, so that it cannot be a means to inflate.
fn actor(input: &mut Bytes<'_>) -> Result<(), Refusal> {
    match input.prefixed()?.len() {
        16 => Ok(()),
        _ => Err(Refusal::unreadable("a writer's id is not 16 bytes long")),
    }
}

/// Runs the library on bytes from outside: a panic of its own becomes a refusal. Nothing that lives on is
/// touched inside.
pub(super) fn guarded<T>(read: impl FnOnce() -> Result<T, Refusal>) -> Result<T, Refusal> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(read))
        .unwrap_or_else(|_| Err(Refusal::unreadable("the library cannot take it")))
}
