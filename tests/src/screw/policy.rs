//! Two ways to bring a setting to its target, on the same screws: by the printed rate, and by the engine.

use super::{Screw, between};
use crate::dice::Dice;
use anyhow::{Context, Result};
use serde::Serialize;
use turnwise_core::quantity::{GaugePressure, PressureDifference, Rate, Turns};
use turnwise_core::setting::learn::{AtStart, History, Move, Read, Seen, learn};
use turnwise_core::setting::{
    ClockwiseEffect, LARGEST_MOVE_ISOLATED, Limits, MoveRequest, Wish, default_tolerance,
    largest_move_on_line, next_move, turn_plan,
};

/// What no policy needs: then it is given up.
const MOST: usize = 40;
/// The finest turn that a hand makes: the same for both policies.
const STEP: f64 = 1.0 / 16.0;

/// How to choose the next move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Policy {
    /// The printed rate, planned anew from every reading, until the reading is within tolerance.
    Printed,
    /// The engine: learn, choose, until it says to leave it.
    Engine,
}

/// A screw and what is asked of it.
#[derive(Clone, Debug)]
struct Task {
    screw: Screw,
    printed: Rate,
    target: f64,
    on_line: bool,
}

/// What came of one screw.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// How many moves.
    pub moves: usize,
    /// How far past the target it ever was, in psi.
    pub overshoot: f64,
    /// The largest change of one move, in psi.
    pub largest: f64,
    /// Whether it was left within tolerance.
    pub within: bool,
    /// Whether it was given up.
    pub given_up: bool,
}

/// What came of many.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Tally {
    /// Moves, on average.
    pub mean_moves: f64,
    /// 95 of 100 screws took at most so many.
    pub p95_moves: f64,
    /// How far past the target, on average, in psi.
    pub mean_overshoot_psi: f64,
    /// 95 of 100 screws went at most so far past it.
    pub p95_overshoot_psi: f64,
    /// The worst of all.
    pub worst_overshoot_psi: f64,
    /// 95 of 100 screws had no move that changed the pressure by more.
    pub p95_largest_change_psi: f64,
    /// Left within tolerance, by the real pressure.
    pub within: f64,
    /// Given up.
    pub given_up: f64,
}

/// Both policies on the same screws.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Compared {
    /// How many screws.
    pub screws: usize,
    /// By the printed rate.
    pub printed: Tally,
    /// By the engine.
    pub engine: Tally,
}

/// Brings as many screws to their targets, each by both policies. `on_line`: only zones on line, only isolated
/// stations, or both.
///
/// # Errors
/// Where the engine refuses.
pub fn compare(dice: &mut Dice, screws: usize, on_line: Option<bool>) -> Result<Compared> {
    let mut outcomes = [Vec::with_capacity(screws), Vec::with_capacity(screws)];
    for _ in 0..screws {
        let task = Task::any(dice, on_line);
        for (policy, outcomes) in [Policy::Printed, Policy::Engine].into_iter().zip(&mut outcomes) {
            outcomes.push(task.clone().done_by(policy)?);
        }
    }
    let [printed, engine] = outcomes.map(|all| Tally::of(&all));
    Ok(Compared {
        screws,
        printed,
        engine,
    })
}

impl Task {
    /// Rate off by up to 40 %, dead band up to 0.15 turn with the play anywhere in it, a gauge of 0.5 to 2 psi,
    /// 3 to 40 psi to go, up or down.
    fn any(dice: &mut Dice, on_line: Option<bool>) -> Self {
        let printed = [9.0, 15.0, 27.0][index(dice, 3)];
        let resolution = [0.5, 1.0, 2.0][index(dice, 3)];
        let target = between(dice, 35.0, 90.0).round();
        let way = if dice.below(2) == 0 { -1.0 } else { 1.0 };
        let from = (target + way * between(dice, 3.0, 40.0)).max(5.0);
        let on_line = on_line.unwrap_or_else(|| dice.below(2) == 0);
        let rate = printed * between(dice, 0.6, 1.4);
        let band = between(dice, 0.0, 0.15);
        Self {
            screw: Screw::new(rate, band, resolution, from, between(dice, 0.0, 1.0)),
            printed: Rate::psi_per_turn(printed),
            target,
            on_line,
        }
    }

