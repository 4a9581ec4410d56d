//! One change: read from bytes, or made of an entry.

use super::chunk::{self, Chunk, guarded};
use super::content::{Content, filed};
use super::limits::{CHANGE_LIMIT, ENTRY_LIMIT};
use super::{ActorId, ChangeHash, EntryId, JobId, Refusal, bytes::Bytes};
use automerge::legacy::{Key, ObjectId, Op, OpType, SortedVec};
use automerge::{Bundle, Change, ExpandedChange, ScalarValue};
use std::num::NonZeroU64;

/// A change that passed the gate: its content is read, its place in the journal is not yet known.
#[derive(Clone, Debug)]
pub(super) struct Parsed {
    pub(super) hash: ChangeHash,
    pub(super) actor: ActorId,
    /// Its number among its writer's changes, from 1.
    pub(super) seq: u64,
    /// The number of its operation in the document; of the next one, where it has none.
    pub(super) start_op: u64,
    /// 0 or 1.
    pub(super) operations: u64,
    /// Its direct ancestors.
    pub(super) deps: Vec<ChangeHash>,
    /// The change as one plain chunk.
    pub(super) bytes: Vec<u8>,
    pub(super) content: Content,
}

impl Parsed {
    /// The number of the last operation up to and including this change.
    pub(super) fn max_op(&self) -> u64 {
        self.start_op + self.operations - 1
    }
}

/// Reads a delivery: plain changes and bundles, one behind the other.
pub(super) fn read(job: JobId, delivery: &[u8]) -> Result<Vec<Parsed>, Refusal> {
    let mut input = Bytes(delivery);
    let mut parsed = Vec::new();
    while !input.is_empty() {
        match chunk::next(&mut input)? {
            Chunk::Change(bytes) => parsed.push(change(job, bytes)?),
            Chunk::Bundle(bytes) => {
                for bytes in unbundle(bytes)? {
                    // What a bundle holds is read as if it had come plainly: what is kept is what a restart
                    // will read.
                    parsed.push(one(job, &bytes)?);
                }
            }
        }
    }
    Ok(parsed)
}

/// Reads exactly one plain change.
pub(super) fn one(job: JobId, bytes: &[u8]) -> Result<Parsed, Refusal> {
    let mut input = Bytes(bytes);
    let parsed = match chunk::next(&mut input)? {
        Chunk::Change(bytes) => change(job, bytes)?,
        Chunk::Bundle(_) => return Err(Refusal::unreadable("a bundle where one change belongs")),
    };
    if input.is_empty() {
        Ok(parsed)
    } else {
        Err(Refusal::unreadable("more than one change"))
    }
}

/// The changes of a bundle that passed the gate.
pub(super) fn unbundle(bytes: &[u8]) -> Result<Vec<Vec<u8>>, Refusal> {
    guarded(|| {
        let bundle = Bundle::try_from(bytes).map_err(|error| Refusal::Unreadable(error.to_string()))?;
        let changes = bundle
            .to_changes()
            .map_err(|error| Refusal::Unreadable(error.to_string()))?;
        Ok(changes.iter().map(|change| change.raw_bytes().to_vec()).collect())
    })
}

/// Reads a change that passed the gate.
fn change(job: JobId, bytes: &[u8]) -> Result<Parsed, Refusal> {
    guarded(|| {
        let change = Change::try_from(bytes).map_err(|error| Refusal::Unreadable(error.to_string()))?;
        let actor = <[u8; 16]>::try_from(change.actor_id().to_bytes())
            .map_err(|_| Refusal::unreadable("a writer's id is not 16 bytes long"))?;
        // The gate has counted the operations; nothing rests on its having read the format right.
        if change.len() > 1 {
            return Err(Refusal::ManyOps);
        }
        let expanded = change.decode();
        if expanded
            .operations
            .iter()
            .any(|operation| !operation.pred.is_empty())
        {
            return Err(Refusal::HasPred);
        }
        if let Some((_, ScalarValue::Str(text))) = filed(&expanded.operations)
            && text.len() > ENTRY_LIMIT
        {
            return Err(Refusal::TooLarge {
                what: "an entry",
                limit: ENTRY_LIMIT as u64,
            });
        }
        Ok(Parsed {
            hash: ChangeHash(change.hash().0),
            actor: ActorId(actor),
            seq: change.seq(),
            start_op: change.start_op().get(),
            operations: expanded.operations.len() as u64,
            deps: change.deps().iter().map(|dep| ChangeHash(dep.0)).collect(),
            bytes: bytes.to_vec(),
            content: Content::of(job, &expanded.operations),
        })
    })
}

/// Where a new change stands in the document.
pub(super) struct Place {
    pub(super) actor: ActorId,
    pub(super) seq: u64,
    pub(super) start_op: NonZeroU64,
    pub(super) deps: Vec<ChangeHash>,
}

/// Makes the change that puts an entry's text at the root of the document: one operation, nothing
/// overwritten, time 0.
pub(super) fn make(place: Place, id: EntryId, text: &str) -> Result<Vec<u8>, Refusal> {
    let expanded = ExpandedChange {
        operations: vec![Op {
            action: OpType::Put(ScalarValue::Str(text.into())),
            obj: ObjectId::Root,
            key: Key::Map(id.to_string().into()),
            pred: SortedVec::new(),
            insert: false,
        }],
        actor_id: automerge::ActorId::from(place.actor.0),
        hash: None,
        seq: place.seq,
        start_op: place.start_op,
        time: 0,
        message: None,
        deps: place
            .deps
            .into_iter()
            .map(|hash| automerge::ChangeHash(hash.0))
            .collect(),
        extra_bytes: Vec::new(),
        author: None,
    };
    let bytes = guarded(|| Ok(Change::from(expanded).raw_bytes().to_vec()))?;
    if bytes.len() > CHANGE_LIMIT {
        return Err(Refusal::TooLarge {
            what: "a change",
            limit: CHANGE_LIMIT as u64,
        });
    }
    Ok(bytes)
}
