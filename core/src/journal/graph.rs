//! The causal graph of a journal's changes: which are held, which wait for an ancestor, what each had seen.
//!
//! A change takes its place once its ancestors have theirs and if it follows from them: the next number of
//! its writer, the next operation of the document. A change that does not follow can stand in no document.
//! Nobody has built on it, since nobody could hold it, so leaving it out leaves nobody waiting.

use super::change::Parsed;
use super::limits::DEPS_LIMIT;
use super::{ActorId, ChangeHash, Clock, Reach, Refusal};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet, VecDeque};
use std::sync::Arc;

/// A change that has its place.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub(super) change: Parsed,
    /// Its writer's index.
    pub(super) actor: u32,
    /// Per writer's index, the highest number that it had seen, itself included. Writers that came later
    /// than the array's end were not seen.
    pub(super) seen: Arc<[u64]>,
}

/// The changes of one journal.
#[derive(Clone, Debug, Default)]
pub(super) struct Graph {
    /// Ancestors first, otherwise as they came.
    placed: Vec<Placed>,
    places: HashMap<ChangeHash, usize>,
    /// Writers, as they came.
    actors: Vec<ActorId>,
    actor_index: HashMap<ActorId, u32>,
    /// Per writer, the places of its changes by number.
    chains: Vec<Vec<usize>>,
    heads: BTreeSet<ChangeHash>,
    clock: Clock,
    /// Changes whose ancestors are not all here.
    waiting: BTreeMap<ChangeHash, Parsed>,
    /// Changes whose ancestors are here and that do not follow from them.
    stray: HashSet<ChangeHash>,
}

/// A change on its way in.
struct Candidate {
    /// None once it has a place or is given up.
    change: Option<Parsed>,
    hash: ChangeHash,
    is_new: bool,
    /// How many of its direct ancestors have no place yet.
    missing: usize,
}

impl Graph {
    pub(super) fn placed(&self) -> &[Placed] {
        &self.placed
    }

    pub(super) fn place(&self, hash: &ChangeHash) -> Option<&Placed> {
        self.places.get(hash).map(|&at| &self.placed[at])
    }

    pub(super) fn actors(&self) -> &[ActorId] {
        &self.actors
    }

    pub(super) fn heads(&self) -> &BTreeSet<ChangeHash> {
        &self.heads
    }

    pub(super) fn clock(&self) -> &Clock {
        &self.clock
    }

    pub(super) fn waiting(&self) -> usize {
        self.waiting.len()
    }

    /// Per writer, the places of its changes by number.
    pub(super) fn chains(&self) -> impl Iterator<Item = (ActorId, &[usize])> {
        self.actors
            .iter()
            .copied()
            .zip(self.chains.iter().map(Vec::as_slice))
    }

    /// The next number of a writer.
    pub(super) fn next_seq(&self, actor: ActorId) -> u64 {
        self.chain(actor).len() as u64 + 1
    }

    /// The direct ancestors of a writer's next change: the heads, or where there are more than
    /// [`DEPS_LIMIT`], those that carry the writer's own last change and the newest of the others.
    pub(super) fn next_deps(&self, actor: ActorId) -> Vec<ChangeHash> {
        let mut heads: Vec<ChangeHash> = self.heads.iter().copied().collect();
        if heads.len() <= DEPS_LIMIT {
            return heads;
        }
        let own = self.actor_index.get(&actor).copied();
        let last = self.chain(actor).len() as u64;
        heads.sort_by_key(|hash| {
            let head = self.place(hash);
            let carries_own = own
                .zip(head)
                .is_some_and(|(own, head)| covers(&head.seen, own, last));
            (
                !carries_own,
                Reverse(head.map(|head| head.change.start_op)),
                *hash,
            )
        });
        heads.truncate(DEPS_LIMIT);
        heads
    }

    /// The number of the operation that follows all of these changes.
    pub(super) fn next_op(&self, deps: &[ChangeHash]) -> u64 {
        1 + deps
            .iter()
            .filter_map(|hash| self.place(hash))
            .map(|dep| dep.change.max_op())
            .max()
            .unwrap_or(0)
    }