    fn done_by(mut self, policy: Policy) -> Result<Outcome> {
        let from = self.screw.pressure();
        let way = (self.target - from).signum();
        let tolerance = default_tolerance(GaugePressure::psi(self.target));
        let mut outcome = Outcome {
            moves: 0,
            overshoot: 0.0,
            largest: 0.0,
            within: false,
            given_up: false,
        };
        let mut made: Vec<Move> = Vec::new();
        loop {
            let turns = match policy {
                Policy::Printed => self.by_printed_rate(tolerance)?,
                Policy::Engine => self.by_engine(&made, tolerance)?,
            };
            if turns == Turns::ZERO {
                break;
            }
            if outcome.moves == MOST {
                outcome.given_up = true;
                break;
            }
            let (before, read) = (self.screw.pressure(), self.reading());
            self.screw.turn(turns.in_turns());
            let after = self.screw.pressure();
            made.push(Move {
                turns,
                seen: Some(Seen {
                    before: read,
                    after: self.reading(),
                }),
            });
            outcome.moves += 1;
            outcome.overshoot = outcome.overshoot.max((after - self.target) * way);
            outcome.largest = outcome.largest.max((after - before).abs());
        }
        outcome.within = (self.screw.pressure() - self.target).abs() <= tolerance.in_psi();
        Ok(outcome)
    }

    fn reading(&self) -> Read {
        Read::of(self.screw.read(), PressureDifference::psi(self.screw.resolution))
    }

    fn limits(&self) -> Limits {
        if self.on_line {
            Limits {
                turns: None,
                change: Some(largest_move_on_line()),
            }
        } else {
            Limits {
                turns: Some(LARGEST_MOVE_ISOLATED),
                change: None,
            }
        }
    }

    fn by_printed_rate(&self, tolerance: PressureDifference) -> Result<Turns> {
        let (from, to) = (self.screw.read(), GaugePressure::psi(self.target));
        if (from - to).abs() <= tolerance {
            return Ok(Turns::ZERO);
        }
        let plan = turn_plan(&MoveRequest {
            from,
            to,
            rate: self.printed,
            clockwise: ClockwiseEffect::Raises,
            range: None,
            inlet: None,
            min_differential: None,
            limits: self.limits(),
        })?;
        let turns = plan.moves.first().context("a plan without a move")?.in_turns();
        let steps = (turns / STEP).round();
        let steps = if steps == 0.0 { turns.signum() } else { steps };
        Ok(Turns::of(steps * STEP))
    }

    fn by_engine(&self, made: &[Move], tolerance: PressureDifference) -> Result<Turns> {
        let estimate = learn(&History {
            printed: self.printed,
            clockwise: ClockwiseEffect::Raises,
            start: AtStart::Unknown,
            moves: made,
            now: Some(self.reading()),
        })?;
        let next = next_move(
            &estimate,
            &Wish {
                target: GaugePressure::psi(self.target),
                tolerance,
                limits: self.limits(),
                on_line: self.on_line,
                resolution: PressureDifference::psi(self.screw.resolution),
            },
        )?;
        Ok(next.turns)
    }
}

fn index(dice: &mut Dice, bound: u64) -> usize {
    usize::try_from(dice.below(bound)).unwrap_or_default()
}

impl Tally {
    #[expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]
    fn of(outcomes: &[Outcome]) -> Self {
        let count = outcomes.len() as f64;
        let mean = |of: fn(&Outcome) -> f64| outcomes.iter().map(of).sum::<f64>() / count;
        let at = |share: usize, of: fn(&Outcome) -> f64| {
            let mut all: Vec<f64> = outcomes.iter().map(of).collect();
            all.sort_unstable_by(f64::total_cmp);
            let last = all.len().saturating_sub(1);
            all.get((all.len() * share / 100).min(last))
                .copied()
                .unwrap_or_default()
        };
        let moves = |outcome: &Outcome| outcome.moves as f64;
        let overshoot = |outcome: &Outcome| outcome.overshoot;
        Self {
            mean_moves: mean(moves),
            p95_moves: at(95, moves),
            mean_overshoot_psi: mean(overshoot),
            p95_overshoot_psi: at(95, overshoot),
            worst_overshoot_psi: at(100, overshoot),
            p95_largest_change_psi: at(95, |outcome| outcome.largest),
            within: mean(|outcome| f64::from(u8::from(outcome.within))),
            given_up: mean(|outcome| f64::from(u8::from(outcome.given_up))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A hundred screws by fixed throws: the two are far enough apart for it.
    #[test]
    fn the_engine_needs_fewer_moves_and_overshoots_less_than_the_printed_rate() {
        let Compared { printed, engine, .. } = compare(&mut Dice::of(20_240_229), 100, None).unwrap();
        assert!(engine.mean_moves < printed.mean_moves, "{engine:?} {printed:?}");
        assert!(
            engine.mean_overshoot_psi < printed.mean_overshoot_psi,
            "{engine:?} {printed:?}"
        );
        assert!(
            engine.p95_overshoot_psi < printed.p95_overshoot_psi,
            "{engine:?} {printed:?}"
        );
        assert!(
            engine.worst_overshoot_psi < printed.worst_overshoot_psi,
            "{engine:?} {printed:?}"
        );
        assert!(engine.within > printed.within, "{engine:?} {printed:?}");
        assert!(engine.given_up <= printed.given_up, "{engine:?} {printed:?}");
    }
}
