//! What another journal lacks, packed to be sent.

use super::change::unbundle;
use super::chunk::{self, Chunk, guarded};
use super::graph::{Graph, Placed};
use super::limits::{BUNDLE_BYTES, BUNDLE_CHANGES, BUNDLE_DEPS, FRAME_LIMIT, PLAIN_BYTES};
use super::{Clock, Refusal, bytes::Bytes};
use automerge::{Automerge, Change};
use std::collections::HashSet;

/// Everything that has its place here and is beyond a clock, ancestors first, in deliveries of at most
/// [`FRAME_LIMIT`] bytes.
pub(super) fn missing(graph: &Graph, theirs: &Clock) -> Vec<Vec<u8>> {
    let lacking = lacking(graph, theirs);
    let mut out = Vec::new();
    if lacking.iter().map(|one| one.change.bytes.len()).sum::<usize>() <= PLAIN_BYTES {
        plain(&lacking, &mut out);
        return out;
    }
    match document(graph) {
        Ok(document) => {
            for group in groups(&lacking) {
                bundle(&document, group, &mut out);
            }
        }
        // One crafted change keeps the library from holding the document: everything goes as it is.
        Err(_) => plain(&lacking, &mut out),
    }
    out
}

/// What is beyond a clock. A reach whose hash is not ours stands for nothing of ours. A reach beyond ours
/// stands for all of it: nobody but its writer can be ahead of it and not hold it.
fn lacking<'a>(graph: &'a Graph, theirs: &Clock) -> Vec<&'a Placed> {
    let mut places = Vec::new();
    for (actor, chain) in graph.chains() {
        let from = match theirs.get(&actor) {
            None => 0,
            Some(reach) => match usize::try_from(reach.seq) {
                Ok(seq) if (1..=chain.len()).contains(&seq) => {
                    let ours = graph.placed()[chain[seq - 1]].change.hash;
                    if ours == reach.hash { seq } else { 0 }
                }
                Ok(0) => 0,
                _ => chain.len(),
            },
        };
        places.extend_from_slice(&chain[from..]);
    }
    places.sort_unstable();
    places.into_iter().map(|at| &graph.placed()[at]).collect()
}

/// The whole document, as the library wants it to make bundles from. It lives no longer than the bundling.
fn document(graph: &Graph) -> Result<Automerge, Refusal> {
    guarded(|| {
        let changes = graph
            .placed()
            .iter()
            .map(|one| Change::try_from(one.change.bytes.as_slice()))
            .collect::<Result<Vec<_>, _>>()
            .map_err(|error| Refusal::Unreadable(error.to_string()))?;
        let mut document = Automerge::new();
        document
            .apply_changes(changes)
            .map_err(|error| Refusal::Unreadable(error.to_string()))?;
        Ok(document)
    })
}

/// Runs of changes, each small enough for one bundle as far as one can tell before making it.
fn groups<'a, 'b>(lacking: &'b [&'a Placed]) -> impl Iterator<Item = &'b [&'a Placed]> {
    let mut rest = lacking;
    std::iter::from_fn(move || {
        let (mut bytes, mut deps) = (0, 0);
        let count = rest
            .iter()
            .take(BUNDLE_CHANGES)
            .take_while(|one| {
                bytes += one.change.bytes.len();
                deps += one.change.deps.len();
                bytes <= BUNDLE_BYTES && deps <= BUNDLE_DEPS
            })
            .count();
        // A change is always smaller than a bundle may be.
        let (group, tail) = rest.split_at_checked(count.max(1))?;
        rest = tail;
        Some(group)
    })
}

/// Bundles a run of changes, or halves of it where that is too large or does not come out as it went in. A
/// change that the library writes in another way than its writer did would come out under another hash, so
/// it goes as it is.
fn bundle(document: &Automerge, group: &[&Placed], out: &mut Vec<Vec<u8>>) {
    if let Ok(bundle) = bundled(document, group)
        && bundle.len() <= FRAME_LIMIT
        && comes_out(&bundle, group)
    {
        out.push(bundle);
    } else if group.len() > 1 {
        let (first, second) = group.split_at(group.len() / 2);
        bundle(document, first, out);
        bundle(document, second, out);
    } else {
        plain(group, out);
    }
}

fn bundled(document: &Automerge, group: &[&Placed]) -> Result<Vec<u8>, Refusal> {
    guarded(|| {
        let hashes = group.iter().map(|one| automerge::ChangeHash(one.change.hash.0));
        let bundle = document
            .bundle(hashes)
            .map_err(|error| Refusal::Unreadable(error.to_string()))?;
        Ok(bundle.bytes().to_vec())
    })
}

fn comes_out(bundle: &[u8], group: &[&Placed]) -> bool {
    let mut input = Bytes(bundle);
    let Ok(Chunk::Bundle(chunk)) = chunk::next(&mut input) else {
        return false;
    };
    let Ok(changes) = unbundle(chunk) else {
        return false;
    };
    let changes: HashSet<&[u8]> = changes.iter().map(Vec::as_slice).collect();
    changes.len() == group.len()
        && group
            .iter()
            .all(|one| changes.contains(one.change.bytes.as_slice()))
}

/// Puts changes one behind the other, as many to a delivery as it holds.
fn plain(group: &[&Placed], out: &mut Vec<Vec<u8>>) {
    let mut delivery = Vec::new();
    for one in group {
        let bytes = &one.change.bytes;
        if !delivery.is_empty() && delivery.len() + bytes.len() > FRAME_LIMIT {
            out.push(std::mem::take(&mut delivery));
        }
        delivery.extend_from_slice(bytes);
    }
    if !delivery.is_empty() {
        out.push(delivery);
    }
}
