//! From where the setting is to where it must go: turns, direction, moves.

use super::warning::{Warning, warnings};
use super::{ClockwiseEffect, Direction, SpringRange};
use crate::quantity::{GaugePressure, PressureDifference, Rate, Turns};
use thiserror::Error;

/// The most moves a plan may have. More is a slip in a limit, not work for a person.
pub const MOST_MOVES: usize = 10_000;

/// What a plan is made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoveRequest {
    /// What the outlet reads now, with water moving.
    pub from: GaugePressure,
    /// What it shall read.
    pub to: GaugePressure,
    /// Change of setting per turn.
    pub rate: Rate,
    /// What a turn clockwise was seen to do.
    pub clockwise: ClockwiseEffect,
    /// The spring's adjustment range, where known.
    pub range: Option<SpringRange>,
    /// The inlet pressure, where known.
    pub inlet: Option<GaugePressure>,
    /// The least difference between inlet and outlet that the valve needs, where known.
    pub min_differential: Option<PressureDifference>,
    /// How far one move may go.
    pub limits: Limits,
}

/// How far one move may go before somebody waits and reads again.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// In turns.
    pub turns: Option<Turns>,
    /// In change of setting.
    pub change: Option<PressureDifference>,
}

/// How to turn the screw.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnPlan {
    /// All of it, clockwise positive.
    pub turns: Turns,
    /// Which way.
    pub direction: Direction,
    /// The moves to make one after the other, as few and as equal as the limits allow. Their sum, taken in
    /// order, is [`Self::turns`] to the last bit. Empty where nothing is to be turned.
    pub moves: Vec<Turns>,
    /// What to know before turning.
    pub warnings: Vec<Warning>,
}

/// Why no plan can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum PlanError {
    /// A rate of zero or less. A screw that works the other way is said by [`MoveRequest::clockwise`].
    #[error("the rate is not above zero")]
    RateNotPositive,
    /// A largest move of zero or less.
    #[error("the largest move is not above zero")]
    LimitNotPositive,
    /// A minimum differential below zero.
    #[error("the minimum differential is below zero")]
    NegativeDifferential,
    /// The limits are so small that the plan would have more than [`MOST_MOVES`] moves.
    #[error("more than {MOST_MOVES} moves: the largest move is too small")]
    TooManyMoves,
    /// A figure is not finite, or the arithmetic overflows.
    #[error("not a finite number")]
    NotFinite,
}

impl PlanError {
    /// The stable code of this error.
    pub fn code(self) -> &'static str {
        match self {
            Self::RateNotPositive => "rate_not_positive",
            Self::LimitNotPositive => "limit_not_positive",
            Self::NegativeDifferential => "negative_differential",
            Self::TooManyMoves => "too_many_moves",
            Self::NotFinite => "not_finite",
        }
    }
}

/// Plans the way from one setting to another.
///
/// Equation: `turns = (to - from) / rate`, clockwise positive (negated where clockwise lowers). Split into
/// `n = ceil(|turns| / limit)` equal moves, where the limit is the smaller of the largest move in turns and
/// the largest change divided by the rate; no limit, one move.
/// Units: pressures by the gauge; rate in pressure per turn. Range: the spring's adjustment range, water
/// moving, lock nut slack; friction's dead band on reversal is not in it.
/// Source: common practice, no source.
/// Examples: 27 psi per turn, 60 to 35 psi: -0.926 turn; 40 to 35 psi: -0.185 turn, 67 degrees
/// counter-clockwise. 15 psi per turn, 70 to 52 psi: -1.2 turns.
///
/// # Errors
/// See [`PlanError`].
pub fn turn_plan(request: &MoveRequest) -> Result<TurnPlan, PlanError> {
    let MoveRequest {
        from,
        to,
        rate,
        clockwise,
        limits,
        ..
    } = *request;
    if !(rate.is_finite() && from.is_finite() && to.is_finite()) {
        return Err(PlanError::NotFinite);
    }
    if rate.in_psi_per_turn() <= 0.0 {
        return Err(PlanError::RateNotPositive);
    }
    let limit = largest_move(limits, rate)?;
    let warnings = warnings(request)?;
    let turns = (to - from) / rate * clockwise.sign();
    if !turns.is_finite() {
        return Err(PlanError::NotFinite);
    }
    // Nothing to turn is 0, never -0.
    let turns = if turns == Turns::ZERO { Turns::ZERO } else { turns };
    Ok(TurnPlan {
        turns,
        direction: Direction::of(turns),
        moves: split(turns, limit)?,
        warnings,
    })
}