    /// Whether it is held at all, with or without a place.
    fn holds(&self, hash: &ChangeHash) -> bool {
        self.places.contains_key(hash) || self.waiting.contains_key(hash) || self.stray.contains(hash)
    }

    fn chain(&self, actor: ActorId) -> &[usize] {
        self.actor_index
            .get(&actor)
            .map_or(&[], |&index| self.chains[index as usize].as_slice())
    }

    /// Takes in changes from outside: all of them or none. Returns the hashes of those that are new here.
    pub(super) fn take_in(&mut self, changes: Vec<Parsed>) -> Result<Vec<ChangeHash>, Refusal> {
        let mut new = Vec::new();
        let mut slots: HashSet<(ActorId, u64)> = self
            .waiting
            .values()
            .map(|change| (change.actor, change.seq))
            .collect();
        let mut hashes = HashSet::new();
        for change in changes {
            if self.holds(&change.hash) || !hashes.insert(change.hash) {
                continue;
            }
            if change.seq <= self.chain(change.actor).len() as u64
                || !slots.insert((change.actor, change.seq))
            {
                return Err(Refusal::DuplicateSeq {
                    actor: change.actor,
                    seq: change.seq,
                });
            }
            new.push(change);
        }
        let hashes = new.iter().map(|change| change.hash).collect();
        self.settle(new, true)?;
        Ok(hashes)
    }

    /// Takes in what was held before. Nothing is refused any more: what does not follow is kept out of the
    /// way, and of two that use one number of a writer, the one that follows has its place.
    pub(super) fn restore(&mut self, mut changes: Vec<Parsed>) {
        let mut hashes = HashSet::new();
        changes.retain(|change| hashes.insert(change.hash));
        if let Err(refusal) = self.settle(changes, false) {
            // Cannot be: without `strict` nothing is refused.
            tracing::error!(%refusal, "a journal could not be restored");
        }
    }

    /// Gives a place to every new or waiting change that can have one. With `strict`, a new one that does
    /// not follow from its ancestors undoes the lot.
    fn settle(&mut self, new: Vec<Parsed>, strict: bool) -> Result<(), Refusal> {
        let before = self.placed.len();
        let actors_before = self.actors.len();
        let waiting = std::mem::take(&mut self.waiting);
        let mut pool: Vec<Candidate> = new
            .into_iter()
            .map(|change| (change, true))
            .chain(waiting.into_values().map(|change| (change, false)))
            .map(|(change, is_new)| Candidate {
                hash: change.hash,
                change: Some(change),
                is_new,
                missing: 0,
            })
            .collect();
        let mut refused = None;
        let mut strays = Vec::new();

        let mut children: HashMap<ChangeHash, Vec<usize>> = HashMap::new();
        // What is new goes first, so that nothing that waited can take its place.
        let (mut ready, mut ready_waiting) = (VecDeque::new(), VecDeque::new());
        for (at, candidate) in pool.iter_mut().enumerate() {
            let deps = candidate.change.iter().flat_map(|change| &change.deps);
            for dep in deps.filter(|dep| !self.places.contains_key(dep)) {
                candidate.missing += 1;
                children.entry(*dep).or_default().push(at);
            }
            if candidate.missing == 0 {
                if candidate.is_new {
                    &mut ready
                } else {
                    &mut ready_waiting
                }
                .push_back(at);
            }
        }
        while let Some(at) = ready.pop_front().or_else(|| ready_waiting.pop_front()) {
            let Some(change) = pool[at].change.take() else {
                continue;
            };
            match self.place_next(change) {
                Ok(hash) => {
                    for child in children.remove(&hash).unwrap_or_default() {
                        pool[child].missing -= 1;
                        if pool[child].missing == 0 {
                            if pool[child].is_new {
                                &mut ready
                            } else {
                                &mut ready_waiting
                            }
                            .push_back(child);
                        }
                    }
                }
                Err(change) if strict && pool[at].is_new => {
                    refused = Some(if change.seq <= self.chain(change.actor).len() as u64 {
                        Refusal::DuplicateSeq {
                            actor: change.actor,
                            seq: change.seq,
                        }
                    } else {
                        Refusal::OutOfSequence
                    });
                    break;
                }
                Err(change) => strays.push(*change),
            }
        }

        if let Some(refusal) = refused {
            let new: HashSet<ChangeHash> = pool.iter().filter(|one| one.is_new).map(|one| one.hash).collect();
            let undone = self.undo(before, actors_before);
            let rest = pool.into_iter().filter_map(|candidate| candidate.change);
            self.waiting = undone
                .into_iter()
                .chain(rest)
                .chain(strays)
                .filter(|change| !new.contains(&change.hash))
                .map(|change| (change.hash, change))
                .collect();
            return Err(refusal);
        }
        self.stray.extend(strays.into_iter().map(|change| change.hash));
        self.waiting = pool
            .into_iter()
            .filter_map(|candidate| candidate.change)
            .map(|change| (change.hash, change))
            .collect();
        self.advance(before);
        Ok(())
    }

