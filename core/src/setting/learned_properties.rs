//! What holds for any history of a screw, and for any next move.

use super::learn::{AtStart, Estimate, History, Move, Read, Seen, learn};
use super::{ClockwiseEffect, Limits, NextMove, Wish, next_move};
use crate::quantity::{GaugePressure, PressureDifference, Rate, Turns};
use proptest::prelude::*;

/// Fewer cases than usual: each learns from scratch.
const CASES: u32 = 48;

prop_compose! {
    fn plausible_read()(psi in 0.0_f64..200.0, resolution in 0.0_f64..5.0) -> Read {
        Read::of(GaugePressure::psi(psi), PressureDifference::psi(resolution))
    }
}

prop_compose! {
    fn plausible_move()(
        sixteenths in -24_i32..=24,
        seen in proptest::option::weighted(0.8, (plausible_read(), plausible_read())),
    ) -> Move {
        Move {
            turns: Turns::of(f64::from(sixteenths) / 16.0),
            seen: seen.map(|(before, after)| Seen { before, after }),
        }
    }
}

prop_compose! {
    fn plausible_wish()(
        target in 5.0_f64..200.0,
        tolerance in 0.1_f64..10.0,
        turns in proptest::option::of(0.05_f64..2.0),
        change in proptest::option::of(1.0_f64..20.0),
        on_line: bool,
        resolution in 0.0_f64..5.0,
    ) -> Wish {
        Wish {
            target: GaugePressure::psi(target),
            tolerance: PressureDifference::psi(tolerance),
            limits: Limits { turns: turns.map(Turns::of), change: change.map(PressureDifference::psi) },
            on_line,
            resolution: PressureDifference::psi(resolution),
        }
    }
}

fn learned(printed: f64, lowers: bool, moves: &[Move], now: Option<Read>) -> Estimate {
    learn(&History {
        printed: Rate::psi_per_turn(printed),
        clockwise: if lowers {
            ClockwiseEffect::Lowers
        } else {
            ClockwiseEffect::Raises
        },
        start: AtStart::Unknown,
        moves,
        now,
    })
    .unwrap()
}

fn finite(next: &NextMove) -> bool {
    let expected = [next.expected.low, next.expected.reading, next.expected.high];
    expected.into_iter().all(GaugePressure::is_finite)
        && next.turns.is_finite()
        && next.whole.is_finite()
        && (0.0..=1.0).contains(&next.chance)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_water_said_the_estimate_and_the_plan_are_finite_numbers_in_order(
        printed in 1.0_f64..60.0,
        lowers: bool,
        moves in proptest::collection::vec(plausible_move(), 0..4),
        now in plausible_read(),
        wish in plausible_wish(),
    ) {
        let estimate = learned(printed, lowers, &moves, Some(now));
        let [low, high] = estimate.interval();
        prop_assert!(low.is_finite() && high.is_finite() && low <= high);
        prop_assert!(estimate.rate().is_finite());
        if let Some(band) = estimate.dead_band() {
            prop_assert!(Turns::ZERO <= band.low && band.low <= band.mean && band.mean <= band.high);
        }
        match next_move(&estimate, &wish) {
            Ok(next) => {
                prop_assert!(finite(&next), "{:?}", next);
                prop_assert!(next.expected.low <= next.expected.high);
                prop_assert_eq!(next.leave.is_some(), next.turns == Turns::ZERO);
                if let Some(most) = wish.limits.turns {
                    // A sixteenth is the least that is asked of a hand.
                    prop_assert!(next.turns.abs().in_turns() <= most.in_turns().max(1.0 / 16.0) + 1e-9);
                }
            }
            Err(error) => prop_assert!(!error.code().is_empty()),
        }
    }

    #[test]
    fn whatever_is_written_nothing_panics_and_no_figure_is_infinite(
        printed: f64,
        turns in proptest::collection::vec((any::<f64>(), any::<f64>(), any::<f64>(), any::<f64>()), 0..3),
        now: f64,
        target: f64,
        tolerance: f64,
        most: Option<f64>,
    ) {
        let read = |psi: f64, noise: f64| Read {
            pressure: GaugePressure::psi(psi),
            noise: PressureDifference::psi(noise),
        };
        let moves: Vec<Move> = turns
            .iter()
            .map(|&(turns, before, after, noise)| Move {
                turns: Turns::of(turns),
                seen: Some(Seen { before: read(before, noise), after: read(after, noise) }),
            })
            .collect();
        let history = History {
            printed: Rate::psi_per_turn(printed),
            clockwise: ClockwiseEffect::Raises,
            start: AtStart::Unknown,
            moves: &moves,
            now: Some(read(now, 1.0)),
        };
        let Ok(estimate) = learn(&history) else {
            return Ok(());
        };
        let wish = Wish {
            target: GaugePressure::psi(target),
            tolerance: PressureDifference::psi(tolerance),
            limits: Limits { turns: most.map(Turns::of), change: None },
            on_line: true,
            resolution: PressureDifference::psi(1.0),
        };
        if let Ok(next) = next_move(&estimate, &wish) {
            prop_assert!(finite(&next), "{:?}", next);
        }
    }

    #[test]
    fn a_screw_that_acts_the_other_way_round_is_turned_the_other_way_round(
        printed in 5.0_f64..40.0,
        now in plausible_read(),
        wish in plausible_wish(),
    ) {
        let planned = |lowers| next_move(&learned(printed, lowers, &[], Some(now)), &wish).map(|next| next.turns);
        prop_assert_eq!(planned(false), planned(true).map(|turns| -turns));
    }
}
