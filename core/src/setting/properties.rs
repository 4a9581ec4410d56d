//! What holds for any plan.

use super::{
    ClockwiseEffect, Direction, Finest, Limits, MoveRequest, PlainFraction, expected_reading, turn_plan,
    way_back,
};
use crate::quantity::{GaugePressure, PressureDifference, Rate, Turns};
use proptest::prelude::*;

prop_compose! {
    fn any_request()(
        from in 0.0_f64..300.0,
        to in 0.0_f64..300.0,
        rate in 1.0_f64..60.0,
        lowers: bool,
        turns in proptest::option::of(0.05_f64..2.0),
        change in proptest::option::of(1.0_f64..20.0),
    ) -> MoveRequest {
        MoveRequest {
            from: GaugePressure::psi(from),
            to: GaugePressure::psi(to),
            rate: Rate::psi_per_turn(rate),
            clockwise: if lowers { ClockwiseEffect::Lowers } else { ClockwiseEffect::Raises },
            range: None,
            inlet: None,
            min_differential: None,
            limits: Limits { turns: turns.map(Turns::of), change: change.map(PressureDifference::psi) },
        }
    }
}

proptest! {
    #[test]
    fn the_moves_sum_to_the_turns_to_the_last_bit(request in any_request()) {
        let plan = turn_plan(&request).unwrap();
        prop_assert_eq!(plan.moves.iter().copied().sum::<Turns>(), plan.turns);
    }

    #[test]
    fn no_move_is_over_a_limit_and_one_move_fewer_would_be(request in any_request()) {
        let plan = turn_plan(&request).unwrap();
        let over = |each: f64, by: f64| {
            let turns = request.limits.turns.is_some_and(|limit| each > limit.in_turns() * by);
            let change = request
                .limits
                .change
                .is_some_and(|limit| each * request.rate.in_psi_per_turn() > limit.in_psi() * by);
            turns || change
        };
        for each in &plan.moves {
            prop_assert!(!over(each.abs().in_turns(), 1.0 + 1e-9), "{:?}", plan);
        }
        if plan.moves.len() > 1 {
            let fewer = f64::from(u32::try_from(plan.moves.len() - 1).unwrap());
            prop_assert!(over(plan.turns.abs().in_turns() / fewer, 1.0 - 1e-9), "{:?}", plan);
        }
    }

    #[test]
    fn all_moves_are_equal_and_go_the_way_of_the_plan(request in any_request()) {
        let plan = turn_plan(&request).unwrap();
        for each in &plan.moves {
            prop_assert_eq!(Direction::of(*each), plan.direction);
            prop_assert!((*each - plan.moves[0]).abs().in_turns() < 1e-12 * (1.0 + plan.turns.abs().in_turns()));
        }
    }

    #[test]
    fn the_direction_agrees_with_the_sign_and_with_the_change(request in any_request()) {
        let plan = turn_plan(&request).unwrap();
        prop_assert_eq!(plan.direction, Direction::of(plan.turns));
        let raises = request.to > request.from;
        let clockwise = plan.direction == Direction::Clockwise;
        if plan.direction != Direction::None {
            prop_assert_eq!(clockwise, raises == (request.clockwise == ClockwiseEffect::Raises));
        }
    }

    #[test]
    fn making_the_moves_leads_to_the_target_and_the_way_back_leads_home(request in any_request()) {
        let plan = turn_plan(&request).unwrap();
        let step = |at, turn| expected_reading(at, turn, request.rate, request.clockwise);
        let there = plan.moves.iter().copied().fold(request.from, step);
        prop_assert!((there - request.to).abs().in_psi() < 1e-9);
        let home = step(there, way_back(plan.moves.iter().copied()));
        // The way back leaves off less than a millionth of a turn.
        prop_assert!((home - request.from).abs().in_psi() < 1e-4);
    }

    #[test]
    fn a_fraction_is_no_farther_off_than_half_its_finest_part(turns in -40.0_f64..40.0) {
        for (finest, part) in [(Finest::Eighth, 0.125), (Finest::Sixteenth, 0.0625)] {
            let said = PlainFraction::nearest(Turns::of(turns), finest).unwrap();
            prop_assert!((said.in_turns() - turns.abs()).abs() <= part / 2.0 + 1e-12);
        }
    }

    #[test]
    fn whatever_is_asked_nothing_is_infinite(
        from: f64, to: f64, rate: f64, turns: Option<f64>, change: Option<f64>,
    ) {
        let request = MoveRequest {
            from: GaugePressure::psi(from),
            to: GaugePressure::psi(to),
            rate: Rate::psi_per_turn(rate),
            clockwise: ClockwiseEffect::Raises,
            range: None,
            inlet: None,
            min_differential: None,
            limits: Limits { turns: turns.map(Turns::of), change: change.map(PressureDifference::psi) },
        };
        if let Ok(plan) = turn_plan(&request) {
            prop_assert!(plan.turns.is_finite() && plan.moves.iter().all(|each| each.is_finite()));
        }
    }
}
