//! What is learned, case by case.

use super::*;

/// A move of `turns` between two readings of a gauge of this resolution.
fn moved(turns: f64, before: f64, after: f64, resolution: f64) -> Move {
    let read = |psi| Read::of(GaugePressure::psi(psi), PressureDifference::psi(resolution));
    Move {
        turns: Turns::of(turns),
        seen: Some(Seen {
            before: read(before),
            after: read(after),
        }),
    }
}

fn unseen(turns: f64) -> Move {
    Move {
        turns: Turns::of(turns),
        seen: None,
    }
}

fn history(printed: f64, moves: &[Move]) -> History<'_> {
    History {
        printed: Rate::psi_per_turn(printed),
        clockwise: ClockwiseEffect::Raises,
        start: AtStart::TakenUp,
        moves,
        now: None,
    }
}

fn learned(printed: f64, moves: &[Move]) -> Estimate {
    learn(&history(printed, moves)).unwrap()
}

fn rate(estimate: &Estimate) -> f64 {
    estimate.rate().in_psi_per_turn()
}

fn interval(estimate: &Estimate) -> [f64; 2] {
    estimate.interval().map(Rate::in_psi_per_turn)
}

fn codes(estimate: &Estimate) -> Vec<&'static str> {
    estimate.warnings().iter().map(|warning| warning.code()).collect()
}

/// Readings that a screw of this rate and dead band gives to these turns, to the gauge's resolution.
fn chain(rate: f64, band: f64, from: f64, turns: &[f64], resolution: f64) -> Vec<Move> {
    let mut play = play::Play::taken_up(band, turns[0]);
    let shown = |psi: f64| (psi / resolution).round() * resolution;
    let mut at = from;
    turns
        .iter()
        .map(|&turns| {
            let before = at;
            at += rate * play.turn(turns);
            moved(turns, shown(before), shown(at), resolution)
        })
        .collect()
}

#[test]
fn without_a_move_the_printed_rate_stands_with_twenty_percent() {
    let nothing = learned(15.0, &[]);
    assert!((rate(&nothing) - 15.0).abs() < 1e-9);
    let [low, high] = interval(&nothing);
    assert!((low - 15.0 * (1.0 - 0.2 * 1.959_964)).abs() < 1e-4 && (high - 15.0 * 1.391_993).abs() < 1e-4);
    assert_eq!(nothing.dead_band(), None);
    assert_eq!(codes(&nothing), [""; 0]);
}

#[test]
fn one_move_pulls_the_rate_by_the_conjugate_normal() {
    let one = learned(15.0, &[moved(-0.5, 70.0, 62.0, 1.0)]);
    // The worked example: 15.93, give or take what the thought of a fault leaves with the prior.
    assert!((rate(&one) - 15.93).abs() < 0.05, "{}", rate(&one));
}

#[test]
fn a_move_that_nobody_saw_teaches_nothing_about_the_rate() {
    let seen = [moved(-0.5, 70.0, 62.0, 1.0)];
    let with_unseen = [seen[0], unseen(-0.5)];
    assert!((rate(&learned(15.0, &seen)) - rate(&learned(15.0, &with_unseen))).abs() < 1e-12);
    let only = learned(15.0, &[unseen(-0.5), unseen(0.25)]);
    assert!((rate(&only) - 15.0).abs() < 1e-9);
    assert_eq!(only.dead_band(), None);
}

#[test]
fn moves_that_share_a_reading_share_its_error() {
    // The same whole turn in one move or in four that carry on: the ends are what counts.
    let one = learned(15.0, &[moved(-1.0, 70.0, 52.0, 1.0)]);
    let four = learned(15.0, &chain(18.0, 0.0, 70.0, &[-0.25; 4], 0.5));
    let four_coarse = learned(
        15.0,
        &[
            moved(-0.25, 70.0, 66.0, 1.0),
            moved(-0.25, 66.0, 61.0, 1.0),
            moved(-0.25, 61.0, 57.0, 1.0),
            moved(-0.25, 57.0, 52.0, 1.0),
        ],
    );
    let width = |estimate: &Estimate| {
        let [low, high] = interval(estimate);
        high - low
    };
    assert!(width(&four) < width(&one));
    assert!(
        width(&four_coarse) < 1.2 * width(&one),
        "{} {}",
        width(&four_coarse),
        width(&one)
    );
}

