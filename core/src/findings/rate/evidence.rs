//! The moves of a screw and the readings that may say what they did.

use super::beside::{resolution_of, state_of};
use crate::journal::{
    AssetId, Body, FlowProof, Folded, JobState, ParticularValue, Particulars, Purpose, Reading, Register,
    Stand, Water, particular,
};
use crate::procedure::{Condition, Procedure, Screw};
use crate::quantity::{Figure, GaugePressure, PressureDifference, Rate, Turns};
use crate::setting::ClockwiseEffect;
use crate::setting::learn::{AtStart, Estimate, History, LearnError, Move, Read, Seen, learn, reading_noise};
use crate::steady::State;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Why a move taught nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Unseen {
    /// Nobody read before it, or after it and before the next one.
    NotRead,
    /// Nobody had shown that water moves.
    NoFlow,
    /// The pressure was still on its way when it was last read.
    NotSettled,
    /// No gauge was read on both sides of it in one place.
    OtherGauge,
}

/// The moves of one screw, oldest first, and the readings of the point that it sets.
pub struct Evidence<'a> {
    /// The printed rate as it was read, where one stands.
    pub printed: Option<&'a Figure>,
    /// What a turn clockwise does.
    pub clockwise: ClockwiseEffect,
    /// Every move.
    pub moves: Vec<Turned<'a>>,
    /// Every reading of the point, in fold order.
    pub readings: Vec<Taken<'a>>,
    /// The newest reading made in knowledge of every move of the valve: its place in [`Self::readings`].
    pub now: Option<usize>,
}

/// One move.
pub struct Turned<'a> {
    /// Its entry.
    pub folded: &'a Folded,
    /// Clockwise positive. Not a number where its figure makes no sense, so that nothing is learned from a sum.
    pub turns: Turns,
    /// The readings on either side of it (places in [`Evidence::readings`]), or why it teaches nothing.
    pub seen: Result<(usize, usize), Unseen>,
}

/// One reading of the point that the screw sets.
pub struct Taken<'a> {
    /// Its entry.
    pub folded: &'a Folded,
    /// What was read.
    pub reading: &'a Reading,
    /// The same as a pressure.
    pub pressure: GaugePressure,
    /// How finely that gauge can be read.
    pub resolution: PressureDifference,
    /// How many of the moves its writer knew of, where those are the first ones.
    pub after: Option<usize>,
    /// All moves that its writer knew of.
    pub turns: Turns,
    /// Whether water was shown to move.
    pub shown: bool,
}

impl Taken<'_> {
    fn read(&self) -> Read {
        Read {
            pressure: self.pressure,
            noise: reading_noise(self.resolution),
        }
    }

    /// Whether this and another reading can be compared: one gauge, one place, on the valve or on its pilot's bleed.
    fn like(&self, other: &Self) -> bool {
        let key = |taken: &Self| {
            (
                taken.reading.gauge.clone(),
                taken.reading.place.clone(),
                taken.reading.purpose == Purpose::StaticSetting,
            )
        };
        key(self) == key(other)
    }
}

