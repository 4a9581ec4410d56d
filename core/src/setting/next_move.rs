//! The next move: how far to turn now, given what is known and what is not.

use super::learn::{Estimate, Expected, LearnWarning, Part, normal_cdf, reading_noise};
use super::{Direction, Limits};
use crate::quantity::{GaugePressure, PressureDifference, Turns};
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;
use thiserror::Error;
use ts_rs::TS;

/// The finest turn that is asked of a hand: a sixteenth. Common practice, no source.
const STEP: f64 = 1.0 / 16.0;
/// The most turns in one move where no limit is given.
const MOST_TURNS: f64 = 3.0;
/// What it costs to leave a setting that is out of tolerance, in moves.
const LEFT_WRONG: f64 = 5.0;
/// What it costs to need one more move: the move and its wait.
const ONE_MORE: f64 = 1.2;
/// What it costs to land past the target by one tolerance more than allowed, in moves.
const PAST: f64 = 2.0;
/// The same, upwards into a zone that is on line, where an overshoot reaches people's pipes.
const PAST_UPWARDS: f64 = 3.0;
/// How much more an overshoot costs where the way back begins with a large dead band.
const PAST_A_DEAD_BAND: f64 = 2.0;
/// What each tolerance's width past the target costs although it is allowed.
const PAST_WITHIN: f64 = 0.15;
/// How much likelier to be within tolerance a move must make the setting to be worth it where the gauge can
/// hardly tell.
const WORTH_IT: f64 = 0.15;
/// How many standard deviations a level may be off and still be the target as far as the gauge tells.
const CANNOT_TELL: f64 = 1.96;
/// How many steps the other way are looked at.
const BACK: i32 = 2;
/// Shares below this are left out when moves are weighed.
const NEGLIGIBLE: f64 = 1e-4;

/// What a move is planned for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// What the gauge shall read.
    pub target: GaugePressure,
    /// How far off it may be.
    pub tolerance: PressureDifference,
    /// How far one move may go.
    pub limits: Limits,
    /// Whether the zone is on line, so that an overshoot upwards reaches it.
    pub on_line: bool,
    /// How finely the gauge can be read.
    pub resolution: PressureDifference,
}

/// Why not to turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum LeaveIt {
    /// It is within tolerance, most likely.
    WithinTolerance,
    /// The target lies within what this gauge can tell, and no turn makes it likelier.
    GaugeCannotTell,
    /// The smallest turn that a hand makes would not bring it nearer.
    FinerThanAHand,
}

impl LeaveIt {
    /// The stable code of this reason, as it stands in JSON.
    pub fn code(self) -> &'static str {
        match self {
            Self::WithinTolerance => "within_tolerance",
            Self::GaugeCannotTell => "gauge_cannot_tell",
            Self::FinerThanAHand => "finer_than_a_hand",
        }
    }
}

/// What to do next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextMove {
    /// How far to turn now, clockwise positive; zero where it is better left.
    pub turns: Turns,
    /// Which way.
    pub direction: Direction,
    /// Why to leave it, where nothing is to be turned.
    pub leave: Option<LeaveIt>,
    /// What the gauge should then read.
    pub expected: Expected,
    /// How likely the pressure is then within tolerance.
    pub chance: f64,
    /// The whole way by the mean rate, play and all, not limited to one move.
    pub whole: Turns,
    /// Whether it stops short of the target on purpose, because the rate is not sure enough or the way back
    /// would lose a dead band.
    pub short: bool,
}

/// Why no move can be planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NextMoveError {
    /// No reading says where the setting is now.
    #[error("no reading says where the setting is")]
    NoReading,
    /// A tolerance or a limit of zero or less.
    #[error("a tolerance or a largest move is not above zero")]
    LimitNotPositive,
    /// A figure is not finite.
    #[error("not a finite number")]
    NotFinite,
}

impl NextMoveError {
    /// The stable code of this error.
    pub fn code(self) -> &'static str {
        match self {
            Self::NoReading => "no_reading",
            Self::LimitNotPositive => "limit_not_positive",
            Self::NotFinite => "not_finite",
        }
    }
}

