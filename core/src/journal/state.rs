//! What a journal says once it is folded: the entries in one order for all, what stands in each register,
//! and what was set aside.

use super::graph::covers;
use super::{
    ActorId, AssetId, Body, ChangeHash, Entry, EntryId, JobId, JobOpened, PersonId, Position, Register,
    Request, Role,
};
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// The folded journal of one job. The same for every order of arrival, byte for byte.
#[derive(Clone, Debug)]
pub struct JobState {
    /// Which job.
    pub job: JobId,
    /// The writers, in the order in which this journal met them.
    pub actors: Vec<ActorId>,
    /// Every entry that makes sense, sorted by (start operation, hash).
    pub entries: Vec<Folded>,
    /// What was set aside, in the same order, with the reason's code.
    pub quarantine: Vec<Quarantined>,
    /// What stands in each register that anybody ever wrote to.
    pub registers: BTreeMap<Register, Standing>,
    /// Where each entry is in `entries`.
    pub(super) index: HashMap<EntryId, usize>,
}

/// One entry with its place in the journal's causal order.
#[derive(Clone, Debug)]
pub struct Folded {
    /// The entry, shared by the folds that hold it.
    pub entry: Arc<Entry>,
    /// The change that carried it.
    pub hash: ChangeHash,
    /// Index of its writer (an actor: one run of one program) in [`JobState::actors`].
    pub actor: u32,
    /// Its number among its writer's changes, from 1.
    pub seq: u64,
    /// Per actor index, the highest sequence number this entry's writer had seen, itself included.
    pub(super) seen: Arc<[u64]>,
    /// The entry that withdrew it, if one did.
    pub withdrawn_by: Option<EntryId>,
    /// Why it has no effect though it stands in the journal, if so: a code such as `not_granted`.
    pub no_effect: Option<&'static str>,
}

/// A change that was set aside. It is kept and passed on; it just does not count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quarantined {
    /// The change.
    pub hash: ChangeHash,
    /// The entry id it was filed under, if that much could be read.
    pub entry: Option<EntryId>,
    /// Why, as a stable code.
    pub code: &'static str,
}

/// What stands in a register: indices into [`JobState::entries`], in fold order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// The entries that nobody replaced and nobody withdrew.
    pub stands: Vec<usize>,
    /// Whether those that stand differ in what they say.
    pub disagree: bool,
    /// The entries that were replaced or withdrawn, for the story.
    pub gone: Vec<usize>,
}

/// What one register holds, as its reader wants it.
#[derive(Clone, Debug)]
pub enum Stand<'a, T> {
    /// Nobody ever said.
    Never,
    /// It was said and taken back: nothing is known.
    Unknown,
    /// One value stands, said by the entry (the first in fold order, where several say the same).
    Agreed(T, &'a Folded),
    /// Several stand and differ.
    Disagreed(Vec<(T, &'a Folded)>),
}

impl<'a, T> Stand<'a, T> {
    /// The value, if exactly one stands.
    pub fn agreed(&self) -> Option<&T> {
        match self {
            Self::Agreed(value, _) => Some(value),
            _ => None,
        }
    }

    /// The same with another view of the value.
    pub fn map<U>(self, view: impl Fn(T) -> U) -> Stand<'a, U> {
        match self {
            Self::Never => Stand::Never,
            Self::Unknown => Stand::Unknown,
            Self::Agreed(value, by) => Stand::Agreed(view(value), by),
            Self::Disagreed(all) => {
                Stand::Disagreed(all.into_iter().map(|(value, by)| (view(value), by)).collect())
            }
        }
    }
}

impl JobState {
    /// The entry with this id, if it counts.
    pub fn entry(&self, id: EntryId) -> Option<&Folded> {
        self.index.get(&id).map(|&at| &self.entries[at])
    }

    /// Where the entry with this id is in [`JobState::entries`], if it counts.
    pub fn place(&self, id: EntryId) -> Option<usize> {
        self.index.get(&id).copied()
    }

    /// The entries that are not withdrawn and have effect, in fold order.
    pub fn live(&self) -> impl DoubleEndedIterator<Item = &Folded> {
        self.entries
            .iter()
            .filter(|folded| folded.withdrawn_by.is_none() && folded.no_effect.is_none())
    }

    /// The job's opening, if it is here and counts: the entry whose id is the job's own.
    pub fn opening(&self) -> Option<&JobOpened> {
        match &self.entry(EntryId(self.job.0))?.entry.told.body {
            Body::JobOpened(opened) => Some(opened),
            _ => None,
        }
    }

    /// What stands in a register, as bodies. A resolution shows as the body it found to be so.
    pub fn standing(&self, register: &Register) -> Stand<'_, &Body> {
        let Some(standing) = self.registers.get(register) else {
            return Stand::Never;
        };
        let mut all = standing.stands.iter().map(|&at| {
            let folded = &self.entries[at];
            (folded.entry.told.body.found(), folded)
        });
        match (standing.stands.len(), standing.disagree) {
            (0, _) => Stand::Unknown,
            (_, true) => Stand::Disagreed(all.collect()),
            (_, false) => match all.next() {
                Some((body, folded)) => Stand::Agreed(body, folded),
                None => Stand::Unknown,
            },
        }
    }

    /// The ids that stand in a register: what a command made from this view carries as `replaces`.
    pub fn standing_ids(&self, register: &Register) -> Vec<EntryId> {
        self.registers
            .get(register)
            .map(|standing| {
                standing
                    .stands
                    .iter()
                    .map(|&at| self.entries[at].entry.id)
                    .collect()
            })
            .unwrap_or_default()
    }

    /// How an element of the line-up stands.
    pub fn position(&self, asset: AssetId, element: &str) -> Stand<'_, Option<Position>> {
        self.standing(&Register::Position {
            asset,
            element: element.to_owned(),
        })
        .map(|body| match body {
            Body::LineUp(line_up) => Some(line_up.position),
            _ => None,
        })
    }

    /// The request that stands for a valve.
    pub fn request(&self, valve: AssetId) -> Stand<'_, Option<&Request>> {
        self.standing(&Register::Request { valve })
            .map(|body| match body {
                Body::Request(request) => Some(request),
                _ => None,
            })
    }

    /// What a person may do now, by the grants that stand. None: no grant names them.
    /// Where grants disagree the least of them counts.
    pub fn role(&self, person: PersonId) -> Option<Role> {
        match self.standing(&Register::Grant { person }) {
            Stand::Agreed(Body::Grant(grant), _) => Some(grant.role),
            Stand::Disagreed(all) => all
                .into_iter()
                .filter_map(|(body, _)| match body {
                    Body::Grant(grant) => Some(grant.role),
                    _ => None,
                })
                .max(),
            _ => None,
        }
    }
}

impl Folded {
    /// Whether this entry's writer had seen `other` when writing it.
    pub fn saw(&self, other: &Folded) -> bool {
        self.hash != other.hash && covers(&self.seen, other.actor, other.seq)
    }
}
