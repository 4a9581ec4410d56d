//! Whatever a procedure refers to is there, once, and before the place that refers to it.

use super::condition::{After, Condition};
use super::file::At;
use super::model::Procedure;
use super::parse::{PlacedPhase, Places, unknown};
use super::source::Place;
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
    phases: &[PlacedPhase<'_>],
    closes_with: &[At<'_>],
    places: &Places<'_>,
) -> Result<(), ProcedureError> {
    let elements = procedure.elements.iter().map(|it| it.id.as_str());
    once("element", elements, &places.elements)?;
    let points = procedure.points.iter().map(|it| it.id.as_str());
    once("point", points, &places.points)?;
    let screws = procedure.screws.iter().map(|it| it.id.as_str());
    once("screw", screws, &places.screws)?;
    let controls = procedure.speed_controls.iter().map(|it| it.id.as_str());
    once("speed control", controls, &places.speed_controls)?;
    let particulars = procedure.particulars.iter().map(|it| it.name.as_str());
    once("particular", particulars, &places.particulars)?;
    for (screw, place) in procedure.screws.iter().zip(&places.screws) {
        // A procedure without points reads nothing, so nothing can be set against a reading.
        if !procedure.points.is_empty() && procedure.point(&screw.sets).is_none() {
            return Err(place.error(unknown("point", &screw.sets)));
        }
        let told = screw.target.as_deref();
        if let Some(name) = told.filter(|name| procedure.particular(name).is_none()) {
            return Err(place.error(unknown("particular", name)));
        }
    }
    for (line, place) in procedure.runaway.iter().zip(&places.runaway) {
        if let Some(element) = line
            .element
            .as_deref()
            .filter(|it| procedure.element(it).is_none())
        {
            return Err(place.error(unknown("element", element)));
        }
    }
    ids(phases)?;
    let order = order(phases);
    for (place, placed) in phases.iter().flat_map(|phase| &phase.steps).enumerate() {
        let step = &placed.step;
        if step.options.len() == 1 {
            return Err(placed.place.error(Fault::TooFewAnswers(step.id.clone())));
        }
        let mut answers = BTreeSet::new();
        if let Some(option) = step.options.iter().find(|option| !answers.insert(&option.id)) {
            return Err(placed.place.error(twice("answer", &option.id)));
        }
        for (at, stop) in &placed.stops {
            if !stop.is_stop() {
                return Err(at.error(Fault::NotAStop(stop.code())));
            }
        }
        for (at, condition) in [&placed.when, &placed.needs, &placed.evidence, &placed.stops]
            .into_iter()
            .flatten()
        {
            names(procedure, condition).map_err(|fault| at.error(fault))?;
            for named in steps_of(condition) {
                if order[named] >= place {
                    return Err(at.error(backwards(procedure, &step.id, named)));
                }
            }
        }
    }
    for (at, condition) in closes_with {
        names(procedure, condition).map_err(|fault| at.error(fault))?;
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
    what: &'static str,
    all: impl Iterator<Item = &'a str>,
    places: &[Place<'_>],
) -> Result<(), ProcedureError> {
    let mut seen = BTreeSet::new();
    for (id, place) in all.zip(places) {
        if !seen.insert(id) {
            return Err(place.error(twice(what, id)));
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
            return Err(phase.place.error(twice("phase", &phase.id)));
        }
        for placed in &phase.steps {
            if !steps.insert(placed.step.id.as_str()) {
                return Err(placed.place.error(twice("step", &placed.step.id)));
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
        Condition::SetPoint(set) => match &set.told {
            Some(name) if procedure.particular(name).is_none() => Err(unknown("particular", name)),
            _ => Ok(()),
        },
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