/// Chooses the next move: of all turns in sixteenths that the limits allow, the one with the least expected cost.
///
/// Equation: `cost(t) = 1 + 1.2 P(out) + E[excess] / reach + c E[past] / tolerance`, in moves: `P(out)` how
/// likely the pressure is then out of tolerance, `excess` how far out, `reach` what one largest move brings,
/// `past` how far it lies beyond the target's far side, `c` 1, or 3 upwards with the zone on line, twice that
/// where the dead band is large. Leaving it costs `5 (P(out) + E[excess] / reach)`. All expectations are over what is not known of the
/// rate, the dead band, the play and the level, so that the less is known the shorter the move.
/// Units: psi and turns inside. Range: as [`super::learn`]. Source: expected-cost decision, standard textbook
/// form; the costs are common practice, no source, tuned on simulated screws (`cargo xtask bench` shows what
/// they bring).
/// Example: printed 15 psi per turn, nothing learned, 62 psi read on a gauge of 1 psi, target 50 psi within
/// 2 psi, half a turn at most: half a turn counter-clockwise, 54.5 psi expected.
///
/// # Errors
/// See [`NextMoveError`].
pub fn next_move(estimate: &Estimate, wish: &Wish) -> Result<NextMove, NextMoveError> {
    let scale = Scale::of(estimate, wish)?;
    let now = weighed(estimate, Turns::ZERO)?;
    let level = Spread::of(&now);
    let left = scale.look(&now);
    let whole = scale.whole(estimate, level.mean)?;
    let mut best: Option<(f64, Turns, f64)> = None;
    for turns in scale.candidates(whole) {
        let then = scale.look(&weighed(estimate, turns)?);
        let cost = scale.cost(&then, level.mean);
        if best.is_none_or(|(least, ..)| cost < least) {
            best = Some((cost, turns, then.out));
        }
    }
    let (cost, turns, out) = best.ok_or(NextMoveError::NotFinite)?;
    if !cost.is_finite() {
        return Err(NextMoveError::NotFinite);
    }
    let away = (level.mean - scale.target).abs();
    let nearer = weighed(estimate, turns).map(|then| Spread::of(&then).off(scale.target))?;
    let leave = if LEFT_WRONG * (left.out + (left.over + left.under) / scale.reach) <= cost {
        Some(LeaveIt::WithinTolerance)
    } else if away <= CANNOT_TELL * level.sd && left.out - out < WORTH_IT {
        Some(LeaveIt::GaugeCannotTell)
    } else if nearer > level.off(scale.target) {
        Some(LeaveIt::FinerThanAHand)
    } else {
        None
    };
    let turns = if leave.is_some() { Turns::ZERO } else { turns };
    let noise = reading_noise(wish.resolution);
    Ok(NextMove {
        turns,
        direction: Direction::of(turns),
        leave,
        expected: estimate.expected(turns, noise).ok_or(NextMoveError::NoReading)?,
        chance: 1.0 - if leave.is_some() { left.out } else { out },
        whole: if leave.is_some() { Turns::ZERO } else { whole },
        short: leave.is_none()
            && turns.abs().in_turns() + 0.75 * STEP < whole.abs().in_turns().min(scale.most),
    })
}

/// Where the pressure may lie after a turn, without the parts that do not matter.
fn weighed(estimate: &Estimate, turns: Turns) -> Result<Vec<Part>, NextMoveError> {
    let mut parts = estimate.after(turns).ok_or(NextMoveError::NoReading)?;
    parts.retain(|part| part.weight > NEGLIGIBLE);
    let all: f64 = parts.iter().map(|part| part.weight).sum();
    for part in &mut parts {
        part.weight /= all;
    }
    Ok(parts)
}

/// Mean and standard deviation of a mixture.
#[derive(Clone, Copy)]
struct Spread {
    mean: f64,
    sd: f64,
}

impl Spread {
    fn of(parts: &[Part]) -> Self {
        let mean: f64 = parts.iter().map(|part| part.weight * part.mean).sum();
        let variance: f64 = parts
            .iter()
            .map(|part| part.weight * (part.sd.powi(2) + (part.mean - mean).powi(2)))
            .sum();
        Self {
            mean,
            sd: variance.sqrt(),
        }
    }