impl<'a> Evidence<'a> {
    /// Gathers it from the journal.
    pub fn of(state: &'a JobState, procedure: &Procedure, valve: AssetId, screw: &Screw) -> Self {
        let clockwise = clockwise(state, valve, screw);
        let mut own = Vec::new();
        let mut others = Vec::new();
        for folded in state.live() {
            match &folded.entry.told.body {
                Body::ScrewMove(body) if body.asset == valve && body.screw == screw.id => {
                    let turns = Turns::try_from(&body.turn).unwrap_or(Turns::of(f64::NAN));
                    own.push((folded, turns));
                }
                Body::ScrewMove(body) if body.asset == valve => others.push(folded),
                _ => {}
            }
        }
        let flow = Flow::of(state, procedure, valve, &own, clockwise);
        let readings: Vec<Taken<'a>> = state
            .live()
            .filter_map(|folded| {
                let Body::Reading(reading) = &folded.entry.told.body else {
                    return None;
                };
                (reading.asset == valve && reading.point == screw.sets).then_some(())?;
                let known = own.iter().take_while(|(turned, _)| folded.saw(turned)).count();
                let in_order = !own[known..].iter().any(|(turned, _)| folded.saw(turned));
                let next_knew = own.get(known).is_none_or(|(next, _)| next.saw(folded));
                Some(Taken {
                    folded,
                    reading,
                    pressure: GaugePressure::try_from(&reading.figure).ok()?,
                    resolution: resolution_of(state, reading),
                    after: (in_order && next_knew).then_some(known),
                    turns: own
                        .iter()
                        .filter(|(turned, _)| folded.saw(turned))
                        .fold(Turns::ZERO, |sum, &(_, turns)| sum + turns),
                    shown: flow.shown(folded, reading),
                })
            })
            .collect();
        let now = readings.iter().rposition(|taken| {
            taken.after == Some(own.len()) && others.iter().all(|turned| taken.folded.saw(turned))
        });
        let pairs: Vec<_> = (0..own.len()).map(|at| pair(&readings, &others, at)).collect();
        let moves = own.into_iter().zip(pairs);
        Self {
            printed: spring(state, valve, screw, particular::SPRING_RATE),
            clockwise,
            moves: moves
                .map(|((folded, turns), seen)| Turned { folded, turns, seen })
                .collect(),
            readings,
            now,
        }
    }

    /// The rate and the dead band that it teaches. None: no printed rate stands.
    ///
    /// # Errors
    /// As [`learn`].
    pub fn estimate(&self) -> Option<Result<Estimate, LearnError>> {
        let printed = Rate::try_from(self.printed?).ok()?;
        let moves: Vec<Move> = self
            .moves
            .iter()
            .map(|made| Move {
                turns: made.turns,
                seen: made.seen.ok().map(|(before, after)| Seen {
                    before: self.readings[before].read(),
                    after: self.readings[after].read(),
                }),
            })
            .collect();
        Some(learn(&History {
            printed,
            clockwise: self.clockwise,
            start: AtStart::Unknown,
            moves: &moves,
            now: self.now().map(Taken::read),
        }))
    }

    /// The newest reading made in knowledge of every move.
    pub fn now(&self) -> Option<&Taken<'a>> {
        self.readings.get(self.now?)
    }

    /// All moves together.
    pub fn total(&self) -> Turns {
        self.moves.iter().fold(Turns::ZERO, |sum, made| sum + made.turns)
    }
}

/// The readings on either side of a move.
fn pair(readings: &[Taken<'_>], others: &[&Folded], at: usize) -> Result<(usize, usize), Unseen> {
    let between = |moves: usize| {
        let here = readings.iter().enumerate();
        here.filter(move |(_, taken)| taken.after == Some(moves))
            .map(|(place, _)| place)
            .collect::<Vec<_>>()
    };
    let (before, after) = (between(at), between(at + 1));
    if before.is_empty() || after.is_empty() {
        return Err(Unseen::NotRead);
    }
    let shown = |places: &[usize]| -> Vec<usize> {
        places
            .iter()
            .copied()
            .filter(|&place| readings[place].shown)
            .collect()
    };
    let (shown_before, shown_after) = (shown(&before), shown(&after));
    if shown_before.is_empty() || shown_after.is_empty() {
        return Err(Unseen::NoFlow);
    }
    // Another screw turned in between moves the pressure too.
    let alone = |one: &Taken<'_>, other: &Taken<'_>| {
        others
            .iter()
            .all(|turned| one.folded.saw(turned) == other.folded.saw(turned))
    };
    let found = shown_after.iter().rev().find_map(|&later| {
        let earlier = shown_before.iter().rev().find(|&&earlier| {
            readings[earlier].like(&readings[later]) && alone(&readings[earlier], &readings[later])
        });
        earlier.map(|&earlier| (earlier, later))
    });
    let (earlier, later) = found.ok_or(Unseen::OtherGauge)?;
    let answer = shown_after
        .iter()
        .map(|&place| &readings[place])
        .filter(|taken| taken.like(&readings[later]));
    match state_of(answer.map(|taken| (taken.folded, taken.pressure))) {
        Some(State::Settling | State::Drifting | State::Hunting) => Err(Unseen::NotSettled),
        _ => Ok((earlier, later)),
    }
}

/// A particular of the spring behind a screw.
pub(super) fn spring<'a>(
    state: &'a JobState,
    valve: AssetId,
    screw: &Screw,
    name: &str,
) -> Option<&'a Figure> {
    figure(state, valve, &screw.spring_particular(name))
}

