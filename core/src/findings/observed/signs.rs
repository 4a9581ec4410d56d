//! Signs that the record shows without anybody having been asked.

use super::SignSeen;
use crate::diagnosis::Sign;
use crate::findings::verdict::read::{Read, moves, readings, same_moves};
use crate::findings::verdict::{OUTLET, settled};
use crate::journal::{
    AssetId, Body, EntryId, FlowProof, Folded, JobState, Position, Purpose, Reading, Water,
};
use crate::quantity::Turns;
use crate::steady::State;

const INLET: &str = "inlet";
const COVER: &str = "cover";
const STEM: &str = "stem";
/// The cock of the gauge that reads the outlet.
const GAUGE_COCK: &str = "outlet_gauge_cock";
const BYPASS: &str = "bypass";
/// A turn smaller than this need not show anywhere. Common practice, no source: within a usual dead band.
const LEAST_TURN: f64 = 0.25;

/// What the record shows of a sign. None: nothing, which is not a no.
pub fn on_record(state: &JobState, valve: AssetId, point: &str, sign: Sign) -> Option<SignSeen> {
    match sign {
        Sign::FlowProven => flow(state, valve),
        Sign::OutletEqualsInlet if point == OUTLET => equal(state, valve, OUTLET, INLET),
        Sign::CoverAtInletPressure => equal(state, valve, COVER, INLET),
        Sign::StemOpen => stem(state, valve),
        Sign::SupplyAtCover => supply(state, valve),
        Sign::CoverFollowsScrew => follows(state, valve, COVER),
        Sign::FallsWhenTapOpened => falls(state, valve, point),
        Sign::InletSwings => swings(state, valve, INLET),
        Sign::BothValvesSwing => others_swing(state, valve, point),
        Sign::SettingAboveInlet => set_above(state, valve),
        // A gauge behind a shut cock is blocked; behind an open one it may be plugged all the same.
        Sign::GaugeLineBlocked => stands(state, valve, GAUGE_COCK, &[Position::Shut]),
        // A bypass that is open passes; a shut one may pass all the same.
        Sign::BypassOpenOrPassing => stands(state, valve, BYPASS, &[Position::Open, Position::Throttled]),
        _ => None,
    }
}

fn seen(so: bool, from: &[&Folded]) -> SignSeen {
    SignSeen {
        so,
        from: from.iter().map(|folded| folded.entry.id).collect(),
        answered: false,
    }
}

/// The newest word on the flow, unless the screw or anything else makes it none: a stop is a no.
fn flow(state: &JobState, valve: AssetId) -> Option<SignSeen> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::FlowEvidence(told) if told.asset == valve => {
                Some(seen(told.how != FlowProof::Stopped, &[folded]))
            }
            Body::Reading(read) if read.asset == valve && read.water == Water::Still => {
                Some(seen(false, &[folded]))
            }
            _ => None,
        })
}

/// The newest reading of each of two points, no turn of a screw between them.
fn newest_two<'a>(
    state: &'a JobState,
    valve: AssetId,
    one: &str,
    other: &str,
) -> Option<(Read<'a>, Read<'a>)> {
    let newest = |point: &str| {
        readings(state, valve)
            .rev()
            .find(|read| read.reading.point == point)
    };
    let (a, b) = (newest(one)?, newest(other)?);
    same_moves(a.folded, b.folded, &moves(state, valve)).then_some((a, b))
}

fn equal(state: &JobState, valve: AssetId, one: &str, other: &str) -> Option<SignSeen> {
    let (a, b) = newest_two(state, valve, one, other)?;
    let u = a.uncertainty_to(&b, state)?;
    Some(seen((a.pressure - b.pressure).abs() <= u, &[a.folded, b.folded]))
}

fn newest<'a>(state: &'a JobState, valve: AssetId, point: &str) -> Option<(&'a Folded, &'a Reading)> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::Reading(read) if read.asset == valve && read.point == point => Some((folded, read)),
            _ => None,
        })
}

fn stem(state: &JobState, valve: AssetId) -> Option<SignSeen> {
    let (folded, read) = newest(state, valve, STEM)?;
    let above = read.figure.value().ok()?;
    Some(seen(above > 0.0, &[folded]))
}

/// Pressure at the cover that its gauge can tell from none.
fn supply(state: &JobState, valve: AssetId) -> Option<SignSeen> {
    let read = readings(state, valve)
        .rev()
        .find(|read| read.reading.point == COVER)?;
    let u = read.expanded(state)?;
    Some(seen(read.pressure.in_pa() > u.in_pa(), &[read.folded]))
}

