//! The fold: from changes to what the journal says. Pure, and the same for every order of arrival.
//!
//! It reads changes, never the document's map: a map shows one value a key, and an overwrite that arrives
//! together with its original leaves no trace in it. No wall clock decides anything here. What an entry does
//! depends on itself and on what its writer had seen, never on what came later or beside it, with two
//! exceptions that only take away: an id written twice, and an opening that is not here.

use super::content::Content;
use super::grants::Grants;
use super::{
    About, ActorId, Body, ChangeHash, DeviceId, EntryId, Folded, JobId, JobState, Quarantined, Register,
    Resolution, Standing,
};
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// One change, as the fold looks at it.
pub(super) struct Considered<'a> {
    pub(super) hash: ChangeHash,
    /// Its writer's index.
    pub(super) actor: u32,
    pub(super) seq: u64,
    pub(super) start_op: u64,
    /// Per writer's index, the highest number that it had seen, itself included.
    pub(super) seen: &'a Arc<[u64]>,
    pub(super) content: &'a Content,
}

/// Folds changes, given in any order.
pub(super) fn fold(job: JobId, actors: &[ActorId], mut changes: Vec<Considered<'_>>) -> JobState {
    changes.sort_unstable_by_key(|change| (change.start_op, change.hash));
    let (entries, quarantine) = sort_out(&changes);
    let index: HashMap<EntryId, usize> = entries
        .iter()
        .enumerate()
        .map(|(at, folded)| (folded.entry.id, at))
        .collect();
    let office = index
        .get(&EntryId(job.0))
        .map(|&at| entries[at].entry.told.device);
    let mut state = JobState {
        job,
        actors: actors.to_vec(),
        entries,
        quarantine,
        registers: BTreeMap::new(),
        index,
    };
    let outcome = Effects::of(&state, office).outcome();
    state.registers = outcome.registers;
    for ((folded, no_effect), withdrawn_by) in state
        .entries
        .iter_mut()
        .zip(outcome.no_effect)
        .zip(outcome.withdrawn_by)
    {
        folded.no_effect = no_effect;
        folded.withdrawn_by = withdrawn_by;
    }
    state
}

/// Entries that make sense by themselves, and the rest.
fn sort_out(changes: &[Considered<'_>]) -> (Vec<Folded>, Vec<Quarantined>) {
    let mut writes: HashMap<EntryId, u32> = HashMap::with_capacity(changes.len());
    for id in changes.iter().filter_map(|change| change.content.id()) {
        *writes.entry(id).or_default() += 1;
    }
    let mut entries = Vec::with_capacity(changes.len());
    let mut quarantine = Vec::new();
    for change in changes {
        let id = change.content.id();
        let code = match change.content {
            _ if id.is_some_and(|id| writes.get(&id).is_some_and(|&times| times > 1)) => "duplicate_id",
            Content::Aside { code, .. } => code,
            Content::Entry(entry) => {
                entries.push(Folded {
                    entry: Arc::clone(entry),
                    hash: change.hash,
                    actor: change.actor,
                    seq: change.seq,
                    seen: Arc::clone(change.seen),
                    withdrawn_by: None,
                    no_effect: None,
                });
                continue;
            }
        };
        quarantine.push(Quarantined {
            hash: change.hash,
            entry: id,
            code,
        });
    }
    (entries, quarantine)
}

/// What the entries do to one another.
struct Effects<'a> {
    state: &'a JobState,
    /// The device that opened the job, if the opening is here.
    office: Option<DeviceId>,
    no_effect: Vec<Option<&'static str>>,
    withdrawn_by: Vec<Option<usize>>,
    replaced: Vec<bool>,
    grants: Grants,
    /// The entries of each register that have effect, in fold order.
    registers: BTreeMap<Register, Vec<usize>>,
}

impl<'a> Effects<'a> {
    fn of(state: &'a JobState, office: Option<DeviceId>) -> Self {
        let count = state.entries.len();
        let mut effects = Self {
            state,
            office,
            no_effect: vec![None; count],
            withdrawn_by: vec![None; count],
            replaced: vec![false; count],
            grants: Grants::default(),
            registers: BTreeMap::new(),
        };
        // In fold order ancestors come first, so whatever an entry could have seen is decided before it.
        for at in 0..count {
            effects.no_effect[at] = effects.consider(at).err();
        }
        effects
    }

