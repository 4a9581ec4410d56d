//! A closed job summed up for the next visit.

use super::{learned_rate, main_point, particular, readings, told_figure};
use crate::journal::{
    AssetId, Body, EntryId, Folded, FoundFault, History, JobState, ParticularValue, Purpose, VisitDetails,
    Water, particular as name,
};
use crate::procedure::{Procedure, Procedures, walk};
use crate::quantity::{Figure, GaugePressure, Turns, Unit};

/// When a job was closed: the newest signature that counts and that nobody opened again. None: it is not closed.
pub fn closed_at(state: &JobState) -> Option<&str> {
    let signed = state
        .live()
        .rev()
        .find(|folded| matches!(folded.entry.told.body, Body::SignOff(_)))?;
    (!opened_again(state, signed.entry.id)).then_some(signed.entry.told.at.as_str())
}

fn opened_again(state: &JobState, sign_off: EntryId) -> bool {
    state.live().any(
        |folded| matches!(&folded.entry.told.body, Body::ReOpened(opened) if opened.sign_off == sign_off),
    )
}

/// A valve's visit, summed up from a closed job. None where the job is not closed, has no such
/// valve, or is worked by a procedure that is not here. `procedures`: what the job is worked by.
///
/// Figures are copied as they were read. Computed are only the learned rate and the sum of the turns.
pub fn visit(state: &JobState, procedures: &Procedures, valve: AssetId) -> Option<History> {
    let closed = closed_at(state)?;
    let opening = state.opening()?;
    let on_job = opening.valves.iter().find(|known| known.id == valve)?;
    let procedure = procedures.get(&on_job.procedure)?;
    let point = main_point(procedure)?;
    let turned = turned(state, procedure, valve);
    let records = state.live().filter_map(|folded| match &folded.entry.told.body {
        Body::SignOff(sign_off) if !opened_again(state, folded.entry.id) => Some(sign_off.digest.clone()),
        _ => None,
    });
    Some(History {
        asset: valve,
        closed_at: closed.to_owned(),
        as_left: read(state, valve, point, Purpose::AsLeft, false),
        learned_rate: procedure
            .screws
            .first()
            .and_then(|screw| learned_rate(state, procedure, valve, screw)),
        static_difference: told_figure(state, valve, name::STATIC_DIFFERENCE).cloned(),
        records: records.collect(),
        more: Box::new(VisitDetails {
            job: Some(state.job),
            number: Some(opening.number.clone()),
            procedure: Some(on_job.procedure.clone()),
            point: (point != "outlet").then(|| point.to_owned()),
            requested: state
                .request(valve)
                .agreed()
                .copied()
                .flatten()
                .map(|request| request.pressure.clone()),
            as_found: read(state, valve, point, Purpose::AsFound, true),
            lock_up: lock_up(state, valve),
            stroke_opening: told_figure(state, valve, name::STROKE_OPENING).cloned(),
            stroke_closing: told_figure(state, valve, name::STROKE_CLOSING).cloned(),
            moves: u32::try_from(turned.len()).ok(),
            turned: sum(&turned),
            faults: faults(state, procedure, valve),
        }),
    })
}

/// The newest reading of a purpose at a point; with water moving, where that is asked.
fn read(state: &JobState, valve: AssetId, point: &str, purpose: Purpose, flowing: bool) -> Option<Figure> {
    readings(state, valve, point)
        .rev()
        .find(|(_, reading)| reading.purpose == purpose && (!flowing || reading.water == Water::Flowing))
        .map(|(_, reading)| reading.figure.clone())
}

/// The highest lock-up reading at whatever point.
fn lock_up(state: &JobState, valve: AssetId) -> Option<Figure> {
    state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::Reading(reading) if reading.asset == valve && reading.purpose == Purpose::LockUp => {
                let pressure = GaugePressure::try_from(&reading.figure).ok()?;
                Some((pressure.in_psi(), &reading.figure))
            }
            _ => None,
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, figure)| figure.clone())
}

/// The moves of the first screw.
fn turned(state: &JobState, procedure: &Procedure, valve: AssetId) -> Vec<Turns> {
    let Some(screw) = procedure.screws.first() else {
        return Vec::new();
    };
    let moved = |folded: &Folded| match &folded.entry.told.body {
        Body::ScrewMove(moved) if moved.asset == valve && moved.screw == screw.id => {
            Turns::try_from(&moved.turn).ok()
        }
        _ => None,
    };
    state.live().filter_map(moved).collect()
}

fn sum(turned: &[Turns]) -> Option<Figure> {
    if turned.is_empty() {
        return None;
    }
    let whole = turned.iter().fold(Turns::ZERO, |sum, &next| sum + next);
    Figure::computed(whole.in_turns(), Unit::Turn).ok()
}

/// What the procedure's answers say must be said of the setting, then what the crew wrote down.
fn faults(state: &JobState, procedure: &Procedure, valve: AssetId) -> Vec<FoundFault> {
    let walk = walk(procedure, state, valve);
    let remarks = walk.remarks.iter().filter_map(|remark| {
        let words = remark.answer.remark.as_ref()?;
        Some(FoundFault {
            en: words.en.clone(),
            es: words.es.clone(),
        })
    });
    let written = match particular(state, valve, name::FAULTS_FOUND) {
        Some(ParticularValue::Text(words)) => Some(FoundFault {
            en: words.clone(),
            es: words.clone(),
        }),
        _ => None,
    };
    remarks.chain(written).collect()
}
