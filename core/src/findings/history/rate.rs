//! The rate that a valve's own moves taught, as a figure to keep.

use super::{readings, told_figure};
use crate::journal::{
    AssetId, Body, Folded, Gauge, JobState, ParticularValue, Reading, Register, ScrewMove, Stand, Water,
    particular,
};
use crate::procedure::{Procedure, Screw};
use crate::quantity::{Figure, GaugePressure, PressureDifference, Rate, Turns, Unit};
use crate::setting::ClockwiseEffect;
use crate::setting::learn::{ASSUMED_RESOLUTION, AtStart, History, Move, Read, Seen, learn, reading_noise};

/// The rate of a screw by its moves with water moving and a reading off one gauge before and after, in the unit of
/// the printed rate. None without a printed rate, or where no move taught anything.
pub fn learned_rate(
    state: &JobState,
    procedure: &Procedure,
    valve: AssetId,
    screw: &Screw,
) -> Option<Figure> {
    let printed = told_figure(state, valve, &screw.spring_particular(particular::SPRING_RATE))?;
    let moves = moves(state, valve, screw);
    if moves.iter().all(|moved| moved.seen.is_none()) {
        return None;
    }
    let estimate = learn(&History {
        printed: Rate::try_from(printed).ok()?,
        clockwise: clockwise(state, procedure, valve, screw),
        start: AtStart::Unknown,
        moves: &moves,
        now: None,
    })
    .ok()?;
    let unit = match printed.unit {
        unit @ (Unit::PsiPerTurn | Unit::KilopascalPerTurn | Unit::BarPerTurn) => unit,
        _ => Unit::PsiPerTurn,
    };
    Figure::computed(estimate.rate().in_unit(unit).ok()?, unit).ok()
}

/// What a turn clockwise was seen to do, else what the procedure says that it nearly always does.
fn clockwise(state: &JobState, procedure: &Procedure, valve: AssetId, screw: &Screw) -> ClockwiseEffect {
    let first = procedure.screws.first().is_some_and(|first| first.id == screw.id);
    let seen = first
        .then(|| super::particular(state, valve, particular::CLOCKWISE))
        .flatten();
    match seen {
        Some(ParticularValue::Text(word)) if word == "lowers" => ClockwiseEffect::Lowers,
        Some(_) => ClockwiseEffect::Raises,
        None if screw.raises_clockwise => ClockwiseEffect::Raises,
        None => ClockwiseEffect::Lowers,
    }
}

/// Every move of a screw with the readings around it.
fn moves(state: &JobState, valve: AssetId, screw: &Screw) -> Vec<Move> {
    let turned: Vec<(&Folded, &ScrewMove)> = state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::ScrewMove(moved) if moved.asset == valve && moved.screw == screw.id => {
                Some((folded, moved))
            }
            _ => None,
        })
        .collect();
    let read: Vec<(&Folded, &Reading)> = readings(state, valve, &screw.sets)
        .filter(|(_, reading)| reading.water == Water::Flowing)
        .collect();
    turned
        .iter()
        .enumerate()
        .filter_map(|(at, (folded, moved))| {
            Some(Move {
                turns: Turns::try_from(&moved.turn).ok()?,
                seen: seen(state, folded, &turned[..at], &turned[at + 1..], &read),
            })
        })
        .collect()
}

/// The newest reading before a move and the first after it, off one gauge, with no other move in between.
fn seen(
    state: &JobState,
    moved: &Folded,
    earlier: &[(&Folded, &ScrewMove)],
    later: &[(&Folded, &ScrewMove)],
    read: &[(&Folded, &Reading)],
) -> Option<Seen> {
    let (_, before) = read
        .iter()
        .rev()
        .find(|(reading, _)| moved.saw(reading) && earlier.iter().all(|(turn, _)| reading.saw(turn)))?;
    let (_, after) = read
        .iter()
        .find(|(reading, _)| reading.saw(moved) && !later.iter().any(|(turn, _)| reading.saw(turn)))?;
    if before.gauge.is_none() || before.gauge != after.gauge {
        return None;
    }
    let noise = reading_noise(resolution(state, before));
    let read = |reading: &Reading| {
        Some(Read {
            pressure: GaugePressure::try_from(&reading.figure).ok()?,
            noise,
        })
    };
    Some(Seen {
        before: read(before)?,
        after: read(after)?,
    })
}

/// How finely the gauge of a reading can be read, as it is on record.
fn resolution(state: &JobState, reading: &Reading) -> PressureDifference {
    let serial = reading.gauge.clone().unwrap_or_default();
    let told = match state.standing(&Register::Gauge { serial }) {
        Stand::Agreed(Body::Gauge(Gauge { resolution, .. }), _) => resolution.as_ref(),
        _ => None,
    };
    told.and_then(|step| PressureDifference::try_from(step).ok())
        .unwrap_or(ASSUMED_RESOLUTION)
}