/// What the outlet should read once a move has settled.
///
/// Equation: `after = before + turns rate` (minus, where clockwise lowers). Units: gauge pressure, turns
/// clockwise positive, pressure per turn. Range and source: as [`turn_plan`].
/// Example: 60 psi, a quarter turn counter-clockwise at 27 psi per turn: 53.25 psi.
pub fn expected_reading(
    before: GaugePressure,
    turns: Turns,
    rate: Rate,
    clockwise: ClockwiseEffect,
) -> GaugePressure {
    before + rate * turns * clockwise.sign()
}

/// The smaller of the limits, in turns.
fn largest_move(limits: Limits, rate: Rate) -> Result<Option<Turns>, PlanError> {
    let by_change = limits.change.map(|change| change / rate);
    let mut smallest: Option<Turns> = None;
    for limit in [limits.turns, by_change].into_iter().flatten() {
        if !limit.is_finite() {
            return Err(PlanError::NotFinite);
        }
        if limit <= Turns::ZERO {
            return Err(PlanError::LimitNotPositive);
        }
        smallest = Some(smallest.filter(|&other| other < limit).unwrap_or(limit));
    }
    Ok(smallest)
}

/// As few equal moves as the limit allows. The last one takes up what rounding left.
fn split(turns: Turns, limit: Option<Turns>) -> Result<Vec<Turns>, PlanError> {
    if turns == Turns::ZERO {
        return Ok(Vec::new());
    }
    let Some(limit) = limit else {
        return Ok(vec![turns]);
    };
    // A quotient a rounding error above a whole number is that number: 0.9 turn in moves of 0.3 is three.
    let fewest = (turns.abs().in_turns() / limit.in_turns() * (1.0 - 1e-12))
        .ceil()
        .max(1.0);
    let count = whole(fewest).ok_or(PlanError::TooManyMoves)?;
    let each = turns / fewest;
    let mut moves = vec![each; count - 1];
    let so_far = moves.iter().copied().sum();
    moves.push(turns - so_far);
    Ok(moves)
}

