//! The journal of one job: what goes in, what comes out.

use super::change::{self, Place};
use super::content;
use super::fold::{Considered, fold};
use super::graph::Graph;
use super::limits::{ENTRY_LIMIT, FRAME_LIMIT};
use super::{ActorId, ChangeHash, Clock, Entry, EntryId, JobId, JobState, Refusal, bundling};
use std::collections::{BTreeMap, HashSet};
use std::num::NonZeroU64;
use std::sync::Arc;
use thiserror::Error;

/// The journal of one job, in memory: a growing set of changes, each one entry, and what they fold to.
///
/// It holds what it was given and nothing else. Whoever keeps it makes the rows durable before anybody is
/// told, and loads it anew where that failed.
#[derive(Clone, Debug)]
pub struct Journal {
    job: JobId,
    actor: ActorId,
    graph: Graph,
    /// The ids that entries are filed under.
    ids: HashSet<EntryId>,
    /// The fold, until something changes.
    folded: Option<Arc<JobState>>,
}

/// A change as it is kept: its bytes, and what they say of its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangeRow {
    /// Its hash, which stands for its content and all its ancestors.
    pub hash: ChangeHash,
    /// Its writer.
    pub actor: ActorId,
    /// Its number among its writer's changes, from 1.
    pub seq: u64,
    /// The change as one chunk.
    pub bytes: Vec<u8>,
}

/// A kept row that cannot be read any more. It was left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadRow {
    /// The hash that it was kept under.
    pub hash: ChangeHash,
    /// What is wrong with it.
    pub why: Refusal,
}

/// Why an entry was not appended. Nothing has changed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum AppendError {
    /// The entry's text is over [`ENTRY_LIMIT`](super::limits::ENTRY_LIMIT).
    #[error("the entry is too long: {bytes} bytes, and at most {ENTRY_LIMIT} can be kept")]
    TooLarge {
        /// How long it is, in bytes of JSON.
        bytes: usize,
    },
    /// The journal would set it aside: the code says why, as in [`Quarantined`](super::Quarantined).
    #[error("the entry makes no sense in this journal: {0}")]
    SetAside(&'static str),
    /// It cannot be written down.
    #[error("the entry cannot be written: {0}")]
    Unwritable(String),
}

impl AppendError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::TooLarge { .. } => "entry_too_large",
            Self::SetAside(code) => code,
            Self::Unwritable(_) => "entry_unwritable",
        }
    }
}

impl Journal {
    /// An empty journal. `actor` is random and belongs to this run of the program alone: a writer's number
    /// used twice, as after going back to an old copy, can never be mended.
    pub fn new(job: JobId, actor: ActorId) -> Self {
        Self {
            job,
            actor,
            graph: Graph::default(),
            ids: HashSet::new(),
            folded: None,
        }
    }

    /// A journal from kept rows, in any order. Rows that cannot be read or whose content is not their hash's
    /// come back and are left out.
    pub fn load(
        job: JobId,
        actor: ActorId,
        rows: impl IntoIterator<Item = (ChangeHash, Vec<u8>)>,
    ) -> (Self, Vec<BadRow>) {
        let mut journal = Self::new(job, actor);
        let mut changes = Vec::new();
        let mut bad = Vec::new();
        for (hash, bytes) in rows {
            match change::one(job, &bytes) {
                Ok(change) if change.hash == hash => changes.push(change),
                Ok(_) => bad.push(BadRow {
                    hash,
                    why: Refusal::BadChecksum,
                }),
                Err(why) => bad.push(BadRow { hash, why }),
            }
        }
        journal.graph.restore(changes);
        journal.note_ids(0);
        (journal, bad)
    }

    /// Appends an entry. The row is to be made durable before anybody is told that the entry is saved.
    ///
    /// # Errors
    /// If it is too long to be kept and passed on, or if the journal would set it aside.
    pub fn append(&mut self, entry: &Entry) -> Result<ChangeRow, AppendError> {
        let text =
            serde_json::to_string(&entry.told).map_err(|error| AppendError::Unwritable(error.to_string()))?;
        if text.len() > ENTRY_LIMIT {
            return Err(AppendError::TooLarge { bytes: text.len() });
        }
        if self.ids.contains(&entry.id) {
            return Err(AppendError::SetAside("duplicate_id"));
        }
        content::entry(self.job, entry.id, &text).map_err(AppendError::SetAside)?;
        let unwritable = |refusal: Refusal| AppendError::Unwritable(refusal.to_string());
        let deps = self.graph.next_deps(self.actor);
        let place = Place {
            actor: self.actor,
            seq: self.graph.next_seq(self.actor),
            start_op: NonZeroU64::MIN.saturating_add(self.graph.next_op(&deps) - 1),
            deps,
        };
        // What is held is what was read back from the bytes, as after a restart.
        let bytes = change::make(place, entry.id, &text).map_err(unwritable)?;
        let change = change::one(self.job, &bytes).map_err(unwritable)?;
        let row = ChangeRow {
            hash: change.hash,
            actor: change.actor,
            seq: change.seq,
            bytes,
        };
        let before = self.graph.placed().len();
        self.graph.take_in(vec![change]).map_err(unwritable)?;
        self.note_ids(before);
        self.folded = None;
        Ok(row)
    }

