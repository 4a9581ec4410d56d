//! Whatever a procedure refers to is there, once, and before the place that refers to it.

use super::condition::{After, Condition};
use super::file::{At, Source};
use super::model::{ParticularAsked, Procedure};
use super::parse::{PlacedPhase, Places, unknown};
use super::{Fault, ProcedureError};
use crate::journal::particular;
use std::collections::{BTreeMap, BTreeSet};

/// The particulars that the product knows by itself.
const KNOWN: &[&str] = &[
    particular::SPRING_LOW,
    particular::SPRING_HIGH,
    particular::SPRING_RATE,
    particular::MIN_DIFFERENTIAL,
    particular::MIN_FLOW,
    particular::SIZE,
    particular::PLATE,
    particular::SCREW_HEIGHT,
    particular::PERMIT_SPACE,
    particular::CLOCKWISE,
];

/// Checks the whole.
///
/// # Errors
/// The first thing that is wrong, in the order of the file.
pub(super) fn check(
    procedure: &Procedure,
    own: Source<'_>,
    phases: &[PlacedPhase<'_>],
    particulars: &[(Source<'_>, usize, ParticularAsked)],
    closes_with: &[At],
    places: &Places,
) -> Result<(), ProcedureError> {
    let elements = procedure.elements.iter().map(|it| it.id.as_str());
    once(own, "element", elements.zip(places.elements.iter().copied()))?;
    let points = procedure.points.iter().map(|it| it.id.as_str());
    once(own, "point", points.zip(places.points.iter().copied()))?;
    let screws = procedure.screws.iter().map(|it| it.id.as_str());
    once(own, "screw", screws.zip(places.screws.iter().copied()))?;
    let controls = procedure.speed_controls.iter().map(|it| it.id.as_str());
    once(
        own,
        "speed control",
        controls.zip(places.speed_controls.iter().copied()),
    )?;
    let mut named = BTreeSet::new();
    for (source, at, asked) in particulars {
        if !named.insert(asked.name.as_str()) {
            return Err(source.error(*at, twice("particular", &asked.name)));
        }
    }
    for (line, &at) in procedure.runaway.iter().zip(&places.runaway) {
        if let Some(element) = line
            .element
            .as_deref()
            .filter(|it| procedure.element(it).is_none())
        {
            return Err(own.error(at, unknown("element", element)));
        }
    }
    ids(phases)?;
    let order = order(phases);
    for (place, placed) in phases.iter().flat_map(|phase| &phase.steps).enumerate() {
        let step = &placed.step;
        if step.options.len() == 1 {
            return Err(placed
                .source
                .error(placed.at, Fault::TooFewAnswers(step.id.clone())));
        }
        let mut answers = BTreeSet::new();
        if let Some(option) = step.options.iter().find(|option| !answers.insert(&option.id)) {
            return Err(placed.source.error(placed.at, twice("answer", &option.id)));
        }
        for (at, stop) in &placed.stops {
            if !stop.is_stop() {
                return Err(placed.source.error(*at, Fault::NotAStop(stop.code())));
            }
        }
        for (at, condition) in [&placed.when, &placed.needs, &placed.evidence, &placed.stops]
            .into_iter()
            .flatten()
        {
            names(procedure, condition).map_err(|fault| placed.source.error(*at, fault))?;
            for named in steps_of(condition) {
                if order[named] >= place {
                    return Err(placed.source.error(*at, backwards(procedure, &step.id, named)));
                }
            }
        }
    }
    for (at, condition) in closes_with {
        names(procedure, condition).map_err(|fault| own.error(*at, fault))?;
    }
    Ok(())
}

fn twice(what: &'static str, id: &str) -> Fault {
    Fault::DuplicateId {
        what,
        id: id.to_owned(),
    }
}

fn once<'a>(
    source: Source<'_>,
    what: &'static str,
    all: impl Iterator<Item = (&'a str, usize)>,
) -> Result<(), ProcedureError> {
    let mut seen = BTreeSet::new();
    for (id, at) in all {
        if !seen.insert(id) {
            return Err(source.error(at, twice(what, id)));
        }
    }
    Ok(())
}

/// Phases and steps are there once.
fn ids(phases: &[PlacedPhase<'_>]) -> Result<(), ProcedureError> {
    let mut seen = BTreeSet::new();
    let mut steps = BTreeSet::new();
    for phase in phases {
        if !seen.insert(phase.id.as_str()) {
            return Err(phase.source.error(phase.at, twice("phase", &phase.id)));
        }
        for placed in &phase.steps {
            if !steps.insert(placed.step.id.as_str()) {
                return Err(placed.source.error(placed.at, twice("step", &placed.step.id)));
            }
        }
    }
    Ok(())
}

fn order<'a>(phases: &'a [PlacedPhase<'_>]) -> BTreeMap<&'a str, usize> {
    let steps = phases.iter().flat_map(|phase| &phase.steps);
    steps
        .enumerate()
        .map(|(place, placed)| (placed.step.id.as_str(), place))
        .collect()
}

/// A reference to a step that is not before: with a way back it is a circle, else just out of order.
fn backwards(procedure: &Procedure, step: &str, later: &str) -> Fault {
    let mut todo = vec![later];
    let mut seen = BTreeSet::new();
    while let Some(id) = todo.pop() {
        if id == step {
            return Fault::Cycle {
                step: step.to_owned(),
                needs: later.to_owned(),
            };
        }
        if let (true, Some(found)) = (seen.insert(id), procedure.step(id)) {
            let all = [&found.when, &found.needs, &found.evidence, &found.stops];
            todo.extend(all.into_iter().flatten().flat_map(steps_of));
        }
    }
    Fault::LaterStep {
        step: step.to_owned(),
        later: later.to_owned(),
    }
}

/// The steps a condition refers to.
pub(super) fn steps_of(condition: &Condition) -> Vec<&str> {
    match condition {
        Condition::Step { step } | Condition::Choice { step, .. } | Condition::Retrieval { step } => {
            vec![step]
        }
        Condition::Any(any) => any.iter().flat_map(steps_of).collect(),
        other => after_of(other)
            .iter()
            .filter_map(|after| match after {
                After::Step(step) => Some(step.as_str()),
                After::LastMove => None,
            })
            .collect(),
    }
}

fn after_of(condition: &Condition) -> &[After] {
    match condition {
        Condition::Reading(reading) => &reading.after,
        Condition::Zero { after, .. }
        | Condition::Move { after, .. }
        | Condition::SpeedControl { after, .. }
        | Condition::Photo { after }
        | Condition::Note { after }
        | Condition::Vented { after, .. } => after,
        _ => &[],
    }
}

/// Whatever a condition names is there.
fn names(procedure: &Procedure, condition: &Condition) -> Result<(), Fault> {
    let point = |id: &str| {
        procedure
            .point(id)
            .map(|_| ())
            .ok_or_else(|| unknown("point", id))
    };
    for step in steps_of(condition) {
        if procedure.step(step).is_none() {
            return Err(unknown("step", step));
        }
    }
    match condition {
        Condition::Choice { step, is } => {
            let there = procedure
                .step(step)
                .is_some_and(|step| step.options.iter().any(|it| it.id == *is));
            if there { Ok(()) } else { Err(unknown("answer", is)) }
        }
        Condition::Position { element, .. } => procedure
            .element(element)
            .map(|_| ())
            .ok_or_else(|| unknown("element", element)),
        Condition::Reading(reading) => point(&reading.point),
        Condition::Zero { point: id, .. } | Condition::Gauge { point: id, .. } => point(id),
        Condition::Vented { points, .. } => points.iter().try_for_each(|id| point(id)),
        Condition::Particular { name, .. } => {
            let known = KNOWN.contains(&name.as_str()) || procedure.particular(name).is_some();
            if known {
                Ok(())
            } else {
                Err(unknown("particular", name))
            }
        }
        Condition::Move { screw, .. } => procedure
            .screw(screw)
            .map(|_| ())
            .ok_or_else(|| unknown("screw", screw)),
        Condition::SpeedControl { control, .. } => procedure
            .speed_control(control)
            .map(|_| ())
            .ok_or_else(|| unknown("speed control", control)),
        Condition::Any(any) => any.iter().try_for_each(|it| names(procedure, it)),
        _ => Ok(()),
    }
}
