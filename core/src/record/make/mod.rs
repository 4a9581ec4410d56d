//! From a folded journal and the procedures to what a record says. Pure; the same changes give the same record on every
//! device that has the same procedures.

mod equipment;
mod findings;
mod people;
mod readings;
mod review;
mod settings;
mod steps;
mod valve;
mod words;

use super::content::{
    Agreement, Document, EntryLine, JobSection, ProcedureLine, Said, SetAsideLine, StandingLine,
};
use super::{FORMAT, RecordError, VERSION, hex};
use crate::journal::{
    ActorId, AssetId, Body, ChangeHash, EntryId, Folded, JobState, OFFICE_NAME, PersonId, Register,
};
use crate::procedure::{Procedure, Procedures};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// What a record is made of.
pub(super) struct Making<'a> {
    pub state: &'a JobState,
    pub procedures: &'a Procedures,
    names: BTreeMap<PersonId, String>,
}

/// Makes the record's document.
pub(super) fn document(
    state: &JobState,
    procedures: &Procedures,
    clock: &BTreeMap<ActorId, u64>,
    heads: &[ChangeHash],
) -> Result<Document, RecordError> {
    let opening = state.opening().ok_or(RecordError::NotOpened)?;
    let opened = state.entry(EntryId(state.job.0)).ok_or(RecordError::NotOpened)?;
    let making = Making {
        state,
        procedures,
        names: names(state),
    };
    let mut heads: Vec<String> = heads.iter().map(|hash| hex(&hash.0)).collect();
    heads.sort_unstable();
    let valves = opening.valves.iter().map(|valve| making.valve(valve)).collect();
    Ok(Document {
        format: FORMAT.to_owned(),
        version: VERSION.to_owned(),
        job: JobSection {
            id: state.job,
            opening: opening.clone(),
            said: making.said(opened),
            revision: making.revision(),
        },
        clock: clock
            .iter()
            .map(|(actor, reach)| (hex(&actor.0), reach.to_string()))
            .collect(),
        heads,
        procedures: making.procedures_worked_by(),
        entries: state.entries.iter().map(entry).collect::<Result<_, _>>()?,
        standing: standing(state),
        set_aside: state
            .quarantine
            .iter()
            .map(|one| SetAsideLine {
                change: hex(&one.hash.0),
                code: one.code.to_owned(),
            })
            .collect(),
        station: making.station(opening),
        valves,
        gauges: making.gauges(),
        atmosphere: making.atmosphere(),
        crew: making.crew(),
        clocks: making.clocks(),
        review: making.review(),
        settlements: making.settlements()?,
        withdrawn: making.withdrawn(),
        notes: making.notes(),
        photographs: making.photographs(),
        history: making.history(),
        initials: making.initials(),
        signatures: making.signatures(),
        late: making.late(),
        people: making.names,
    })
}

impl<'a> Making<'a> {
    /// A person's name, or the start of the id of somebody who never gave one.
    pub fn name(&self, person: PersonId) -> String {
        self.names
            .get(&person)
            .cloned()
            .unwrap_or_else(|| person.to_string().chars().take(8).collect())
    }

    /// Who said an entry, and when.
    pub fn said(&self, folded: &Folded) -> Said {
        let told = &folded.entry.told;
        Said {
            entry: folded.entry.id,
            by: told.by,
            name: self.name(told.by),
            keyed_by: told
                .keyed_by
                .filter(|&keyed| keyed != told.by)
                .map(|keyed| self.name(keyed)),
            at: told.at.clone(),
            device: told.device,
        }
    }

    /// The live entries whose body is of one kind, in fold order.
    pub fn told<T>(&self, kind: impl Fn(&'a Body) -> Option<&'a T>) -> Vec<(&'a Folded, &'a T)> {
        self.state
            .live()
            .filter_map(|folded| Some((folded, kind(&folded.entry.told.body)?)))
            .collect()
    }

    /// The entries of a register that have effect and were not taken back, in fold order: the whole story.
    pub fn story(&self, register: &Register) -> Vec<&'a Folded> {
        let Some(held) = self.state.registers.get(register) else {
            return Vec::new();
        };
        let all: BTreeSet<usize> = held.stands.iter().chain(&held.gone).copied().collect();
        all.into_iter()
            .map(|at| &self.state.entries[at])
            .filter(|folded| folded.withdrawn_by.is_none())
            .collect()
    }

