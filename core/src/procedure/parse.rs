//! From two files to one checked procedure.

use super::check::check;
use super::file::{At, CommonFile, PhaseTable, ProcedureFile, Source, conditions, text};
use super::model::{Phase, Procedure};
use super::step_table::Placed;
use super::{Fault, ProcedureError, Text};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use toml::Spanned;

/// SHA-256 of texts, one after the other, in hex.
fn digest(texts: &[&str]) -> String {
    let mut hash = Sha256::new();
    for text in texts {
        hash.update(text.as_bytes());
    }
    hash.finalize().iter().fold(String::new(), |mut hex, byte| {
        // Writing to a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// A phase with where it and its steps stand.
pub(super) struct PlacedPhase<'a> {
    pub source: Source<'a>,
    pub at: usize,
    pub id: String,
    pub title: Text,
    pub steps: Vec<Placed<'a>>,
}

impl Procedure {
    /// The largest procedure file that is read.
    pub const MAX_BYTES: usize = 512 * 1024;

    /// Reads a procedure from its file and from the file of what all procedures have in common.
    ///
    /// # Errors
    /// The first thing that is wrong, with its file and line. Nothing of a broken file is used.
    pub fn parse(procedure: &str, common: &str) -> Result<Self, ProcedureError> {
        let own = Source {
            name: "procedure",
            text: procedure,
        };
        let shared = Source {
            name: "common",
            text: common,
        };
        let file: ProcedureFile = own.read()?;
        let common: CommonFile = shared.read()?;

        let mut common_phases = common.phase;
        let mut phases = Vec::new();
        for phase in file.phase {
            phases.push(placed_phase(own, phase, shared, &mut common_phases)?);
        }
        let particulars = file
            .particular
            .into_iter()
            .map(|it| (own, it))
            .chain(common.particular.into_iter().map(|it| (shared, it)))
            .map(|(source, it)| {
                let at = it.span().start;
                Ok((source, at, it.into_inner().asked(source, at)?))
            })
            .collect::<Result<Vec<_>, ProcedureError>>()?;
        let closes_with = conditions(own, file.closes_with)?;

        let mut places = Places::default();
        let procedure = Self {
            title: text(own, file.title, "the title")?,
            id: file.id,
            digest: digest(&[own.text, shared.text]),
            elements: each(file.element, |it| it.element(own), &mut places.elements)?,
            points: each(file.point, |it| it.point(own), &mut places.points)?,
            screws: each(file.screw, |it| it.screw(own), &mut places.screws)?,
            speed_controls: each(
                file.speed_control,
                |it| it.control(own),
                &mut places.speed_controls,
            )?,
            particulars: particulars.iter().map(|(_, _, asked)| asked.clone()).collect(),
            runaway: each(file.runaway, |it| it.line(own), &mut places.runaway)?,
            phases: phases.iter().map(whole).collect(),
            closes_with: closes_with
                .iter()
                .map(|(_, condition)| condition.clone())
                .collect(),
        };
        check(&procedure, own, &phases, &particulars, &closes_with, &places)?;
        Ok(procedure)
    }
}

/// Where the simple things stand, in their own order.
#[derive(Default)]
pub(super) struct Places {
    pub elements: Vec<usize>,
    pub points: Vec<usize>,
    pub screws: Vec<usize>,
    pub speed_controls: Vec<usize>,
    pub runaway: Vec<usize>,
}

fn each<T, U>(
    tables: Vec<Spanned<T>>,
    build: impl Fn(T) -> Result<U, ProcedureError>,
    places: &mut Vec<usize>,
) -> Result<Vec<U>, ProcedureError> {
    tables
        .into_iter()
        .map(|table| {
            places.push(table.span().start);
            build(table.into_inner())
        })
        .collect()
}

/// A phase as it stands in the procedure: its own, or the common one of that id.
fn placed_phase<'a>(
    own: Source<'a>,
    phase: Spanned<PhaseTable>,
    shared: Source<'a>,
    common: &mut Vec<Spanned<PhaseTable>>,
) -> Result<PlacedPhase<'a>, ProcedureError> {
    let at = phase.span().start;
    let phase = phase.into_inner();
    if phase.from.is_none() {
        if let Some(step) = phase.except.first() {
            return Err(own.error(at, unknown("step", step)));
        }
        return built(own, at, phase);
    }
    let bare = phase.title.is_none()
        && phase.step.is_empty()
        && phase.when.is_empty()
        && phase.needs.is_empty()
        && phase.stops.is_empty();
    if !bare {
        return Err(own.error(at, Fault::BothCommonAndOwn(phase.id)));
    }
    let Some(index) = common.iter().position(|it| it.get_ref().id == phase.id) else {
        return Err(own.error(at, unknown("phase", &phase.id)));
    };
    let taken = common.remove(index);
    let mut taken = built(shared, taken.span().start, taken.into_inner())?;
    for step in &phase.except {
        let Some(index) = taken.steps.iter().position(|placed| placed.step.id == *step) else {
            return Err(own.error(at, unknown("step", step)));
        };
        taken.steps.remove(index);
    }
    Ok(taken)
}

fn built(source: Source<'_>, at: usize, phase: PhaseTable) -> Result<PlacedPhase<'_>, ProcedureError> {
    let id = phase.id;
    let Some(title) = phase.title else {
        return Err(source.error(at, Fault::Syntax(format!("phase `{id}` has no title"))));
    };
    let title = text(source, title, &format!("phase `{id}`"))?;
    let when = conditions(source, phase.when)?;
    let needs = conditions(source, phase.needs)?;
    let stops = conditions(source, phase.stops)?;
    let mut all = Vec::new();
    for step in phase.step {
        let at = step.span().start;
        let mut placed = step.into_inner().placed(source, at)?;
        if !placed.step.id.starts_with(&format!("{id}.")) {
            return Err(source.error(
                at,
                Fault::OutsidePhase {
                    step: placed.step.id,
                    phase: id,
                },
            ));
        }
        placed.when.splice(0..0, when.iter().cloned());
        placed.needs.splice(0..0, needs.iter().cloned());
        placed.stops.splice(0..0, stops.iter().cloned());
        placed.step.when = bare(&placed.when);
        placed.step.needs = bare(&placed.needs);
        placed.step.evidence = bare(&placed.evidence);
        placed.step.stops = bare(&placed.stops);
        all.push(placed);
    }
    Ok(PlacedPhase {
        source,
        at,
        id,
        title,
        steps: all,
    })
}

fn bare(placed: &[At]) -> Vec<super::Condition> {
    placed.iter().map(|(_, condition)| condition.clone()).collect()
}

fn whole(phase: &PlacedPhase<'_>) -> Phase {
    Phase {
        id: phase.id.clone(),
        title: phase.title.clone(),
        steps: phase.steps.iter().map(|placed| placed.step.clone()).collect(),
    }
}

/// Something named that is not there.
pub(super) fn unknown(what: &'static str, id: &str) -> Fault {
    Fault::Unknown {
        what,
        id: id.to_owned(),
    }
}
