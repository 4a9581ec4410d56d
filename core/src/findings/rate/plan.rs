//! The next move of a screw, from the journal.

use super::evidence::{Evidence, Taken, figure, spring};
use crate::findings::verdict::settled;
use crate::journal::{AssetId, Body, EntryId, FlowProof, JobState, Position, Stand, Water, particular};
use crate::procedure::{Procedure, Screw};
use crate::quantity::{Figure, GaugePressure, PressureDifference, Rate, Turns};
use crate::setting::learn::{Answered, Estimate};
use crate::setting::{
    LARGEST_MOVE_ISOLATED, Limits, MoveRequest, NextMove, SpringRange, Warning, Wish, default_tolerance,
    largest_move_on_line, next_move, turn_plan,
};
use crate::steady::State;

/// The element whose being shut makes a station isolated.
const DOWNSTREAM_BLOCK: &str = "downstream_block";
/// The point where the inlet is read.
const INLET: &str = "inlet";

/// A next move, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// The move, or why to leave the screw.
    pub next: NextMove,
    /// The reading it starts from.
    pub from: EntryId,
    /// How many moves the whole way takes, each as large as the limits allow.
    pub moves: u32,
    /// What to know before turning.
    pub warnings: Vec<Warning>,
}

/// How far off a set point may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerated {
    /// Either way.
    pub figure: Figure,
    /// Whether the request names it; else it is the default rule.
    pub from_request: bool,
}

/// What the screw shall set its point to: as the request or the particular that the procedure names says it.
///
/// # Errors
/// The code of why there is none: `no_request`, `request_disagreed`.
pub fn target<'a>(state: &'a JobState, valve: AssetId, screw: &Screw) -> Result<&'a Figure, &'static str> {
    if let Some(name) = &screw.target {
        return figure(state, valve, name).ok_or("no_request");
    }
    match state.request(valve) {
        Stand::Agreed(Some(request), _) => Ok(&request.pressure),
        Stand::Disagreed(_) => Err("request_disagreed"),
        _ => Err("no_request"),
    }
}

/// The tolerance that counts: the request's, or the default rule for its pressure.
pub fn tolerance(state: &JobState, valve: AssetId) -> Option<Tolerated> {
    let request = state.request(valve).agreed().copied().flatten()?;
    if let Some(figure) = &request.tolerance {
        return Some(Tolerated {
            figure: figure.clone(),
            from_request: true,
        });
    }
    let unit = request.pressure.unit;
    let by_rule = default_tolerance(GaugePressure::try_from(&request.pressure).ok()?);
    Some(Tolerated {
        figure: Figure::computed(by_rule.in_unit(unit).ok()?, unit).ok()?,
        from_request: false,
    })
}

/// Plans the next move of a screw.
///
/// # Errors
/// The codes of why there is none, each something a person can put right: `no_request`, `request_disagreed`,
/// `no_rate`, `no_reading`, `reading_older_than_turn`, `reading_without_flow`; `still_settling`, `drifting`,
/// `hunting` (the newest readings say that the pressure is on its way); `prove_flow_again` (the last turn was not
/// answered, and nobody has shown since that water moves); `went_wrong_way` (the last turn sent the pressure the
/// other way); or a code of [`crate::setting::PlanError`], [`crate::setting::NextMoveError`] or
/// [`crate::setting::learn::LearnError`].
pub fn plan(
    state: &JobState,
    procedure: &Procedure,
    valve: AssetId,
    screw: &Screw,
    evidence: &Evidence<'_>,
    estimate: Option<&Estimate>,
) -> Result<Planned, Vec<&'static str>> {
    let pressure = |figure: &Figure| GaugePressure::try_from(figure).ok();
    let asked = target(state, valve, screw).and_then(|figure| pressure(figure).ok_or("no_request"));
    let rate = evidence
        .printed
        .and_then(|figure| Rate::try_from(figure).ok())
        .ok_or("no_rate");
    let now = drives(state, valve, screw, evidence);
    let (asked, rate, now) = match (asked, rate, now) {
        (Ok(asked), Ok(rate), Ok(now)) => (asked, rate, now),
        (asked, rate, now) => {
            return Err([asked.err(), rate.err(), now.err()]
                .into_iter()
                .flatten()
                .collect());
        }
    };
    if let Some(why) = estimate.and_then(|known| answered_badly(state, valve, evidence, known)) {
        return Err(vec![why]);
    }
    let (limits, on_line) = limits(state, procedure, valve);
    let of_spring = |name| spring(state, valve, screw, name).and_then(pressure);
    // What the plan by the printed rate warns of concerns spring and inlet, whatever the rate is.
    let by_print = turn_plan(&MoveRequest {
        from: now.pressure,
        to: asked,
        rate,
        clockwise: evidence.clockwise,
        range: of_spring(particular::SPRING_LOW)
            .zip(of_spring(particular::SPRING_HIGH))
            .and_then(|(low, high)| SpringRange::new(low, high).ok()),
        inlet: inlet(state, valve),
        min_differential: figure(state, valve, particular::MIN_DIFFERENTIAL)
            .and_then(|least| PressureDifference::try_from(least).ok()),
        limits,
    })
    .map_err(|error| vec![error.code()])?;
    let estimate = estimate.ok_or_else(|| vec!["not_finite"])?;
    let within = tolerance(state, valve)
        .and_then(|tolerated| PressureDifference::try_from(&tolerated.figure).ok())
        .unwrap_or_else(|| default_tolerance(asked));
    let next = next_move(
        estimate,
        &Wish {
            target: asked,
            tolerance: within,
            limits,
            on_line,
            resolution: now.resolution,
        },
    )
    .map_err(|error| vec![error.code()])?;
    Ok(Planned {
        next,
        from: now.folded.entry.id,
        moves: moves(&next, limits, estimate.rate()),
        warnings: by_print.warnings,
    })
}

