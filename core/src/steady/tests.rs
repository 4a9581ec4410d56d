//! Synthetic pressures at many sampling rates, with noise from a seeded source.

use super::*;
use std::f64::consts::TAU;

/// A seeded source of noise (split-mix and the polar form of Box and Muller).
struct Noise(u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        f64::from(u32::try_from(z >> 32).unwrap()) / f64::from(u32::MAX)
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.uniform().max(1e-12).ln()).sqrt() * (TAU * self.uniform()).cos()
    }
}

/// `span` seconds at `rate` samples a second, with noise of `sigma` psi.
fn series(rate: f64, span: f64, sigma: f64, seed: u64, psi: impl Fn(f64) -> f64) -> Vec<Sample> {
    let mut noise = Noise(seed);
    let mut samples = Vec::new();
    let mut at_s = 0.0;
    while at_s <= span {
        samples.push(Sample {
            at_s,
            psi: psi(at_s) + sigma * noise.normal(),
        });
        at_s += 1.0 / rate;
    }
    samples
}

fn keyed(readings: &[(f64, f64)]) -> Vec<Sample> {
    readings.iter().map(|&(at_s, psi)| Sample { at_s, psi }).collect()
}

fn state(samples: &[Sample]) -> State {
    judge(samples, None).unwrap().state
}

const RATES: [f64; 5] = [0.1, 0.5, 1.0, 4.0, 10.0];

#[test]
fn a_level_with_noise_is_steady_from_its_beginning_at_every_rate() {
    for rate in RATES {
        let verdict = judge(&series(rate, 200.0, 0.1, 1, |_| 60.0), None).unwrap();
        assert_eq!(verdict.state, State::Steady, "{rate}: {verdict:?}");
        assert_eq!(verdict.settled_at_s, Some(0.0), "{rate}");
        assert!((verdict.mean_psi - 60.0).abs() < 0.1, "{rate}: {verdict:?}");
    }
}

#[test]
fn an_exponential_has_settled_when_it_enters_the_band() {
    for rate in RATES {
        for sigma in [0.0, 0.1] {
            let samples = series(rate, 300.0, sigma, 2, |t| 60.0 + 10.0 * (-t / 20.0).exp());
            let verdict = judge(&samples, None).unwrap();
            assert_eq!(verdict.state, State::Steady, "{rate} {sigma}: {verdict:?}");
            // 20 s times the logarithm of 10 psi over the 0.6 psi band.
            let expected = 20.0 * (10.0_f64 / 0.6).ln();
            let settled = verdict.settled_at_s.unwrap();
            assert!(
                (settled - expected).abs() <= 1.0 / rate + if sigma > 0.0 { 15.0 } else { 0.5 },
                "{rate} {sigma}: {settled} against {expected}"
            );
        }
    }
}

#[test]
fn an_exponential_that_was_not_waited_for_is_settling() {
    for rate in [0.5, 1.0, 4.0, 10.0] {
        for sigma in [0.0, 0.1] {
            let verdict = judge(
                &series(rate, 60.0, sigma, 3, |t| 60.0 + 15.0 * (-t / 40.0).exp()),
                None,
            )
            .unwrap();
            assert_eq!(verdict.state, State::Settling, "{rate} {sigma}: {verdict:?}");
            assert!(verdict.slope_psi_per_min.unwrap() < 0.0);
        }
    }
}

#[test]
fn a_ramp_is_drifting_and_its_slope_is_told() {
    for rate in RATES {
        for slope in [-3.0, 1.0, 6.0] {
            for sigma in [0.0, 0.1] {
                let samples = series(rate, 200.0, sigma, 4, |t| 60.0 + slope * t / 60.0);
                let verdict = judge(&samples, None).unwrap();
                assert_eq!(
                    verdict.state,
                    State::Drifting,
                    "{rate} {slope} {sigma}: {verdict:?}"
                );
                let told = verdict.slope_psi_per_min.unwrap();
                let within = if sigma > 0.0 { 0.15 } else { 1e-9 };
                assert!((told - slope).abs() < within, "{rate} {slope} {sigma}: {told}");
            }
        }
    }
}

#[test]
fn a_ramp_that_stays_within_the_band_is_steady() {
    let samples = series(1.0, 120.0, 0.0, 0, |t| 60.0 + 0.2 * t / 60.0);
    assert_eq!(state(&samples), State::Steady);
    let strict = judge(&samples, Some(PressureDifference::psi(0.1))).unwrap();
    assert_eq!(strict.state, State::Drifting);
}