/// A number of moves, where it is one that a plan may have.
fn whole(count: f64) -> Option<usize> {
    #[expect(clippy::cast_precision_loss, reason = "ten thousand is exact in a double")]
    let most = MOST_MOVES as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and ten thousand"
    )]
    (1.0..=most).contains(&count).then_some(count as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from_to(from: f64, to: f64, rate: f64) -> MoveRequest {
        MoveRequest {
            from: GaugePressure::psi(from),
            to: GaugePressure::psi(to),
            rate: Rate::psi_per_turn(rate),
            clockwise: ClockwiseEffect::Raises,
            range: None,
            inlet: None,
            min_differential: None,
            limits: Limits::default(),
        }
    }

    /// Common practice, no source: plain arithmetic on a 30-300 psi spring of 27 psi per turn.
    #[test]
    fn lowering_turns_counter_clockwise_by_the_change_over_the_rate() {
        let plan = turn_plan(&from_to(60.0, 35.0, 27.0)).unwrap();
        assert!((plan.turns.in_turns() + 0.926).abs() < 5e-4);
        let plan = turn_plan(&from_to(40.0, 35.0, 27.0)).unwrap();
        assert!((plan.turns.in_turns() + 0.185).abs() < 5e-4);
        assert!((plan.turns.in_degrees() + 67.0).abs() < 0.5);
        assert_eq!(plan.direction, Direction::CounterClockwise);
        assert_eq!(plan.moves, [plan.turns]);
        // 15 psi per turn, 70 to 52 psi.
        let plan = turn_plan(&from_to(70.0, 52.0, 15.0)).unwrap();
        assert!((plan.turns.in_turns() + 1.2).abs() < 1e-12);
    }

    #[test]
    fn nothing_to_change_turns_nothing() {
        let plan = turn_plan(&from_to(50.0, 50.0, 15.0)).unwrap();
        assert_eq!((plan.turns, plan.direction), (Turns::ZERO, Direction::None));
        assert!(plan.moves.is_empty() && plan.turns.in_turns().is_sign_positive());
    }

    #[test]
    fn the_smaller_limit_decides_into_how_many_equal_moves() {
        let moves = |turns: Option<f64>, change: Option<f64>| {
            let limits = Limits {
                turns: turns.map(Turns::of),
                change: change.map(PressureDifference::psi),
            };
            turn_plan(&MoveRequest {
                limits,
                ..from_to(70.0, 52.0, 15.0)
            })
            .unwrap()
            .moves
            .len()
        };
        assert_eq!(moves(Some(0.5), None), 3);
        assert_eq!(moves(None, Some(5.0)), 4);
        assert_eq!(moves(Some(0.5), Some(5.0)), 4);
        assert_eq!(moves(Some(1.2), None), 1);
        assert_eq!(moves(Some(0.6), None), 2);
        assert_eq!(moves(Some(0.3), None), 4);
        assert_eq!(moves(Some(0.1), None), 12);
    }

    #[test]
    fn a_screw_seen_to_work_backwards_is_turned_the_other_way() {
        let request = MoveRequest {
            clockwise: ClockwiseEffect::Lowers,
            ..from_to(70.0, 52.0, 15.0)
        };
        let plan = turn_plan(&request).unwrap();
        assert_eq!(plan.direction, Direction::Clockwise);
        assert_eq!(plan.warnings, [Warning::ReversedScrew]);
        let after = expected_reading(request.from, plan.turns, request.rate, request.clockwise);
        assert!((after.in_psi() - 52.0).abs() < 1e-9);
    }

    #[test]
    fn the_expected_reading_is_the_reading_plus_what_the_turn_does() {
        let after = expected_reading(
            GaugePressure::psi(60.0),
            Turns::of(-0.25),
            Rate::psi_per_turn(27.0),
            ClockwiseEffect::Raises,
        );
        assert!((after.in_psi() - 53.25).abs() < 1e-12);
    }

    #[test]
    fn figures_that_make_no_plan_are_refused() {
        let code = |request: &MoveRequest| turn_plan(request).unwrap_err().code();
        let limits = |turns: f64| Limits {
            turns: Some(Turns::of(turns)),
            change: None,
        };
        let good = from_to(70.0, 52.0, 15.0);
        assert_eq!(code(&from_to(70.0, 52.0, 0.0)), "rate_not_positive");
        assert_eq!(code(&from_to(70.0, 52.0, -15.0)), "rate_not_positive");
        assert_eq!(code(&from_to(f64::NAN, 52.0, 15.0)), "not_finite");
        assert_eq!(code(&from_to(1e300, 52.0, 1e-300)), "not_finite");
        assert_eq!(
            code(&MoveRequest {
                limits: limits(0.0),
                ..good
            }),
            "limit_not_positive"
        );
        assert_eq!(
            code(&MoveRequest {
                limits: limits(-1.0),
                ..good
            }),
            "limit_not_positive"
        );
        assert_eq!(
            code(&MoveRequest {
                limits: limits(1e-9),
                ..good
            }),
            "too_many_moves"
        );
        assert_eq!(
            code(&MoveRequest {
                limits: limits(f64::INFINITY),
                ..good
            }),
            "not_finite"
        );
        let min_differential = Some(PressureDifference::psi(-1.0));
        assert_eq!(
            code(&MoveRequest {
                min_differential,
                ..good
            }),
            "negative_differential"
        );
    }
}
