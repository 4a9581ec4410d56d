//! What procedures share: files of elements, points, steps and so on that a procedure takes by their ids.

use super::draft::{
    ControlDraft, Draft, ElementDraft, ParticularDraft, PointDraft, RunawayDraft, ScrewDraft,
};
use super::file::{PhaseTable, SharedFile, conditions, text};
use super::source::{Instead, Place, Source};
use super::step_table::{OfPhase, StepDraft};
use super::{Fault, ProcedureError, Text};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use toml::Spanned;

/// The files that procedures share, read and checked once.
#[derive(Clone, Debug, Default)]
pub struct Parts<'a> {
    files: Vec<Part<'a>>,
    texts: Vec<&'a str>,
}

#[derive(Clone, Debug)]
struct Part<'a> {
    name: &'static str,
    elements: Vec<ElementDraft<'a>>,
    points: Vec<PointDraft<'a>>,
    screws: Vec<ScrewDraft<'a>>,
    controls: Vec<ControlDraft<'a>>,
    particulars: Vec<ParticularDraft<'a>>,
    runaway: Vec<RunawayDraft<'a>>,
    phases: Vec<PhaseDraft<'a>>,
}

/// A phase with whatever its file says of it.
#[derive(Clone, Debug)]
pub(super) struct PhaseDraft<'a> {
    pub place: Place<'a>,
    pub id: String,
    pub from: Option<super::file::From>,
    pub except: Vec<String>,
    pub title: Option<Text>,
    pub when: Option<Vec<super::file::At<'a>>>,
    pub needs: Option<Vec<super::file::At<'a>>>,
    pub stops: Option<Vec<super::file::At<'a>>>,
    pub steps: Vec<StepDraft<'a>>,
}

impl<'a> Parts<'a> {
    /// Reads the files, each under the name by which procedures take from it: `common`, `regulating`.
    ///
    /// # Errors
    /// The first thing that is wrong, with its file and line.
    pub fn read(files: &[(&'static str, &'a str)]) -> Result<Self, ProcedureError> {
        let texts = files.iter().map(|&(_, text)| text).collect();
        let files = files.iter().map(|&(name, text)| part(Source { name, text }));
        Ok(Self {
            files: files.collect::<Result<_, _>>()?,
            texts,
        })
    }

    /// SHA-256 in hex of a procedure's own file and the shared files behind it: whoever has the same bytes works by
    /// the same steps.
    pub(super) fn digest(&self, own: &str) -> String {
        let all = std::iter::once(own).chain(self.texts.iter().copied());
        sha256_hex(all.map(str::as_bytes))
    }

    pub(super) fn phase(&self, from: super::file::From, id: &str) -> Option<&PhaseDraft<'a>> {
        self.file(from)?.phases.iter().find(|phase| phase.id == id)
    }

    fn file(&self, from: super::file::From) -> Option<&Part<'a>> {
        self.files.iter().find(|file| file.name == from.name())
    }

    /// The particulars that every procedure asks for.
    pub(super) fn always(&self) -> impl Iterator<Item = &ParticularDraft<'a>> {
        let all = self.files.iter().flat_map(|file| &file.particulars);
        all.filter(|particular| particular.always)
    }
}