    /// Takes in a delivery from outside: plain changes or bundles, one behind the other. Returns the changes
    /// that are new here, to be made durable.
    ///
    /// # Errors
    /// If anything in it cannot be held. Then nothing of it is, and its sender should be dropped. What merely
    /// makes no sense is held, passed on, and set aside in the fold.
    pub fn intake(&mut self, delivery: &[u8]) -> Result<Vec<ChangeRow>, Refusal> {
        if delivery.len() > FRAME_LIMIT {
            return Err(Refusal::TooLarge {
                what: "the delivery",
                limit: FRAME_LIMIT as u64,
            });
        }
        let changes = change::read(self.job, delivery)?;
        let rows: Vec<ChangeRow> = changes
            .iter()
            .map(|change| ChangeRow {
                hash: change.hash,
                actor: change.actor,
                seq: change.seq,
                bytes: change.bytes.clone(),
            })
            .collect();
        let before = self.graph.placed().len();
        let mut new: HashSet<ChangeHash> = self.graph.take_in(changes)?.into_iter().collect();
        if self.graph.placed().len() > before {
            self.note_ids(before);
            self.folded = None;
        }
        Ok(rows.into_iter().filter(|row| new.remove(&row.hash)).collect())
    }

    /// What a journal with this clock lacks, as deliveries of at most
    /// [`FRAME_LIMIT`](super::limits::FRAME_LIMIT) bytes, to be taken in by the other side in this order.
    ///
    /// A clock may say anything: writers unknown here count for nothing, and a hash that is not ours means
    /// that nothing of that writer is there. Changes that wait for an ancestor are not sent; they follow once
    /// it is here.
    pub fn missing(&self, theirs: &Clock) -> Vec<Vec<u8>> {
        bundling::missing(&self.graph, theirs)
    }

    /// Per writer, how far this journal has come without a gap.
    pub fn clock(&self) -> &Clock {
        self.graph.clock()
    }

    /// The changes that no other builds on, in order of their hashes.
    pub fn heads(&self) -> Vec<ChangeHash> {
        self.graph.heads().iter().copied().collect()
    }

    /// How many changes are held whose ancestors are not all here. They count once those come.
    pub fn waiting(&self) -> usize {
        self.graph.waiting()
    }

    /// The job.
    pub fn job(&self) -> JobId {
        self.job
    }

    /// What the journal says. Kept until something changes.
    pub fn state(&mut self) -> Arc<JobState> {
        if let Some(state) = &self.folded {
            return Arc::clone(state);
        }
        let state = Arc::new(self.fold_where(|_, _| true));
        self.folded = Some(Arc::clone(&state));
        state
    }

    /// What the journal said when it held just what this clock says: per writer, the highest number.
    pub fn state_at(&self, clock: &BTreeMap<ActorId, u64>) -> JobState {
        self.fold_where(|actor, seq| clock.get(&actor).is_some_and(|&reach| seq <= reach))
    }

    fn fold_where(&self, held: impl Fn(ActorId, u64) -> bool) -> JobState {
        let actors = self.graph.actors();
        let changes = self
            .graph
            .placed()
            .iter()
            .filter(|one| {
                actors
                    .get(one.actor as usize)
                    .is_some_and(|&actor| held(actor, one.change.seq))
            })
            .map(|one| Considered {
                hash: one.change.hash,
                actor: one.actor,
                seq: one.change.seq,
                start_op: one.change.start_op,
                seen: &one.seen,
                content: &one.change.content,
            })
            .collect();
        fold(self.job, actors, changes)
    }

    fn note_ids(&mut self, from: usize) {
        let placed = &self.graph.placed()[from..];
        self.ids
            .extend(placed.iter().filter_map(|one| one.change.content.id()));
    }
}