    /// Gives one entry its effect, or says why it has none.
    fn consider(&mut self, at: usize) -> Result<(), &'static str> {
        let folded = &self.state.entries[at];
        let told = &folded.entry.told;
        match &told.body {
            Body::Withdrawn(withdrawn) => return self.withdraw(at, withdrawn.entry),
            Body::SignOff(_) | Body::ReOpened(_) => {
                return if self.grants.may_sign(self.state, folded) {
                    Ok(())
                } else {
                    Err("not_granted")
                };
            }
            Body::ProcedureFile(_) => {
                return if self.office == Some(told.device) {
                    Ok(())
                } else {
                    Err("not_from_opener")
                };
            }
            Body::Resolution(Resolution {
                about: About::Register { register, value, .. },
                ..
            }) if value.register().as_ref() != Some(register) => return Err("wrong_register"),
            _ => {}
        }
        let register = told.body.register();
        if let Some(Register::Grant { .. }) = register {
            if self.office != Some(told.device) {
                return Err("not_from_office");
            }
        } else if matches!(told.body, Body::Resolution(_)) && !self.grants.may_settle(self.state, folded) {
            return Err("not_granted");
        }
        if let Some(register) = register {
            self.write(at, register);
        }
        Ok(())
    }

    /// An entry writes to a register: what it claims to replace is replaced if its writer had seen it there.
    fn write(&mut self, at: usize, register: Register) {
        let folded = &self.state.entries[at];
        let before = self.registers.get(&register).map_or(&[][..], Vec::as_slice);
        for id in folded.entry.told.body.replaces() {
            let Some(&target) = self.state.index.get(id) else {
                continue;
            };
            // A register's entries are in fold order.
            if before.binary_search(&target).is_ok() && folded.saw(&self.state.entries[target]) {
                self.replaced[target] = true;
                self.grants.undone(target, at);
            }
        }
        if let Register::Grant { .. } = register {
            self.grants.given(at);
        }
        self.registers.entry(register).or_default().push(at);
    }

    fn withdraw(&mut self, at: usize, id: EntryId) -> Result<(), &'static str> {
        let folded = &self.state.entries[at];
        let target = self.state.index.get(&id).copied().ok_or("unknown_entry")?;
        let other = &self.state.entries[target];
        if !folded.saw(other) {
            return Err("not_seen");
        }
        let body = &other.entry.told.body;
        if matches!(body, Body::JobOpened(_) | Body::SignOff(_) | Body::Withdrawn(_)) {
            return Err("cannot_be_withdrawn");
        }
        if matches!(body.register(), Some(Register::Grant { .. }))
            && self.office != Some(folded.entry.told.device)
        {
            return Err("not_from_office");
        }
        self.withdrawn_by[target].get_or_insert(at);
        self.grants.undone(target, at);
        Ok(())
    }

    fn outcome(self) -> Outcome {
        let registers = self
            .registers
            .into_iter()
            .map(|(register, entries)| {
                let (stands, gone) = entries
                    .into_iter()
                    .partition::<Vec<_>, _>(|&at| !self.replaced[at] && self.withdrawn_by[at].is_none());
                let disagree = differ(self.state, &stands);
                (
                    register,
                    Standing {
                        stands,
                        disagree,
                        gone,
                    },
                )
            })
            .collect();
        Outcome {
            no_effect: self.no_effect,
            withdrawn_by: self
                .withdrawn_by
                .iter()
                .map(|by| by.map(|by| self.state.entries[by].entry.id))
                .collect(),
            registers,
        }
    }
}

/// What the effects come to, entry by entry and register by register.
struct Outcome {
    no_effect: Vec<Option<&'static str>>,
    withdrawn_by: Vec<Option<EntryId>>,
    registers: BTreeMap<Register, Standing>,
}

/// Whether entries that stand in one register differ in what they say.
fn differ(state: &JobState, stands: &[usize]) -> bool {
    let mut found = stands.iter().map(|&at| state.entries[at].entry.told.body.found());
    found
        .next()
        .is_some_and(|first| found.any(|other| !first.same_value(other)))
}