/// The newest inlet pressure of a valve.
pub(super) fn inlet(state: &JobState, valve: AssetId) -> Option<GaugePressure> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::Reading(reading) if reading.asset == valve && reading.point == INLET => {
                GaugePressure::try_from(&reading.figure).ok()
            }
            _ => None,
        })
}

/// The reading that may drive a move, or why none may.
fn drives<'e, 'a>(
    state: &JobState,
    valve: AssetId,
    screw: &Screw,
    evidence: &'e Evidence<'a>,
) -> Result<&'e Taken<'a>, &'static str> {
    let Some(now) = evidence.now() else {
        return Err(if evidence.readings.is_empty() {
            "no_reading"
        } else {
            "reading_older_than_turn"
        });
    };
    if now.reading.water == Water::Still {
        return Err("reading_without_flow");
    }
    match settled(state, valve, &screw.sets).map(|found| found.state) {
        Some(State::Settling) => Err("still_settling"),
        Some(State::Drifting) => Err("drifting"),
        Some(State::Hunting) => Err("hunting"),
        Some(State::Steady | State::TooShort) | None => Ok(now),
    }
}

/// What the last move's answer asks for before the screw is turned again.
fn answered_badly(
    state: &JobState,
    valve: AssetId,
    evidence: &Evidence<'_>,
    estimate: &Estimate,
) -> Option<&'static str> {
    let made = evidence.moves.iter().rfind(|made| made.turns != Turns::ZERO)?;
    let (_, after) = made.seen.ok()?;
    let after = evidence.readings.get(after)?.folded;
    match estimate.answered().last()? {
        Answered::WrongWay => Some("went_wrong_way"),
        Answered::NotAtAll => {
            let proven = state.live().any(|folded| {
                matches!(&folded.entry.told.body, Body::FlowEvidence(told)
                    if told.asset == valve && told.how != FlowProof::Stopped)
                    && folded.saw(after)
            });
            (!proven).then_some("prove_flow_again")
        }
        Answered::Plausibly | Answered::Unseen => None,
    }
}

/// How far one move may go: by pressure once the zone is on line, by turns while the station is isolated. The zone
/// counts as on line unless the downstream block valve is agreed to be shut.
fn limits(state: &JobState, procedure: &Procedure, valve: AssetId) -> (Limits, bool) {
    let position = procedure.element(DOWNSTREAM_BLOCK).and_then(|element| {
        let asset = element.of.asset(state, valve);
        state
            .position(asset, DOWNSTREAM_BLOCK)
            .agreed()
            .copied()
            .flatten()
    });
    if position == Some(Position::Shut) {
        let limits = Limits {
            turns: Some(LARGEST_MOVE_ISOLATED),
            change: None,
        };
        (limits, false)
    } else {
        let limits = Limits {
            turns: None,
            change: Some(largest_move_on_line()),
        };
        (limits, true)
    }
}

/// How many moves the whole way takes.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast from a float saturates, and the figure is not below zero"
)]
fn moves(next: &NextMove, limits: Limits, rate: Rate) -> u32 {
    let by_turns = limits.turns.map(Turns::in_turns);
    let by_change = limits
        .change
        .map(|change| change.in_psi() / rate.in_psi_per_turn().abs());
    let most = [by_turns, by_change]
        .into_iter()
        .flatten()
        .fold(f64::INFINITY, f64::min);
    let whole = next.whole.abs().in_turns();
    // A millionth of a move is rounding.
    ((whole / most - 1e-6).ceil().max(0.0)) as u32
}