    /// The root of the mean square distance from a target.
    fn off(self, target: f64) -> f64 {
        self.sd.hypot(self.mean - target)
    }
}

/// What a move is measured by, in psi and turns.
struct Scale {
    target: f64,
    tolerance: f64,
    /// The largest move in turns.
    most: f64,
    /// What the largest move changes.
    reach: f64,
    /// What a turn clockwise changes.
    rate: f64,
    past_upwards: f64,
    past_downwards: f64,
}

impl Scale {
    fn of(estimate: &Estimate, wish: &Wish) -> Result<Self, NextMoveError> {
        let rate = estimate.rate().in_psi_per_turn() * estimate.sign();
        let target = wish.target.in_psi();
        let tolerance = wish.tolerance.in_psi();
        let by_change = wish.limits.change.map(|change| change.in_psi() / rate.abs());
        let by_turns = wish.limits.turns.map(Turns::in_turns);
        let limits = [by_change, by_turns, Some(MOST_TURNS)];
        let most = limits.into_iter().flatten().fold(f64::INFINITY, f64::min);
        if !(target.is_finite() && tolerance.is_finite() && most.is_finite()) {
            return Err(NextMoveError::NotFinite);
        }
        if tolerance <= 0.0 || most <= 0.0 {
            return Err(NextMoveError::LimitNotPositive);
        }
        let large = estimate.warnings().contains(&LearnWarning::DeadBandLarge);
        let more = if large { PAST_A_DEAD_BAND } else { 1.0 };
        Ok(Self {
            target,
            tolerance,
            most: most.max(STEP),
            reach: (most.max(STEP) * rate.abs()).max(tolerance),
            rate,
            past_upwards: more * if wish.on_line { PAST_UPWARDS } else { PAST },
            past_downwards: more * PAST,
        })
    }

    /// Turns towards the target that a hand can make and the limits allow, and a few the other way: a level that
    /// is not sure may lie past it.
    fn candidates(&self, whole: Turns) -> impl Iterator<Item = Turns> {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "at most three turns in sixteenths"
        )]
        let most = (self.most / STEP + 1e-9).floor() as i32;
        let towards = if whole < Turns::ZERO { -1.0 } else { 1.0 };
        (-BACK.min(most)..=most)
            .filter(|&steps| steps != 0)
            .map(move |steps| Turns::of(f64::from(steps) * STEP * towards))
    }

    /// What a mixture of pressures comes to, measured by the target and its tolerance.
    fn look(&self, parts: &[Part]) -> Look {
        let mut look = Look::default();
        let mut inside = 0.0;
        for part in parts {
            let [low, middle, high] = [
                self.target - self.tolerance,
                self.target,
                self.target + self.tolerance,
            ]
            .map(|line| Line::of(part, line));
            inside += part.weight * (low.above - high.above);
            look.over += part.weight * high.excess;
            look.under += part.weight * low.shortfall(part);
            look.past_up += part.weight * middle.excess;
            look.past_down += part.weight * middle.shortfall(part);
        }
        look.out = (1.0 - inside).clamp(0.0, 1.0);
        look
    }

    fn cost(&self, then: &Look, from: f64) -> f64 {
        let (past, past_at_all, weight) = if from > self.target {
            (then.under, then.past_down, self.past_downwards)
        } else {
            (then.over, then.past_up, self.past_upwards)
        };
        1.0 + ONE_MORE * then.out
            + (then.over + then.under) / self.reach
            + (weight * past + PAST_WITHIN * weight * past_at_all) / self.tolerance
    }

    /// The turns that bring the mean to the target, play and all.
    fn whole(&self, estimate: &Estimate, from: f64) -> Result<Turns, NextMoveError> {
        let mut turns = Turns::of((self.target - from) / self.rate);
        if let Some(there) = estimate.after(turns) {
            // What the play takes is asked for once more.
            turns = turns + Turns::of((self.target - Spread::of(&there).mean) / self.rate);
        }
        if turns.is_finite() {
            Ok(turns)
        } else {
            Err(NextMoveError::NotFinite)
        }
    }
}

