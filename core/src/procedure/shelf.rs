//! The procedures that a device has at hand, and those that a job is worked by.
//!
//! An owner may put procedure files into a folder. One with a new id is a further procedure; one with a built-in id
//! takes its place. A broken file is refused with its line and reason, and the rest go on working.
//!
//! A job is worked by the files that it carries: whoever opens it writes an owner's file into the journal, so that
//! every tablet walks the same steps. What a job does not carry is the product's own, whatever the folder of this
//! device says.

use super::parts::sha256_hex;
use super::{Parts, Procedure, ProcedureError, Procedures, Step, Text};
use crate::journal::{Body, JobState, ProcedureFile};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;
use ts_rs::TS;

/// The largest file of an owner's that is taken: it travels in every job that is worked by it.
pub const OWNER_MAX_BYTES: usize = 128 * 1024;

/// How much of a file one entry carries, in bytes: with its escapes well below the longest entry there can be.
pub const CARRIED_BYTES: usize = 12 * 1024;

/// A file as it was found in the owner's folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundFile {
    /// Its name in the folder.
    pub name: String,
    /// Its text, or why it could not be read, as a code: `too_large`, `not_text`, `unreadable`.
    pub text: Result<String, &'static str>,
}

/// That a procedure is an owner's and not the product's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnerMark {
    /// The file's name.
    pub file: String,
    /// SHA-256 of its text, in hex.
    pub digest: String,
}

/// A file of the owner's that is not used, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RefusedFile {
    /// The file's name.
    pub file: String,
    /// The line, from 1. Zero where it is about the whole file.
    pub line: u32,
    /// What is wrong, as a code.
    pub code: String,
    /// The same in English words.
    pub reason: String,
}

/// A procedure by name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ProcedureName {
    /// Its id.
    pub id: String,
    /// Its name.
    pub title: Text,
    /// Where it is an owner's.
    pub owner: Option<OwnerMark>,
}

/// What a device has at hand.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AtHand {
    /// The owner's folder.
    pub folder: Option<String>,
    /// What a new job can be worked by.
    pub all: Vec<ProcedureName>,
    /// Files of the owner's that are not used.
    pub refused: Vec<RefusedFile>,
}

/// The procedures of a device.
#[derive(Debug)]
pub struct Shelf {
    built_in: Arc<Procedures>,
    at_hand: Procedures,
    /// The texts of the owner's files in use, by procedure id.
    own: BTreeMap<String, (OwnerMark, String)>,
    refused: Vec<RefusedFile>,
    /// What jobs carry, by the digests of it.
    carried: HashMap<Vec<String>, Arc<Procedures>>,
}

impl Shelf {
    /// The product's own procedures.
    ///
    /// # Errors
    /// What is wrong with one of them.
    pub fn new() -> Result<Self, ProcedureError> {
        let built_in = Procedures::built_in()?;
        Ok(Self {
            at_hand: built_in.clone(),
            built_in: Arc::new(built_in),
            own: BTreeMap::new(),
            refused: Vec::new(),
            carried: HashMap::new(),
        })
    }

    /// Takes what was found in the owner's folder, in place of what was found before. A job that is open keeps the
    /// files that it carries.
    ///
    /// # Errors
    /// What is wrong with a shared file of the product; never what is wrong with an owner's.
    pub fn take_in(&mut self, mut found: Vec<FoundFile>) -> Result<(), ProcedureError> {
        found.sort_by(|a, b| a.name.cmp(&b.name));
        let parts = Parts::read(Procedures::SHARED)?;
        let mut at_hand = (*self.built_in).clone();
        let mut own = BTreeMap::new();
        let mut refused = Vec::new();
        for file in found {
            match own_procedure(&file, &parts) {
                Ok((procedure, mark, text)) => {
                    let replaced = self.built_in.get(&procedure.id);
                    if let Some(step) = replaced.and_then(|replaced| stop_left_out(replaced, &procedure)) {
                        let reason = format!("a hard stop of the product's own step `{step}` is left out");
                        refused.push(refusal(file.name, 0, "hard_stop_left_out", reason));
                        continue;
                    }
                    if own.contains_key(&procedure.id) {
                        let reason = format!("another file has a procedure `{}` already", procedure.id);
                        refused.push(refusal(file.name, 0, "duplicate_id", reason));
                        continue;
                    }
                    own.insert(procedure.id.clone(), (mark, text));
                    at_hand.put(procedure);
                }
                Err(refusal) => refused.push(refusal),
            }
        }
        self.at_hand = at_hand;
        self.own = own;
        self.refused = refused;
        Ok(())
    }