/// SHA-256 of bytes, one after the other, in hex.
pub(super) fn sha256_hex<'b>(all: impl IntoIterator<Item = &'b [u8]>) -> String {
    let mut hash = Sha256::new();
    for bytes in all {
        hash.update(bytes);
    }
    hash.finalize().iter().fold(String::new(), |mut hex, byte| {
        // Writing to a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// What a shared file has of one kind.
pub(super) trait Shared<'a>: Draft<'a> {
    fn all<'p>(parts: &'p Parts<'a>, from: super::file::From) -> &'p [Self];

    /// The thing with whatever it takes from a shared file.
    fn taken(self, parts: &Parts<'a>, instead: &mut Instead) -> Result<Self, ProcedureError> {
        let Some(from) = self.from() else {
            return Ok(self);
        };
        let base = Self::all(parts, from).iter().find(|base| base.id() == self.id());
        let Some(base) = base else {
            return Err(self.place().error(Fault::Unknown {
                what: Self::WHAT,
                id: self.id().to_owned(),
            }));
        };
        let mut base = base.clone();
        base.instead(instead);
        Ok(self.over(&base))
    }
}

macro_rules! shared {
    ($($draft:ident: $kind:ident,)*) => {
        $(impl<'a> Shared<'a> for $draft<'a> {
            fn all<'p>(parts: &'p Parts<'a>, from: super::file::From) -> &'p [Self] {
                parts.file(from).map(|file| file.$kind.as_slice()).unwrap_or_default()
            }
        })*
    };
}

shared! {
    ElementDraft: elements,
    PointDraft: points,
    ScrewDraft: screws,
    ControlDraft: controls,
    ParticularDraft: particulars,
    RunawayDraft: runaway,
}

fn part(source: Source<'_>) -> Result<Part<'_>, ProcedureError> {
    let file: SharedFile = source.read()?;
    Ok(Part {
        name: source.name,
        elements: drafts(source, file.element)?,
        points: drafts(source, file.point)?,
        screws: drafts(source, file.screw)?,
        controls: drafts(source, file.speed_control)?,
        particulars: drafts(source, file.particular)?,
        runaway: drafts(source, file.runaway)?,
        phases: phases(source, file.phase)?,
    })
}

/// Every thing of one kind in a file.
pub(super) fn drafts<'a, D: Draft<'a>>(
    source: Source<'a>,
    tables: Vec<Spanned<D::Table>>,
) -> Result<Vec<D>, ProcedureError> {
    tables.into_iter().map(|table| D::read(source, table)).collect()
}

/// Every phase of a file.
pub(super) fn phases(
    source: Source<'_>,
    tables: Vec<Spanned<PhaseTable>>,
) -> Result<Vec<PhaseDraft<'_>>, ProcedureError> {
    tables.into_iter().map(|table| phase(source, table)).collect()
}

fn phase(source: Source<'_>, table: Spanned<PhaseTable>) -> Result<PhaseDraft<'_>, ProcedureError> {
    let place = source.at(table.span().start);
    let table = table.into_inner();
    let all = |written: Option<_>| written.map(|written| conditions(source, written)).transpose();
    let draft = PhaseDraft {
        place,
        from: table.from,
        except: table.except,
        title: table
            .title
            .map(|title| text(source, title, &format!("phase `{}`", table.id)))
            .transpose()?,
        when: all(table.when)?,
        needs: all(table.needs)?,
        stops: all(table.stops)?,
        steps: table
            .step
            .into_iter()
            .map(|step| StepDraft::read(source, step))
            .collect::<Result<_, _>>()?,
        id: table.id,
    };
    for step in &draft.steps {
        if !step.id.starts_with(&format!("{}.", draft.id)) {
            return Err(step.place.error(Fault::OutsidePhase {
                step: step.id.clone(),
                phase: draft.id,
            }));
        }
    }
    Ok(draft)
}

impl<'a> PhaseDraft<'a> {
    /// What it says for all its steps.
    pub(super) fn of_steps(&self) -> OfPhase<'a> {
        OfPhase {
            when: self.when.clone().unwrap_or_default(),
            needs: self.needs.clone().unwrap_or_default(),
            stops: self.stops.clone().unwrap_or_default(),
        }
    }

    /// Ids that stand in for others, in all it says.
    pub(super) fn instead(&mut self, instead: &mut Instead) {
        for all in [&mut self.when, &mut self.needs, &mut self.stops] {
            for (_, condition) in all.iter_mut().flatten() {
                condition.instead(instead);
            }
        }
        for step in &mut self.steps {
            step.instead(instead);
        }
    }
}