/// What a mixture of pressures comes to.
#[derive(Clone, Copy, Default)]
struct Look {
    /// How likely it is out of tolerance.
    out: f64,
    /// How far above tolerance, on average, in psi.
    over: f64,
    /// How far below it.
    under: f64,
    /// How far above the target.
    past_up: f64,
    /// How far below it.
    past_down: f64,
}

/// How one normal lies to a line.
struct Line {
    at: f64,
    /// The share above the line.
    above: f64,
    /// How far above it, on average: `s (phi(z) + z Phi(z))`, `z = (mean - line) / s`, standard textbook form.
    excess: f64,
}

impl Line {
    fn of(part: &Part, at: f64) -> Self {
        let z = (part.mean - at) / part.sd;
        let above = normal_cdf(z);
        let density = (-0.5 * z * z).exp() / (2.0 * PI).sqrt();
        Self {
            at,
            above,
            excess: part.sd * (density + z * above),
        }
    }

    /// How far below it, on average.
    fn shortfall(&self, part: &Part) -> f64 {
        self.excess - (part.mean - self.at)
    }
}

#[cfg(test)]
mod tests {
    use super::super::ClockwiseEffect;
    use super::super::learn::{AtStart, History, Move, Read, Seen, learn};
    use super::*;
    use crate::quantity::Rate;

    fn read(psi: f64) -> Read {
        Read::of(GaugePressure::psi(psi), PressureDifference::psi(1.0))
    }

    fn wish(target: f64) -> Wish {
        Wish {
            target: GaugePressure::psi(target),
            tolerance: PressureDifference::psi(2.0),
            limits: Limits {
                turns: Some(Turns::of(0.5)),
                change: None,
            },
            on_line: false,
            resolution: PressureDifference::psi(1.0),
        }
    }

    fn planned(printed: f64, moves: &[Move], now: f64, wish: &Wish) -> NextMove {
        let estimate = learn(&History {
            printed: Rate::psi_per_turn(printed),
            clockwise: ClockwiseEffect::Raises,
            start: AtStart::TakenUp,
            moves,
            now: Some(read(now)),
        })
        .unwrap();
        next_move(&estimate, wish).unwrap()
    }

    fn moved(turns: f64, before: f64, after: f64) -> Move {
        Move {
            turns: Turns::of(turns),
            seen: Some(Seen {
                before: read(before),
                after: read(after),
            }),
        }
    }

    #[test]
    fn far_from_the_target_the_largest_move_is_made_towards_it() {
        // The worked example.
        let down = planned(15.0, &[], 62.0, &wish(50.0));
        assert_eq!(down.turns, Turns::of(-0.5));
        assert!((down.expected.reading.in_psi() - 54.5).abs() < 1e-9);
        assert_eq!((down.direction, down.leave), (Direction::CounterClockwise, None));
        assert!((down.whole.in_turns() + 0.8).abs() < 1e-9);
        assert_eq!(planned(15.0, &[], 40.0, &wish(50.0)).turns, Turns::of(0.5));
    }

    #[test]
    fn while_the_rate_is_not_sure_the_move_stops_short_and_once_it_is_it_does_not() {
        let free = Wish {
            limits: Limits::default(),
            ..wish(50.0)
        };
        let unsure = planned(15.0, &[], 72.0, &free);
        assert!(
            unsure.short && unsure.turns.in_turns() > -22.0 / 15.0,
            "{unsure:?}"
        );
        let sure = planned(
            15.0,
            &[moved(-1.0, 102.0, 87.0), moved(-1.0, 87.0, 72.0)],
            72.0,
            &free,
        );
        assert!((sure.turns.in_turns() + 22.0 / 15.0).abs() < 0.07, "{sure:?}");
        assert!(!sure.short && sure.chance > 0.9, "{sure:?}");
    }

    #[test]
    fn with_the_zone_on_line_a_move_up_is_more_careful_than_one_down() {
        let on_line = |target| Wish {
            on_line: true,
            limits: Limits::default(),
            ..wish(target)
        };
        let up = planned(15.0, &[], 42.0, &on_line(62.0)).turns.in_turns();
        let down = planned(15.0, &[], 82.0, &on_line(62.0)).turns.in_turns();
        assert!(up < -down, "{up} {down}");
    }