#[test]
fn a_reversal_shows_the_dead_band_and_leaves_the_rate_alone() {
    let moves = chain(18.0, 0.12, 70.0, &[-0.5, -0.5, 0.25, 0.25, -0.5], 0.5);
    let estimate = learned(15.0, &moves);
    let band = estimate.dead_band().unwrap();
    assert!((band.mean.in_turns() - 0.12).abs() < 0.02, "{band:?}");
    assert!(band.low.in_turns() < 0.12 && band.high.in_turns() > 0.12);
    assert!((rate(&estimate) - 18.0).abs() < 0.5, "{}", rate(&estimate));
    assert_eq!(codes(&estimate), ["dead_band_large"]);
}

#[test]
fn a_reversal_that_nobody_saw_still_moves_the_play() {
    // Down unseen, then up: the first tenth of a turn up is lost, and must not be taken for a soft spring.
    let mut moves = vec![unseen(-0.5)];
    moves.extend(
        chain(15.0, 0.1, 50.0, &[-0.0001, 0.25, 0.25, 0.25], 0.25)
            .into_iter()
            .skip(1),
    );
    let estimate = learned(15.0, &moves);
    assert!((rate(&estimate) - 15.0).abs() < 0.4, "{}", rate(&estimate));
    assert!((estimate.dead_band().unwrap().mean.in_turns() - 0.1).abs() < 0.03);
}

#[test]
fn one_wrong_reading_is_found_and_left_out_wherever_it_stands() {
    for wrong in 1..4 {
        for by in [-10.0, 10.0] {
            let mut moves = chain(17.0, 0.0, 80.0, &[-0.25, -0.25, -0.5, -0.25], 0.5);
            let shift = PressureDifference::psi(by);
            let after = |made: &mut Move| {
                made.seen
                    .as_mut()
                    .map(|seen| seen.after.pressure = seen.after.pressure + shift)
            };
            let before = |made: &mut Move| {
                made.seen
                    .as_mut()
                    .map(|seen| seen.before.pressure = seen.before.pressure + shift)
            };
            assert!(after(&mut moves[wrong - 1]).is_some() && before(&mut moves[wrong]).is_some());
            let estimate = learned(15.0, &moves);
            assert!(
                (rate(&estimate) - 17.0).abs() < 0.6,
                "{wrong} {by}: {}",
                rate(&estimate)
            );
            assert_eq!(codes(&estimate), ["doubtful_reading"], "{wrong} {by}");
        }
    }
}

#[test]
fn an_answer_the_other_way_is_called_so_and_teaches_no_rate() {
    let one = learned(15.0, &[moved(-0.25, 60.0, 64.0, 1.0)]);
    assert_eq!(codes(&one), ["wrong_way"]);
    let two = learned(
        15.0,
        &[moved(-0.25, 60.0, 64.0, 1.0), moved(0.5, 64.0, 56.0, 1.0)],
    );
    assert_eq!(codes(&two), ["wrong_way"]);
    assert!((rate(&two) - 15.0).abs() < 1e-6);
    // Once it is on record that this screw works the other way, the same moves teach.
    let reversed = learn(&History {
        clockwise: ClockwiseEffect::Lowers,
        ..history(
            15.0,
            &[moved(-0.25, 60.0, 64.0, 1.0), moved(-0.5, 64.0, 72.0, 1.0)],
        )
    })
    .unwrap();
    assert_eq!(codes(&reversed), [""; 0]);
    assert!((rate(&reversed) - 16.0).abs() < 0.3, "{}", rate(&reversed));
}

#[test]
fn no_answer_is_called_so_and_is_not_taken_for_a_soft_spring() {
    let stuck = learned(
        15.0,
        &[moved(-0.25, 60.0, 60.0, 1.0), moved(-0.5, 60.0, 60.0, 1.0)],
    );
    assert_eq!(codes(&stuck), ["no_answer"]);
    assert!((rate(&stuck) - 15.0).abs() < 1e-6);
    // A turn too small to show, and one that a dead band can swallow, are no such case.
    assert_eq!(codes(&learned(15.0, &[moved(-0.0625, 60.0, 60.0, 1.0)])), [""; 0]);
    let reversed = learned(
        15.0,
        &[moved(-0.5, 60.0, 53.0, 1.0), moved(0.125, 53.0, 53.0, 1.0)],
    );
    assert_eq!(codes(&reversed), ["dead_band_large"]);
}