    /// Gives a change its place, if it follows from its ancestors, which all have theirs.
    fn place_next(&mut self, change: Parsed) -> Result<ChangeHash, Box<Parsed>> {
        let mut seen: Vec<u64> = Vec::new();
        for dep in &change.deps {
            if let Some(dep) = self.place(dep) {
                merge(&mut seen, &dep.seen);
            }
        }
        let known = self.actor_index.get(&change.actor).copied();
        let seen_own = known
            .and_then(|actor| seen.get(actor as usize))
            .copied()
            .unwrap_or(0);
        let follows = change.seq.checked_sub(1) == Some(seen_own)
            && self.chain(change.actor).len() as u64 == seen_own
            && change.start_op == self.next_op(&change.deps);
        if !follows {
            return Err(Box::new(change));
        }
        let actor = known.unwrap_or_else(|| self.add_actor(change.actor));
        let own = actor as usize;
        if seen.len() <= own {
            seen.resize(own + 1, 0);
        }
        seen[own] = change.seq;
        let hash = change.hash;
        self.places.insert(hash, self.placed.len());
        self.chains[own].push(self.placed.len());
        self.placed.push(Placed {
            change,
            actor,
            seen: seen.into(),
        });
        Ok(hash)
    }

    fn add_actor(&mut self, actor: ActorId) -> u32 {
        let index = u32::try_from(self.actors.len()).unwrap_or(u32::MAX);
        self.actors.push(actor);
        self.actor_index.insert(actor, index);
        self.chains.push(Vec::new());
        index
    }

    /// Takes the newest places back. Heads and clock have not moved yet.
    fn undo(&mut self, placed: usize, actors: usize) -> Vec<Parsed> {
        let undone = self.placed.split_off(placed);
        for one in undone.iter().rev() {
            self.places.remove(&one.change.hash);
            self.chains[one.actor as usize].pop();
        }
        for actor in self.actors.split_off(actors) {
            self.actor_index.remove(&actor);
        }
        self.chains.truncate(actors);
        undone.into_iter().map(|one| one.change).collect()
    }

    /// Moves heads and clock over the newest places.
    fn advance(&mut self, from: usize) {
        for one in &self.placed[from..] {
            let change = &one.change;
            for dep in &change.deps {
                self.heads.remove(dep);
            }
            self.heads.insert(change.hash);
            self.clock.insert(
                change.actor,
                Reach {
                    seq: change.seq,
                    hash: change.hash,
                },
            );
        }
    }
}

/// Whether a clock reaches a writer's number.
pub(super) fn covers(seen: &[u64], actor: u32, seq: u64) -> bool {
    seen.get(actor as usize).is_some_and(|&reach| reach >= seq)
}

/// The later of both, writer by writer.
fn merge(into: &mut Vec<u64>, other: &[u64]) {
    if into.len() < other.len() {
        into.resize(other.len(), 0);
    }
    for (mine, theirs) in into.iter_mut().zip(other) {
        *mine = (*mine).max(*theirs);
    }
}
