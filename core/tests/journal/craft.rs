//! Changes that no journal would write, and chunks whose checksum is right whatever is in them.

use crate::support::JOB;
use automerge::legacy::{Key, ObjectId, Op, OpType, SortedVec};
use automerge::{Automerge, Change, ExpandedChange, ScalarValue};
use sha2::{Digest as _, Sha256};
use std::num::NonZeroU64;
use turnwise_core::journal::*;

/// What every chunk starts with.
pub const MAGIC: [u8; 4] = [0x85, 0x6f, 0x4a, 0x83];
/// The kind of chunk that holds one change.
pub const CHANGE: u8 = 1;
/// The kind of chunk that holds a deflated change.
pub const DEFLATED: u8 = 2;
/// The kind of chunk that holds several changes.
pub const BUNDLE: u8 = 3;

/// A change as the library spells it out, to be bent.
pub fn expanded(actor: u8, operations: Vec<Op>) -> ExpandedChange {
    ExpandedChange {
        operations,
        actor_id: automerge::ActorId::from([actor; 16]),
        hash: None,
        seq: 1,
        start_op: NonZeroU64::MIN,
        time: 0,
        message: None,
        deps: Vec::new(),
        extra_bytes: Vec::new(),
        author: None,
    }
}

/// A value put at the root of the document.
pub fn put(key: &str, value: impl Into<ScalarValue>) -> Op {
    Op {
        action: OpType::Put(value.into()),
        obj: ObjectId::Root,
        key: Key::Map(key.into()),
        pred: SortedVec::new(),
        insert: false,
    }
}

/// An entry put where entries are put.
pub fn put_entry(entry: &Entry) -> Op {
    put(&entry.id.to_string(), serde_json::to_string(&entry.told).unwrap())
}

/// The bytes of a change.
pub fn bytes(expanded: ExpandedChange) -> Vec<u8> {
    Change::from(expanded).raw_bytes().to_vec()
}

/// The bytes of a writer's first change, which has no ancestors.
pub fn first(actor: u8, operation: Op) -> Vec<u8> {
    bytes(expanded(actor, vec![operation]))
}

/// One change of several, by its bytes.
pub fn hash_of(bytes: &[u8]) -> ChangeHash {
    ChangeHash(Change::try_from(bytes).unwrap().hash().0)
}

/// A document that holds changes, to make bundles from.
pub fn document(changes: &[Vec<u8>]) -> Automerge {
    let mut document = Automerge::new();
    let changes: Vec<_> = changes
        .iter()
        .map(|bytes| Change::try_from(bytes.as_slice()).unwrap())
        .collect();
    document.apply_changes(changes).unwrap();
    document
}

/// A bundle of some of a document's changes.
pub fn bundle(document: &Automerge, some: impl IntoIterator<Item = ChangeHash>) -> Vec<u8> {
    let some = some.into_iter().map(|hash| automerge::ChangeHash(hash.0));
    document.bundle(some).unwrap().bytes().to_vec()
}

/// A chunk of this kind and content, with the checksum that belongs to it.
pub fn sealed(kind: u8, data: &[u8]) -> Vec<u8> {
    sealed_as(kind, data, kind, data)
}

/// A chunk whose checksum is that of another kind and content.
pub fn sealed_as(kind: u8, data: &[u8], summed_kind: u8, summed: &[u8]) -> Vec<u8> {
    let mut sum = Sha256::new();
    sum.update([summed_kind]);
    sum.update(unsigned_leb(summed.len() as u64));
    sum.update(summed);
    let mut out = MAGIC.to_vec();
    out.extend_from_slice(&sum.finalize()[..4]);
    out.push(kind);
    out.extend(unsigned_leb(data.len() as u64));
    out.extend_from_slice(data);
    out
}

/// What is inside a chunk.
pub fn inside(chunk: &[u8]) -> &[u8] {
    let length = chunk[9..].iter().position(|byte| byte & 0x80 == 0).unwrap() + 1;
    &chunk[9 + length..]
}

/// A number in unsigned LEB128.
pub fn unsigned_leb(mut value: u64) -> Vec<u8> {
    let mut out = Vec::new();
    loop {
        let byte = u8::try_from(value & 0x7f).unwrap();
        value >>= 7;
        if value == 0 {
            out.push(byte);
            return out;
        }
        out.push(byte | 0x80);
    }
}

/// A number in signed LEB128.
pub fn signed_leb(mut value: i64) -> Vec<u8> {
    let mut out = Vec::new();
    loop {
        let byte = u8::try_from(value & 0x7f).unwrap();
        value >>= 7;
        if (value == 0 && byte & 0x40 == 0) || (value == -1 && byte & 0x40 != 0) {
            out.push(byte);
            return out;
        }
        out.push(byte | 0x80);
    }
}

/// A run of a column: a value, so many times.
pub fn run(times: i64, value: &[u8]) -> Vec<u8> {
    let mut out = signed_leb(times);
    out.extend_from_slice(value);
    out
}

/// The columns of a section: how they are numbered and what they hold.
pub fn columns(columns: &[(u32, Vec<u8>)]) -> Vec<u8> {
    let mut out = unsigned_leb(columns.len() as u64);
    for (spec, data) in columns {
        out.extend(unsigned_leb(u64::from(*spec)));
        out.extend(unsigned_leb(data.len() as u64));
    }
    for (_, data) in columns {
        out.extend_from_slice(data);
    }
    out
}

/// A journal that nothing is in.
pub fn fresh() -> Journal {
    Journal::new(JOB, ActorId([0xee; 16]))
}

/// What is inside a change without ancestors: its writer's id, its number and its first operation's, its columns.
pub fn change_of(actor: &[u8], seq: u64, start_op: u64, of: &[(u32, Vec<u8>)]) -> Vec<u8> {
    let mut out = unsigned_leb(0);
    out.extend(unsigned_leb(actor.len() as u64));
    out.extend_from_slice(actor);
    out.extend(unsigned_leb(seq));
    out.extend(unsigned_leb(start_op));
    out.extend(signed_leb(0));
    out.extend(unsigned_leb(0));
    out.extend(unsigned_leb(0));
    out.extend(columns(of));
    out
}

/// What is inside a bundle of one writer: the columns of its changes and of their operations.
pub fn bundle_of(changes: &[(u32, Vec<u8>)], operations: &[(u32, Vec<u8>)]) -> Vec<u8> {
    let mut out = unsigned_leb(0);
    out.extend(unsigned_leb(1));
    out.extend(unsigned_leb(16));
    out.extend([5; 16]);
    out.extend(columns(changes));
    out.extend(columns(operations));
    out
}

/// Deflates a column.
pub fn deflated(data: &[u8]) -> Vec<u8> {
    use std::io::Write as _;
    let mut out = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
    out.write_all(data).unwrap();
    out.finish().unwrap()
}