#[test]
fn a_sine_is_hunting_with_its_period_and_amplitude() {
    for rate in [1.0, 4.0, 10.0] {
        for period in [4.0, 12.0, 37.0] {
            for (amplitude, sigma) in [(1.0, 0.0), (3.0, 0.2), (8.0, 1.0)] {
                let samples = series(rate, 240.0, sigma, 5, |t| {
                    60.0 + amplitude * (TAU * t / period + 1.0).sin()
                });
                let verdict = judge(&samples, None).unwrap();
                assert_eq!(
                    verdict.state,
                    State::Hunting,
                    "{rate} {period} {amplitude}: {verdict:?}"
                );
                let (told, high) = (verdict.period_s.unwrap(), verdict.amplitude_psi.unwrap());
                assert!((told / period - 1.0).abs() < 0.02, "{rate} {period}: {told}");
                assert!((high / amplitude - 1.0).abs() < 0.1, "{rate} {amplitude}: {high}");
            }
        }
    }
}

#[test]
fn hunting_that_begins_after_a_move_is_found() {
    let samples = series(2.0, 300.0, 0.05, 6, |t| {
        60.0 + 30.0 * (-t / 10.0).exp() + 2.0 * (TAU * t / 15.0).sin()
    });
    let verdict = judge(&samples, None).unwrap();
    assert_eq!(verdict.state, State::Hunting, "{verdict:?}");
    assert!((verdict.period_s.unwrap() - 15.0).abs() < 0.5, "{verdict:?}");
}

#[test]
fn a_swing_that_dies_away_is_settling_and_then_steady() {
    let ring = |t: f64| 60.0 + 8.0 * (-t / 40.0).exp() * (TAU * t / 10.0).sin();
    assert_eq!(state(&series(4.0, 50.0, 0.0, 0, ring)), State::Settling);
    assert_eq!(state(&series(4.0, 400.0, 0.0, 0, ring)), State::Steady);
}

#[test]
fn a_swing_below_the_band_is_no_hunting() {
    let samples = series(4.0, 120.0, 0.02, 7, |t| 60.0 + 0.3 * (TAU * t / 10.0).sin());
    assert_eq!(state(&samples), State::Steady);
    let strict = judge(&samples, Some(PressureDifference::psi(0.2))).unwrap();
    assert_eq!(strict.state, State::Hunting, "{strict:?}");
}

#[test]
fn three_readings_keyed_in_by_thumb_are_enough() {
    for (readings, expected) in [
        ([(0.0, 60.0), (30.0, 60.0), (60.0, 60.0)], State::Steady),
        ([(0.0, 60.0), (30.0, 61.0), (60.0, 60.0)], State::Steady),
        ([(0.0, 70.0), (30.0, 64.0), (60.0, 61.0)], State::Settling),
        ([(0.0, 60.0), (30.0, 57.0), (60.0, 54.0)], State::Drifting),
        ([(0.0, 60.0), (30.0, 66.0), (60.0, 61.0)], State::TooShort),
    ] {
        assert_eq!(state(&keyed(&readings)), expected, "{readings:?}");
    }
    assert_eq!(state(&keyed(&[(0.0, 60.0), (30.0, 60.0)])), State::TooShort);
    assert_eq!(
        state(&keyed(&[(0.0, 60.0), (0.1, 60.0), (0.2, 60.0)])),
        State::TooShort
    );
}

#[test]
fn a_few_readings_that_came_to_rest_say_when() {
    let verdict = judge(
        &keyed(&[
            (0.0, 75.0),
            (20.0, 64.0),
            (40.0, 60.5),
            (60.0, 60.0),
            (80.0, 60.0),
        ]),
        None,
    )
    .unwrap();
    assert_eq!(verdict.state, State::Steady);
    assert_eq!(verdict.settled_at_s, Some(40.0));
}

#[test]
fn five_readings_up_and_down_in_turn_are_hunting() {
    let verdict = judge(
        &keyed(&[
            (0.0, 58.0),
            (10.0, 62.0),
            (20.0, 58.0),
            (30.0, 62.0),
            (40.0, 58.0),
        ]),
        None,
    )
    .unwrap();
    assert_eq!(verdict.state, State::Hunting);
    assert_eq!(verdict.period_s, Some(20.0));
    assert_eq!(verdict.amplitude_psi, Some(2.0));
}