    #[test]
    fn with_the_zone_on_line_no_move_is_expected_to_change_more_than_the_limit() {
        let on_line = Wish {
            on_line: true,
            limits: Limits {
                turns: None,
                change: Some(PressureDifference::psi(5.0)),
            },
            ..wish(50.0)
        };
        let down = planned(15.0, &[], 80.0, &on_line);
        assert!(
            (80.0 - down.expected.reading.in_psi()) <= 5.0 && down.turns < Turns::ZERO,
            "{down:?}"
        );
    }

    #[test]
    fn a_screw_that_lowers_when_turned_clockwise_is_turned_clockwise_to_come_down() {
        let estimate = learn(&History {
            printed: Rate::psi_per_turn(15.0),
            clockwise: ClockwiseEffect::Lowers,
            start: AtStart::TakenUp,
            moves: &[],
            now: Some(read(62.0)),
        })
        .unwrap();
        let down = next_move(&estimate, &wish(50.0)).unwrap();
        assert_eq!(down.turns, Turns::of(0.5));
        assert!((down.whole.in_turns() - 0.8).abs() < 1e-9, "{down:?}");
    }

    #[test]
    fn what_is_within_tolerance_is_left() {
        for now in [49.0, 50.0, 51.0] {
            let left = planned(15.0, &[], now, &wish(50.0));
            assert_eq!(
                (left.turns, left.leave),
                (Turns::ZERO, Some(LeaveIt::WithinTolerance)),
                "{now}"
            );
        }
    }

    #[test]
    fn what_this_gauge_cannot_tell_is_left() {
        let fine = Wish {
            tolerance: PressureDifference::psi(0.1),
            ..wish(50.0)
        };
        assert_eq!(
            planned(15.0, &[], 50.0, &fine).leave,
            Some(LeaveIt::GaugeCannotTell)
        );
    }

    #[test]
    fn where_a_sixteenth_of_a_turn_is_too_much_it_is_left() {
        let moves = [moved(-0.5, 152.5, 102.5), moved(-0.5, 102.5, 52.5)];
        let coarse = planned(100.0, &moves, 52.5, &wish(50.0));
        assert_eq!(coarse.leave, Some(LeaveIt::FinerThanAHand), "{coarse:?}");
    }

    #[test]
    fn after_a_reversal_the_dead_band_is_asked_for_too() {
        // The pressure moved 15 psi a turn, and lost an eighth of a turn at each reversal.
        let moves = [
            moved(-0.5, 70.0, 63.0),
            moved(-0.5, 63.0, 55.0),
            moved(0.5, 55.0, 61.0),
            moved(-0.5, 61.0, 55.0),
        ];
        let up = planned(15.0, &moves, 55.0, &wish(60.0));
        assert!((0.375..=0.5).contains(&up.turns.in_turns()), "{up:?}");
        let on = planned(15.0, &moves, 55.0, &wish(50.0));
        assert!((-0.375..=-0.25).contains(&on.turns.in_turns()), "{on:?}");
    }

    #[test]
    fn without_a_reading_or_a_tolerance_nothing_is_planned() {
        let nothing = learn(&History {
            printed: Rate::psi_per_turn(15.0),
            clockwise: ClockwiseEffect::Raises,
            start: AtStart::TakenUp,
            moves: &[],
            now: None,
        })
        .unwrap();
        assert_eq!(next_move(&nothing, &wish(50.0)).unwrap_err().code(), "no_reading");
        let estimate = learn(&History {
            printed: Rate::psi_per_turn(15.0),
            clockwise: ClockwiseEffect::Raises,
            start: AtStart::TakenUp,
            moves: &[],
            now: Some(read(60.0)),
        })
        .unwrap();
        let none = Wish {
            tolerance: PressureDifference::ZERO,
            ..wish(50.0)
        };
        assert_eq!(
            next_move(&estimate, &none).unwrap_err().code(),
            "limit_not_positive"
        );
    }
}