/// Whether the pressure at a point changed over the newest turn that is large enough to show and was read on both
/// sides, off the same gauge. None where there is none.
pub fn follows(state: &JobState, valve: AssetId, point: &str) -> Option<SignSeen> {
    let turned = moves(state, valve);
    let here: Vec<Read<'_>> = readings(state, valve)
        .filter(|read| read.reading.point == point)
        .collect();
    turned.iter().enumerate().rev().find_map(|(at, turn)| {
        let Body::ScrewMove(made) = &turn.entry.told.body else {
            return None;
        };
        let enough = Turns::try_from(&made.turn).is_ok_and(|turns| turns.in_turns().abs() >= LEAST_TURN);
        if !enough {
            return None;
        }
        let others: Vec<&Folded> = turned
            .iter()
            .enumerate()
            .filter_map(|(other, folded)| (other != at).then_some(*folded))
            .collect();
        let after = here.iter().rev().find(|read| read.folded.saw(turn))?;
        let before = here.iter().rev().find(|read| {
            turn.saw(read.folded)
                && read.reading.gauge == after.reading.gauge
                && same_moves(read.folded, after.folded, &others)
        })?;
        let u = before.uncertainty_to(after, state)?;
        Some(seen(
            (after.pressure - before.pressure).abs() > u,
            &[before.folded, turn, after.folded],
        ))
    })
}

/// Whether the point fell when water was let out behind the valve that had stood still.
fn falls(state: &JobState, valve: AssetId, point: &str) -> Option<SignSeen> {
    let opened = state.live().rev().find(|folded| {
        matches!(&folded.entry.told.body, Body::FlowEvidence(told)
            if told.asset == valve && told.how == FlowProof::VisibleDischarge)
    })?;
    let here: Vec<Read<'_>> = readings(state, valve)
        .filter(|read| read.reading.point == point)
        .collect();
    let before = here
        .iter()
        .rev()
        .find(|read| opened.saw(read.folded) && read.reading.water == Water::Still)?;
    let after = here.iter().find(|read| read.folded.saw(opened))?;
    if !same_moves(before.folded, after.folded, &moves(state, valve)) {
        return None;
    }
    let u = before.uncertainty_to(after, state)?;
    Some(seen(
        before.pressure - after.pressure > u,
        &[before.folded, opened, after.folded],
    ))
}

/// Whether the readings at a point swing. None where they do not tell.
fn swings(state: &JobState, valve: AssetId, point: &str) -> Option<SignSeen> {
    let found = settled(state, valve, point)?;
    let so = match found.state {
        State::Hunting => true,
        State::Steady => false,
        State::Settling | State::Drifting | State::TooShort => return None,
    };
    let from: Vec<EntryId> = readings(state, valve)
        .filter(|read| read.reading.point == point)
        .map(|read| read.folded.entry.id)
        .collect();
    Some(SignSeen {
        so,
        from,
        answered: false,
    })
}

/// Whether another valve of the job swings. One that is steady says nothing of a third.
fn others_swing(state: &JobState, valve: AssetId, point: &str) -> Option<SignSeen> {
    let valves = &state.opening()?.valves;
    valves
        .iter()
        .filter(|other| other.id != valve)
        .filter_map(|other| swings(state, other.id, point))
        .find(|seen| seen.so)
}

/// Whether what was set statically is not below the newest inlet pressure.
fn set_above(state: &JobState, valve: AssetId) -> Option<SignSeen> {
    let set = readings(state, valve)
        .rev()
        .find(|read| read.reading.purpose == Purpose::StaticSetting)?;
    let inlet = readings(state, valve)
        .rev()
        .find(|read| read.reading.point == INLET)?;
    let turned = moves(state, valve);
    if !turned.iter().all(|turn| set.folded.saw(turn)) {
        return None;
    }
    let u = set.uncertainty_to(&inlet, state)?;
    let above = set.pressure - inlet.pressure;
    // Within what the gauges can tell it is neither.
    (above.abs() > u).then(|| seen(above.in_pa() > 0.0, &[set.folded, inlet.folded]))
}

/// Whether an element of the line-up stands so. Standing otherwise does not prove the contrary.
fn stands(state: &JobState, valve: AssetId, element: &str, so: &[Position]) -> Option<SignSeen> {
    let station = state.opening()?.station.id;
    [valve, station]
        .into_iter()
        .find_map(|asset| match state.position(asset, element) {
            crate::journal::Stand::Agreed(Some(position), by) if so.contains(&position) => {
                Some(seen(true, &[by]))
            }
            _ => None,
        })
}
