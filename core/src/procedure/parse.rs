//! From a procedure's own file and the shared ones to one checked procedure.

use super::check::check;
use super::draft::{
    ControlDraft, Draft, ElementDraft, ParticularDraft, PointDraft, RunawayDraft, ScrewDraft,
};
use super::file::{ProcedureFile, conditions, text};
use super::model::{Phase, Procedure};
use super::parts::{Parts, PhaseDraft, Shared, drafts, phases};
use super::source::{Instead, Place, Source};
use super::step_table::Placed;
use super::{Fault, ProcedureError, Text};
use toml::Spanned;

/// A phase with where it and its steps stand.
pub(super) struct PlacedPhase<'a> {
    pub place: Place<'a>,
    pub id: String,
    pub title: Text,
    pub steps: Vec<Placed<'a>>,
}

impl Procedure {
    /// The largest procedure file that is read.
    pub const MAX_BYTES: usize = 512 * 1024;

    /// Reads a procedure from its file, with what it takes from the shared ones.
    ///
    /// # Errors
    /// The first thing that is wrong, with its file and line. Nothing of a broken file is used.
    pub fn parse(procedure: &str, parts: &Parts<'_>) -> Result<Self, ProcedureError> {
        let own = Source {
            name: "procedure",
            text: procedure,
        };
        let file: ProcedureFile = own.read()?;
        let instead_at = file.instead.as_ref().map(|instead| own.at(instead.span().start));
        let mut instead = Instead::new(file.instead.map(Spanned::into_inner).unwrap_or_default());

        let mut whole = Vec::new();
        for phase in phases(own, file.phase)? {
            whole.push(whole_phase(taken_phase(phase, parts, &mut instead)?)?);
        }
        let mut particulars: Vec<ParticularDraft<'_>> = drafts(own, file.particular)?;
        particulars.extend(parts.always().cloned());
        let (particulars, particular_places) = taken(particulars, parts, &mut instead)?;
        let closes_with = conditions(own, file.closes_with)?;
        let (elements, element_places) =
            taken::<ElementDraft<'_>>(drafts(own, file.element)?, parts, &mut instead)?;
        let (points, point_places) = taken::<PointDraft<'_>>(drafts(own, file.point)?, parts, &mut instead)?;
        let (screws, screw_places) = taken::<ScrewDraft<'_>>(drafts(own, file.screw)?, parts, &mut instead)?;
        let (speed_controls, control_places) =
            taken::<ControlDraft<'_>>(drafts(own, file.speed_control)?, parts, &mut instead)?;
        let (runaway, runaway_places) =
            taken::<RunawayDraft<'_>>(drafts(own, file.runaway)?, parts, &mut instead)?;
        if let (Some(unused), Some(at)) = (instead.unused(), instead_at) {
            return Err(at.error(unknown("name", unused)));
        }
        let procedure = Self {
            title: text(own, file.title, "the title")?,
            id: file.id,
            digest: parts.digest(procedure),
            owner: None,
            elements,
            points,
            screws,
            speed_controls,
            particulars,
            runaway,
            phases: whole.iter().map(bare).collect(),
            closes_with: closes_with
                .iter()
                .map(|(_, condition)| condition.clone())
                .collect(),
        };
        let places = Places {
            elements: element_places,
            points: point_places,
            screws: screw_places,
            speed_controls: control_places,
            particulars: particular_places,
            runaway: runaway_places,
        };
        check(&procedure, &whole, &closes_with, &places)?;
        Ok(procedure)
    }
}

/// Where the simple things stand, in their own order.
pub(super) struct Places<'a> {
    pub elements: Vec<Place<'a>>,
    pub points: Vec<Place<'a>>,
    pub screws: Vec<Place<'a>>,
    pub speed_controls: Vec<Place<'a>>,
    pub particulars: Vec<Place<'a>>,
    pub runaway: Vec<Place<'a>>,
}

/// Things with whatever they take from shared files, and where each stands.
type Whole<'a, T> = (Vec<T>, Vec<Place<'a>>);

fn taken<'a, D: Shared<'a>>(
    drafts: Vec<D>,
    parts: &Parts<'a>,
    instead: &mut Instead,
) -> Result<Whole<'a, D::Whole>, ProcedureError> {
    let places = drafts.iter().map(Draft::place).collect();
    let whole = drafts
        .into_iter()
        .map(|draft| draft.taken(parts, instead)?.whole())
        .collect::<Result<_, _>>()?;
    Ok((whole, places))
}

/// A phase with whatever it takes from a shared file: the shared phase, less the steps it leaves out, with its
/// own keys and its own steps in the place of those of the same id, and its further steps where it says.
fn taken_phase<'a>(
    phase: PhaseDraft<'a>,
    parts: &Parts<'a>,
    instead: &mut Instead,
) -> Result<PhaseDraft<'a>, ProcedureError> {
    let Some(from) = phase.from else {
        if let Some(step) = phase.except.first() {
            return Err(phase.place.error(unknown("step", step)));
        }
        if let Some(step) = phase.steps.iter().find(|step| step.follows.is_some()) {
            let reason = "`follows` is for steps of a phase that is taken from a shared file";
            return Err(step.place.error(Fault::Syntax(reason.to_owned())));
        }
        return Ok(phase);
    };
    let Some(base) = parts.phase(from, &phase.id) else {
        return Err(phase.place.error(unknown("phase", &phase.id)));
    };
    let mut base = base.clone();
    base.instead(instead);
    for step in &phase.except {
        let Some(index) = base.steps.iter().position(|it| it.id == *step) else {
            return Err(phase.place.error(unknown("step", step)));
        };
        base.steps.remove(index);
    }
    for step in phase.steps {
        if let Some(same) = base.steps.iter_mut().find(|it| it.id == step.id) {
            *same = step.over(same);
            continue;
        }
        let at = match &step.follows {
            None => base.steps.len(),
            Some(follows) => match base.steps.iter().position(|it| it.id == *follows) {
                Some(index) => index + 1,
                None => return Err(step.place.error(unknown("step", follows))),
            },
        };
        base.steps.insert(at, step);
    }
    base.title = phase.title.or(base.title);
    base.when = phase.when.or(base.when);
    base.needs = phase.needs.or(base.needs);
    base.stops = phase.stops.or(base.stops);
    Ok(base)
}

fn whole_phase(phase: PhaseDraft<'_>) -> Result<PlacedPhase<'_>, ProcedureError> {
    let of_steps = phase.of_steps();
    let title = phase.title.ok_or_else(|| {
        let reason = format!("phase `{}` has no title", phase.id);
        phase.place.error(Fault::Syntax(reason))
    })?;
    Ok(PlacedPhase {
        place: phase.place,
        id: phase.id,
        title,
        steps: phase
            .steps
            .into_iter()
            .map(|step| step.placed(&of_steps))
            .collect::<Result<_, _>>()?,
    })
}

fn bare(phase: &PlacedPhase<'_>) -> Phase {
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
