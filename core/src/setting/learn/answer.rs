//! What the water said to each move, and what to look out for.

use super::play::Play;
use super::{AtStart, DEAD_BAND_MOST, Move};
use crate::setting::ClockwiseEffect;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How many standard uncertainties of a difference make it a difference. Common practice, no source.
const CLEAR: f64 = 3.0;
/// The part of the printed rate that even another spring would show. Common practice, no source.
const AT_LEAST: f64 = 0.5;
/// How many standard uncertainties half the expected answer must be before none is worth a word.
const WORTH_A_WORD: f64 = 2.5;
/// Within how many standard uncertainties two readings are the same.
const THE_SAME: f64 = 1.5;

/// What the water said to one move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Answered {
    /// The pressure went the way it should, or too little for the gauge to tell.
    Plausibly,
    /// The pressure stayed, though half the printed rate would have shown: no water moves, the valve stands
    /// wide open, or it has not had time.
    NotAtAll,
    /// The pressure went the other way.
    WrongWay,
    /// Nobody saw: no flow, no reading, or another gauge.
    Unseen,
}

/// What to look out for, from the answers so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum LearnWarning {
    /// The pressure went the other way than the screw should send it.
    WrongWay,
    /// A move that should have shown did not.
    NoAnswer,
    /// The answers do not fit the recorded spring: the whole interval is more than 30 % off the printed rate.
    OtherSpring,
    /// One reading does not fit the others and is left out of account.
    DoubtfulReading,
    /// Something besides the screw moved the pressure between two readings.
    Upset,
    /// Much of a turn is lost on reversal: come to the target from one side.
    DeadBandLarge,
    /// The reading is in the last tenth of the spring's range, where it answers unevenly.
    NearSpringEnd,
    /// The inlet leaves the valve too little: turning further in brings nothing.
    StarvedByInlet,
}

impl LearnWarning {
    /// Every warning.
    pub const ALL: [Self; 8] = [
        Self::WrongWay,
        Self::NoAnswer,
        Self::OtherSpring,
        Self::DoubtfulReading,
        Self::Upset,
        Self::DeadBandLarge,
        Self::NearSpringEnd,
        Self::StarvedByInlet,
    ];

    /// The stable code of this warning, as it stands in JSON.
    pub fn code(self) -> &'static str {
        match self {
            Self::WrongWay => "wrong_way",
            Self::NoAnswer => "no_answer",
            Self::OtherSpring => "other_spring",
            Self::DoubtfulReading => "doubtful_reading",
            Self::Upset => "upset",
            Self::DeadBandLarge => "dead_band_large",
            Self::NearSpringEnd => "near_spring_end",
            Self::StarvedByInlet => "starved_by_inlet",
        }
    }
}

/// What the water said to each move, judged by the printed rate and the largest dead band: nothing that either
/// could explain is held against an answer. `worth` is the printed rate in psi per turn.
pub(super) fn answers(
    moves: &[Move],
    clockwise: ClockwiseEffect,
    start: AtStart,
    worth: f64,
) -> Vec<Answered> {
    let first = moves.first().map_or(1.0, |made| made.turns.in_turns());
    let mut play = match start {
        AtStart::TakenUp => Play::taken_up(DEAD_BAND_MOST, first),
        AtStart::Unknown => Play::taken_up(DEAD_BAND_MOST, -first),
    };
    moves
        .iter()
        .map(|made| {
            let driven = play.turn(made.turns.in_turns());
            let Some(seen) = made.seen else {
                return Answered::Unseen;
            };
            let way = made.turns.in_turns().signum() * clockwise.sign();
            let change = (seen.after.pressure - seen.before.pressure).in_psi() * way;
            let noise = seen.before.noise.in_psi().hypot(seen.after.noise.in_psi());
            if change < -CLEAR * noise {
                Answered::WrongWay
            } else if AT_LEAST * worth * driven.abs() >= WORTH_A_WORD * noise && change <= THE_SAME * noise {
                Answered::NotAtAll
            } else {
                Answered::Plausibly
            }
        })
        .collect()
}