#[test]
fn order_and_duplicates_do_not_change_the_verdict_but_are_told() {
    let samples = series(1.0, 200.0, 0.1, 8, |t| 60.0 + 10.0 * (-t / 20.0).exp());
    let mut shuffled = samples.clone();
    shuffled.reverse();
    shuffled.push(samples[7]);
    let plain = judge(&samples, None).unwrap();
    let told = judge(&shuffled, None).unwrap();
    assert_eq!((told.state, told.settled_at_s), (plain.state, plain.settled_at_s));
    assert!(told.because.contains(&Because::Unordered) && told.because.contains(&Because::DuplicateTimes));
    assert!(
        !plain.because.iter().any(|because| because.is_remark()),
        "{plain:?}"
    );
}

#[test]
fn only_what_follows_the_last_gap_is_judged() {
    let mut samples = series(1.0, 100.0, 0.05, 9, |_| 90.0);
    samples.extend(
        series(1.0, 100.0, 0.05, 10, |_| 60.0)
            .into_iter()
            .map(|sample| Sample {
                at_s: sample.at_s + 1000.0,
                ..sample
            }),
    );
    let verdict = judge(&samples, None).unwrap();
    assert_eq!(verdict.state, State::Steady);
    assert!(verdict.because.contains(&Because::AfterGap));
    assert_eq!(verdict.settled_at_s, Some(1000.0));
    assert!((verdict.mean_psi - 60.0).abs() < 0.1);
}

#[test]
fn what_cannot_be_judged_is_refused_by_a_stable_code() {
    let refused = |samples: &[Sample], band| judge(samples, band).unwrap_err().code();
    let three = keyed(&[(0.0, 60.0), (30.0, 60.0), (60.0, 60.0)]);
    assert_eq!(refused(&[], None), "no_samples");
    assert_eq!(refused(&keyed(&[(0.0, f64::NAN)]), None), "not_finite");
    assert_eq!(refused(&keyed(&[(f64::INFINITY, 1.0)]), None), "not_finite");
    assert_eq!(refused(&keyed(&[(0.0, 1e300)]), None), "not_finite");
    assert_eq!(
        refused(&vec![three[0]; MAX_SAMPLES + 1], None),
        "too_many_samples"
    );
    for band in [0.0, -1.0, f64::NAN] {
        assert_eq!(
            refused(&three, Some(PressureDifference::psi(band))),
            "band_not_positive"
        );
    }
}

/// The share of `trials` seeded series that are not what they should be.
fn wrong(expected: State, trials: u64, make: impl Fn(u64) -> Vec<Sample>) -> f64 {
    let wrong = (0..trials)
        .filter(|&seed| state(&make(1000 + seed)) != expected)
        .count();
    f64::from(u32::try_from(wrong).unwrap()) / f64::from(u32::try_from(trials).unwrap())
}

#[test]
fn noise_on_a_level_is_hardly_ever_taken_for_anything_else() {
    for (rate, span) in [(0.1, 120.0), (0.5, 60.0), (1.0, 120.0), (4.0, 60.0)] {
        for sigma in [0.05, 0.3, 1.0] {
            let share = wrong(State::Steady, 300, |seed| {
                series(rate, span, sigma, seed, |_| 60.0)
            });
            assert!(share <= 0.03, "{rate}/s for {span} s, noise {sigma}: {share}");
        }
    }
}

#[test]
fn drift_and_hunting_are_hardly_ever_missed_in_noise() {
    for sigma in [0.05, 0.3] {
        let ramp = wrong(State::Drifting, 200, |seed| {
            series(1.0, 120.0, sigma, seed, |t| 60.0 + 2.0 * t / 60.0)
        });
        let swing = wrong(State::Hunting, 200, |seed| {
            series(1.0, 120.0, sigma, seed, |t| 60.0 + 1.5 * (TAU * t / 11.0).sin())
        });
        assert!(ramp <= 0.05 && swing <= 0.03, "noise {sigma}: {ramp} {swing}");
    }
}

/// Read at each turn of a swing: two readings a period, so that no frequency can be found.
#[test]
fn readings_that_go_to_and_fro_hunt_however_many_they_are() {
    for count in [5, 8, 12, 40] {
        let samples: Vec<Sample> = (0..count)
            .map(|at| Sample {
                at_s: f64::from(at) * 60.0,
                psi: if at % 2 == 0 { 60.0 } else { 66.0 },
            })
            .collect();
        let verdict = judge(&samples, None).unwrap();
        assert_eq!(verdict.state, State::Hunting, "{count}");
        assert!((verdict.period_s.unwrap() - 120.0).abs() < 1e-9);
        assert!((verdict.amplitude_psi.unwrap() - 3.0).abs() < 1e-9);
    }
}