#[test]
fn answers_that_fit_no_recorded_spring_are_another_spring() {
    let soft = learned(27.0, &chain(15.0, 0.0, 90.0, &[-0.5, -0.5, -0.5], 1.0));
    assert_eq!(codes(&soft), ["other_spring"]);
    assert!((rate(&soft) - 15.0).abs() < 1.0, "{}", rate(&soft));
    let stiff = learned(15.0, &chain(27.0, 0.0, 120.0, &[-0.5, -0.5, -0.5], 1.0));
    assert_eq!(codes(&stiff), ["other_spring"]);
    assert!((rate(&stiff) - 27.0).abs() < 1.5, "{}", rate(&stiff));
    let usual = learned(15.0, &chain(17.5, 0.0, 90.0, &[-0.5, -0.5, -0.5], 1.0));
    assert_eq!(codes(&usual), [""; 0]);
}

#[test]
fn the_next_reading_is_expected_with_what_is_not_known() {
    let now = Some(Read::of(GaugePressure::psi(60.0), PressureDifference::psi(1.0)));
    let estimate = learn(&History {
        now,
        ..history(27.0, &[])
    })
    .unwrap();
    let noise = reading_noise(PressureDifference::psi(1.0));
    let down = estimate.expected(Turns::of(-0.25), noise).unwrap();
    // The worked example: 53.25, give or take 2.77 psi.
    assert!((down.reading.in_psi() - 53.25).abs() < 1e-9);
    assert!(((down.high - down.low).in_psi() - 2.0 * 2.77).abs() < 0.02);
    assert_eq!(learned(27.0, &[]).expected(Turns::of(-0.25), noise), None);
}

#[test]
fn after_a_reversal_less_is_expected_of_a_turn() {
    let moves = chain(15.0, 0.15, 70.0, &[-0.5, 0.5, -0.5, 0.5], 0.25);
    let estimate = learned(15.0, &moves);
    let noise = reading_noise(PressureDifference::psi(0.25));
    let now = estimate.expected(Turns::ZERO, noise).unwrap().reading;
    let by = |turns| (estimate.expected(Turns::of(turns), noise).unwrap().reading - now).in_psi();
    assert!((by(0.25) - 3.75).abs() < 0.3, "{}", by(0.25));
    assert!((by(-0.25) + 1.5).abs() < 0.5, "{}", by(-0.25));
}

#[test]
fn what_makes_no_sense_is_refused_by_a_stable_code() {
    let refused = |printed, moves: &[Move]| learn(&history(printed, moves)).unwrap_err().code();
    assert_eq!(refused(0.0, &[]), "rate_not_positive");
    assert_eq!(refused(f64::NAN, &[]), "not_finite");
    assert_eq!(refused(15.0, &[unseen(f64::INFINITY)]), "not_finite");
    assert_eq!(
        refused(15.0, &vec![unseen(0.1); MOST_MOVES + 1]),
        "too_many_moves"
    );
    let mut silent = moved(0.5, 60.0, 67.0, 1.0);
    if let Some(seen) = silent.seen.as_mut() {
        seen.after.noise = PressureDifference::ZERO;
    }
    assert_eq!(refused(15.0, &[silent]), "noise_not_positive");
}

#[test]
fn figures_beyond_all_reason_give_no_number_that_is_none() {
    for (turns, before, after, printed) in [
        (1e300, 60.0, 1e300, 15.0),
        (1e-300, 60.0, 70.0, 15.0),
        (0.5, 1e300, -1e300, 1e-300),
        (0.5, 60.0, 67.0, 1e300),
    ] {
        match learn(&history(printed, &[moved(turns, before, after, 1.0); 3])) {
            Ok(estimate) => {
                let [low, high] = interval(&estimate);
                assert!(rate(&estimate).is_finite() && low.is_finite() && high.is_finite());
            }
            Err(error) => assert_eq!(error, LearnError::NotFinite),
        }
    }
}

#[test]
fn a_warning_is_its_code_in_json() {
    for warning in LearnWarning::ALL {
        assert_eq!(serde_json::to_value(warning).unwrap(), warning.code());
    }
}