    /// What a new job can be worked by.
    pub fn at_hand(&self) -> &Procedures {
        &self.at_hand
    }

    /// Files of the owner's that are not used.
    pub fn refused(&self) -> &[RefusedFile] {
        &self.refused
    }

    /// The same for the eye.
    pub fn shown(&self, folder: Option<String>) -> AtHand {
        AtHand {
            folder,
            all: self.at_hand.iter().map(name).collect(),
            refused: self.refused.clone(),
        }
    }

    /// What a new job whose valves are worked by these procedures must carry: the owner's files among them, and of
    /// those that any valve can be worked by.
    pub fn to_carry<'a>(&self, worked_by: impl IntoIterator<Item = &'a str>) -> Vec<Body> {
        let ids: BTreeSet<&str> = worked_by.into_iter().chain(Procedures::ANY_VALVE).collect();
        ids.into_iter()
            .filter_map(|id| Some((id, self.own.get(id)?)))
            .flat_map(|(id, (mark, text))| carried(id, mark, text))
            .collect()
    }

    /// What a job is worked by: the product's procedures, with the files that the job carries in their places. A file
    /// that has not come whole, that this version cannot read, or that leaves out a hard stop, leaves its id without a procedure: better none than
    /// another one.
    pub fn of_job(&mut self, state: &JobState) -> Arc<Procedures> {
        let files = files_of(state);
        if files.is_empty() {
            return Arc::clone(&self.built_in);
        }
        let key: Vec<String> = files
            .iter()
            .map(|(id, file)| match file {
                Some((mark, _)) => format!("{id} {} {}", mark.file, mark.digest),
                None => format!("{id} -"),
            })
            .collect();
        if let Some(known) = self.carried.get(&key) {
            return Arc::clone(known);
        }
        let mut all = (*self.built_in).clone();
        let parts = Parts::read(Procedures::SHARED).unwrap_or_default();
        for (id, file) in files {
            all.remove(id);
            let Some((mark, text)) = file else { continue };
            match Procedure::parse(&text, &parts) {
                Ok(mut procedure)
                    if procedure.id == id
                        && self
                            .built_in
                            .get(id)
                            .is_none_or(|replaced| stop_left_out(replaced, &procedure).is_none()) =>
                {
                    procedure.owner = Some(mark);
                    all.put(procedure);
                }
                Ok(_) | Err(_) => {}
            }
        }
        let all = Arc::new(all);
        self.carried.insert(key, Arc::clone(&all));
        all
    }
}

/// A procedure's name for the eye.
pub fn name(procedure: &Procedure) -> ProcedureName {
    ProcedureName {
        id: procedure.id.clone(),
        title: procedure.title.clone(),
        owner: procedure.owner.clone(),
    }
}

fn refusal(file: String, line: usize, code: &str, reason: String) -> RefusedFile {
    RefusedFile {
        file,
        line: u32::try_from(line).unwrap_or(u32::MAX),
        code: code.to_owned(),
        reason,
    }
}

type Own = (Procedure, OwnerMark, String);