    /// What stands in a register, and whether it agrees. One entry where all that stand say the same.
    pub fn stands(&self, register: &Register) -> (Option<Agreement>, Vec<&'a Folded>) {
        let Some(held) = self.state.registers.get(register) else {
            return (None, Vec::new());
        };
        let agreement = agreement(held);
        let mut all: Vec<_> = held.stands.iter().map(|&at| &self.state.entries[at]).collect();
        if agreement == Agreement::Agreed {
            all.truncate(1);
        }
        (Some(agreement), all)
    }

    /// The procedure that a valve is worked by, if it is here.
    pub fn procedure_of(&self, valve: AssetId) -> Option<&'a Procedure> {
        let opening = self.state.opening()?;
        let on_job = opening.valves.iter().find(|known| known.id == valve)?;
        self.procedures.get(&on_job.procedure)
    }

    /// Every procedure by which anything was done.
    fn procedures_worked_by(&self) -> Vec<ProcedureLine> {
        let of_valves = self
            .state
            .opening()
            .into_iter()
            .flat_map(|opening| &opening.valves);
        let mut ids: BTreeSet<&str> = of_valves.map(|valve| valve.procedure.as_str()).collect();
        ids.extend(self.state.registers.keys().filter_map(|register| match register {
            Register::Step { procedure, .. } => Some(procedure.as_str()),
            _ => None,
        }));
        ids.into_iter()
            .filter_map(|id| self.procedures.get(id))
            .map(|procedure| ProcedureLine {
                id: procedure.id.clone(),
                title: procedure.title.clone(),
                digest: procedure.digest.clone(),
            })
            .collect()
    }
}

/// Everybody's name: as they joined, else as the office granted.
fn names(state: &JobState) -> BTreeMap<PersonId, String> {
    let mut names = BTreeMap::new();
    for folded in &state.entries {
        if folded.entry.told.by == PersonId::office() {
            names
                .entry(PersonId::office())
                .or_insert_with(|| OFFICE_NAME.to_owned());
        }
        match &folded.entry.told.body {
            Body::PersonJoined(joined) => {
                names.insert(joined.person, joined.name.clone());
            }
            Body::Grant(grant) => {
                names.entry(grant.person).or_insert_with(|| grant.name.clone());
            }
            _ => {}
        }
    }
    names
}

fn entry(folded: &Folded) -> Result<EntryLine, RecordError> {
    let told = &folded.entry.told;
    Ok(EntryLine {
        id: folded.entry.id,
        by: told.by,
        keyed_by: told.keyed_by,
        device: told.device,
        boot: told.boot.to_string(),
        mono_ms: told.mono_ms.to_string(),
        at: told.at.clone(),
        change: hex(&folded.hash.0),
        withdrawn_by: folded.withdrawn_by,
        no_effect: folded.no_effect.map(str::to_owned),
        body: body(&told.body)?,
    })
}

/// A body as JSON. An unknown kind goes in as the text it came in, so that no number in it is spelled anew.
pub(super) fn body(body: &Body) -> Result<Value, RecordError> {
    match body {
        Body::Unknown(unknown) => Ok(json!({ "kind": unknown.kind, "raw": unknown.raw })),
        known => Ok(serde_json::from_str(&serde_json::to_string(known)?)?),
    }
}

fn agreement(held: &crate::journal::Standing) -> Agreement {
    match (held.stands.len(), held.disagree) {
        (0, _) => Agreement::Unknown,
        (_, true) => Agreement::Disagreed,
        (_, false) => Agreement::Agreed,
    }
}

/// What stands in each register, by the entries that say so.
fn standing(state: &JobState) -> Vec<StandingLine> {
    state
        .registers
        .iter()
        .map(|(register, held)| StandingLine {
            register: register.clone(),
            agreement: agreement(held),
            entries: held.stands.iter().map(|&at| state.entries[at].entry.id).collect(),
        })
        .collect()
}