/// The figure of a particular, where exactly one stands.
pub(super) fn figure<'a>(state: &'a JobState, asset: AssetId, name: &str) -> Option<&'a Figure> {
    match value(state, asset, name)? {
        ParticularValue::Figure(figure) => Some(figure),
        ParticularValue::Text(_) => None,
    }
}

fn value<'a>(state: &'a JobState, asset: AssetId, name: &str) -> Option<&'a ParticularValue> {
    let register = Register::Particular {
        asset,
        name: name.to_owned(),
    };
    match state.standing(&register) {
        Stand::Agreed(Body::Particulars(Particulars { value, .. }), _) => Some(value),
        _ => None,
    }
}

/// What a turn clockwise was seen to do on this valve, or what it does by the procedure.
fn clockwise(state: &JobState, valve: AssetId, screw: &Screw) -> ClockwiseEffect {
    let usual = if screw.raises_clockwise {
        ClockwiseEffect::Raises
    } else {
        ClockwiseEffect::Lowers
    };
    match value(state, valve, particular::CLOCKWISE) {
        Some(ParticularValue::Text(word)) if word == "lowers" => ClockwiseEffect::Lowers,
        Some(ParticularValue::Text(word)) if word == "raises" => ClockwiseEffect::Raises,
        _ => usual,
    }
}

/// What was shown of the water of a valve.
struct Flow<'a> {
    /// Whether the procedure asks anywhere that water move.
    asked: bool,
    proofs: Vec<&'a Folded>,
    stops: Vec<&'a Folded>,
}

impl<'a> Flow<'a> {
    fn of(
        state: &'a JobState,
        procedure: &Procedure,
        valve: AssetId,
        moves: &[(&Folded, Turns)],
        clockwise: ClockwiseEffect,
    ) -> Self {
        let lowered = |proof: &Folded| {
            let down = |turns: Turns| turns.in_turns() * clockwise.sign() < 0.0;
            moves
                .iter()
                .any(|&(turned, turns)| down(turns) && proof.saw(turned))
        };
        let (mut proofs, mut stops) = (Vec::new(), Vec::new());
        for folded in state.live() {
            match &folded.entry.told.body {
                Body::FlowEvidence(told) if told.asset == valve => match told.how {
                    FlowProof::Stopped => stops.push(folded),
                    FlowProof::OutletFellOnDownwardMove if !lowered(folded) => {}
                    _ => proofs.push(folded),
                },
                _ => {}
            }
        }
        let asks = |condition: &Condition| *condition == Condition::Flow;
        Self {
            asked: procedure
                .steps()
                .any(|step| step.needs.iter().chain(&step.evidence).any(asks)),
            proofs,
            stops,
        }
    }

    /// Whether a reading says that water moved and its reader had it shown: a proof, and no stop that the proof's
    /// writer had not seen. A pilot on its own test bleed shows its water itself.
    fn shown(&self, folded: &Folded, reading: &Reading) -> bool {
        if !self.asked {
            return true;
        }
        let proven = || {
            let stops: Vec<&&Folded> = self.stops.iter().filter(|stop| folded.saw(stop)).collect();
            self.proofs
                .iter()
                .rev()
                .filter(|proof| folded.saw(proof))
                .any(|proof| stops.iter().all(|stop| proof.saw(stop)))
        };
        reading.water == Water::Flowing && (reading.purpose == Purpose::StaticSetting || proven())
    }
}