fn own_procedure(file: &FoundFile, parts: &Parts<'_>) -> Result<Own, RefusedFile> {
    let refused = |line, code: &str, reason: String| refusal(file.name.clone(), line, code, reason);
    let text = match &file.text {
        Ok(text) if text.len() <= OWNER_MAX_BYTES => text,
        Ok(_) | Err("too_large") => {
            let reason = format!("the file is larger than {OWNER_MAX_BYTES} bytes");
            return Err(refused(0, "too_large", reason));
        }
        Err("not_text") => {
            let reason = "the file is not text in UTF-8".to_owned();
            return Err(refused(0, "not_text", reason));
        }
        Err(code) => {
            let reason = "the file could not be read from the disk".to_owned();
            return Err(refused(0, code, reason));
        }
    };
    let mut procedure = Procedure::parse(text, parts)
        .map_err(|error| refused(error.line, error.code(), error.fault.to_string()))?;
    let mark = OwnerMark {
        file: file.name.clone(),
        digest: sha256_hex([text.as_bytes()]),
    };
    procedure.owner = Some(mark.clone());
    Ok((procedure, mark, text.clone()))
}

/// The step of a built-in procedure whose hard stops the one that takes its place does not have: at the step of the same
/// id, or anywhere where there is none. What hurts people stops the work whoever wrote the procedure.
fn stop_left_out<'a>(built_in: &'a Procedure, own: &Procedure) -> Option<&'a str> {
    let left_out = |step: &&Step| {
        let same = own.steps().find(|candidate| candidate.id == step.id);
        step.stops.iter().any(|stop| match same {
            Some(same) => !same.stops.contains(stop),
            None => !own.steps().any(|candidate| candidate.stops.contains(stop)),
        })
    };
    built_in.steps().find(left_out).map(|step| step.id.as_str())
}

/// A file in as many entries as it takes.
fn carried(id: &str, mark: &OwnerMark, text: &str) -> Vec<Body> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let cut = rest.floor_char_boundary(CARRIED_BYTES.min(rest.len()));
        let (piece, after) = rest.split_at(cut);
        pieces.push(piece);
        rest = after;
    }
    let parts = u32::try_from(pieces.len()).unwrap_or(u32::MAX);
    pieces
        .into_iter()
        .zip(1..)
        .map(|(piece, part)| {
            Body::ProcedureFile(ProcedureFile {
                id: id.to_owned(),
                file: mark.file.clone(),
                digest: mark.digest.clone(),
                part,
                parts,
                text: piece.to_owned(),
            })
        })
        .collect()
}

/// The files that a job carries, by procedure id: whole, or none where it has not come whole.
fn files_of(state: &JobState) -> BTreeMap<&str, Option<(OwnerMark, String)>> {
    let mut pieces: BTreeMap<&str, Vec<&ProcedureFile>> = BTreeMap::new();
    for folded in state.live() {
        if let Body::ProcedureFile(piece) = &folded.entry.told.body {
            pieces.entry(&piece.id).or_default().push(piece);
        }
    }
    pieces
        .into_iter()
        .map(|(id, pieces)| (id, whole(pieces)))
        .collect()
}

fn whole(mut pieces: Vec<&ProcedureFile>) -> Option<(OwnerMark, String)> {
    let first = *pieces.first()?;
    let same = |piece: &&ProcedureFile| {
        (&piece.file, &piece.digest, piece.parts) == (&first.file, &first.digest, first.parts)
    };
    if !pieces.iter().all(same) {
        return None;
    }
    pieces.sort_by_key(|piece| piece.part);
    pieces.dedup_by_key(|piece| piece.part);
    let text: String = pieces.iter().map(|piece| piece.text.as_str()).collect();
    // The digest covers order, number and content of the pieces.
    (text.len() <= OWNER_MAX_BYTES && sha256_hex([text.as_bytes()]) == first.digest).then(|| {
        let mark = OwnerMark {
            file: first.file.clone(),
            digest: first.digest.clone(),
        };
        (mark, text)
    })
}
