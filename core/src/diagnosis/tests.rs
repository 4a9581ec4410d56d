//! Every row of the fault-finder's table, and what the ranking may not say. Common practice, no source.

use super::*;
use std::collections::BTreeMap;

fn seen(symptom: Symptom, signs: &[Sighting]) -> Diagnosis {
    diagnose(&Observations {
        symptom,
        signs: signs.iter().copied().collect::<BTreeMap<_, _>>(),
    })
}

/// The first cause, as long as what was seen shows it.
fn first(symptom: Symptom, signs: &[Sighting]) -> Option<Cause> {
    let diagnosis = seen(symptom, signs);
    let first = diagnosis.causes.first()?;
    matches!(first.standing, Standing::Found | Standing::Fits).then_some(first.cause)
}

/// A test for one row: this symptom with these signs comes to this cause, and with any one of the signs missing it
/// does not.
macro_rules! row_tests {
    ($($test:ident: $symptom:ident, [$($sign:ident = $so:literal),+] => $cause:ident;)*) => {
        $(#[test]
        fn $test() {
            let signs = [$((Sign::$sign, $so)),+];
            assert_eq!(first(Symptom::$symptom, &signs), Some(Cause::$cause));
            for missing in 0..signs.len() {
                let mut fewer = signs.to_vec();
                fewer.remove(missing);
                assert_ne!(
                    first(Symptom::$symptom, &fewer),
                    Some(Cause::$cause),
                    "named without having seen {:?}",
                    signs[missing]
                );
            }
            let mut contrary = signs;
            contrary[0].1 = !contrary[0].1;
            let diagnosis = seen(Symptom::$symptom, &contrary);
            let cause = diagnosis.causes.iter().find(|found| found.cause == Cause::$cause);
            assert_eq!(cause.map(|cause| cause.standing), Some(Standing::RuledOut));
        })*
    };
}

row_tests! {
    outlet_at_inlet_pressure_with_the_stem_open_means_find_flow_first:
        DoesNotFollow, [OutletEqualsInlet = true, StemOpen = true] => NoFlowOrHeldOpen;
    a_trapped_outlet_that_falls_when_a_tap_is_opened_is_a_dead_end:
        DoesNotFollow, [FallsWhenTapOpened = true] => DeadEnd;
    flow_proven_and_a_cover_that_follows_mean_the_main_valve_is_bound:
        DoesNotFollow, [FlowProven = true, CoverFollowsScrew = true] => MainValveBound;
    flow_proven_and_a_cover_that_does_not_follow_mean_the_control_circuit_is_blocked:
        DoesNotFollow, [FlowProven = true, CoverFollowsScrew = false] => ControlBlocked;
    a_rate_that_is_off_and_steady_is_another_spring:
        RateOff, [RateSteady = true] => OtherSpring;
    a_rate_that_is_off_only_on_reversal_is_a_dead_band:
        RateOff, [OnlyOnReversal = true] => DeadBand;
    a_rate_that_shrinks_toward_the_inlet_is_starved:
        RateOff, [ShrinksTowardInlet = true] => Starved;
    hunting_that_stops_after_bleeding_was_air:
        Hunting, [StopsAfterBleeding = true] => Air;
    hunting_that_stops_when_slowed_was_too_fast:
        Hunting, [StopsWhenSlowed = true] => TooFast;
    hunting_only_below_some_flow_is_oversized:
        Hunting, [OnlyBelowSomeFlow = true] => Oversized;
    hunting_of_both_valves_is_set_points_too_close:
        Hunting, [BothValvesSwing = true] => SetPointsTooClose;
    hunting_with_the_inlet_comes_from_upstream:
        Hunting, [InletSwings = true] => Upstream;
    a_vent_that_runs_with_the_cover_cock_shut_is_diaphragm_or_stem_seal:
        StaysOpen, [VentRunsWithCoverCockShut = true] => DiaphragmOrStemSeal;
    open_without_supply_at_the_cover_is_a_blocked_supply:
        StaysOpen, [SupplyAtCover = false] => SupplyBlocked;
    open_with_the_cover_at_inlet_pressure_is_debris_or_a_bound_stem:
        StaysOpen, [CoverAtInletPressure = true] => DebrisOrStemBound;
    closed_but_opening_when_vented_is_the_pilot_or_its_drain:
        StaysClosed, [OpensWhenCoverVented = true] => PilotShutOrDrainBlocked;
    closed_and_not_opening_when_vented_is_bound_or_without_differential:
        StaysClosed, [OpensWhenCoverVented = false] => BoundOrNoDifferential;
    outlet_at_inlet_without_flow_past_an_open_bypass:
        OutletEqualsInletAtNoFlow, [BypassOpenOrPassing = true] => Bypass;
    outlet_at_inlet_without_flow_through_a_leaking_diaphragm:
        OutletEqualsInletAtNoFlow, [VentRunsWithCoverCockShut = true] => DiaphragmOrStemSeal;
    outlet_at_inlet_without_flow_over_debris:
        OutletEqualsInletAtNoFlow, [CoverAtInletPressure = true] => DebrisOrStemBound;
    outlet_at_inlet_without_flow_set_above_the_inlet:
        OutletEqualsInletAtNoFlow, [SettingAboveInlet = true] => SettingAboveInlet;
    creep_that_follows_temperature_is_warming:
        Creep, [FollowsTemperature = true] => Warming;
    creep_that_stops_with_the_pilot_isolated_is_the_pilots_seat:
        Creep, [StopsWithPilotIsolated = true] => PilotSeat;
    creep_that_goes_on_with_other_feeds_unproven_is_those_first:
        Creep, [StopsWithPilotIsolated = false, OtherFeedsProvenShut = false] => BypassOrOtherFeed;
    creep_that_goes_on_with_other_feeds_proven_shut_is_the_main_seat:
        Creep, [StopsWithPilotIsolated = false, OtherFeedsProvenShut = true] => MainSeat;
    a_gauge_that_does_not_move_behind_a_blocked_line_is_the_gauge:
        GaugeDoesNotMove, [GaugeLineBlocked = true] => GaugeLine;
}

#[test]
fn with_nothing_seen_nothing_is_named_and_something_to_look_at_is() {
    for &symptom in Symptom::ALL {
        let diagnosis = seen(symptom, &[]);
        assert!(
            diagnosis
                .causes
                .iter()
                .all(|cause| cause.standing == Standing::Possible && !cause.not_seen.is_empty()),
            "{symptom:?}"
        );
        assert!(diagnosis.next_observation.is_some(), "{symptom:?}");
        assert_eq!(diagnosis.because, []);
    }
}

/// Walks every way of answering to its end.
#[test]
fn following_the_advice_always_comes_to_an_end_and_never_names_what_was_not_seen() {
    fn walk(symptom: Symptom, signs: &BTreeMap<Sign, bool>, ends: &mut usize) {
        let diagnosis = diagnose(&Observations {
            symptom,
            signs: signs.clone(),
        });
        for cause in &diagnosis.causes {
            let row = rows(symptom).iter().find(|row| row.cause == cause.cause).unwrap();
            let all_seen = row.shown_by.iter().all(|(sign, so)| signs.get(sign) == Some(so));
            match cause.standing {
                Standing::Found => {
                    assert!(all_seen);
                    assert!(
                        diagnosis.causes[1..]
                            .iter()
                            .all(|other| other.standing == Standing::RuledOut)
                    );
                }
                Standing::Fits => assert!(all_seen && cause.speaks_against.is_empty()),
                Standing::Possible => assert!(!all_seen && cause.speaks_against.is_empty()),
                Standing::RuledOut => assert!(!cause.speaks_against.is_empty()),
            }
        }
        match diagnosis.next_observation {
            None => *ends += 1,
            Some(sign) => {
                assert!(!signs.contains_key(&sign), "asked twice: {sign:?}");
                for so in [true, false] {
                    let mut then = signs.clone();
                    then.insert(sign, so);
                    walk(symptom, &then, ends);
                }
            }
        }
    }
    for &symptom in Symptom::ALL {
        let mut ends = 0;
        walk(symptom, &BTreeMap::new(), &mut ends);
        assert!(ends >= 2, "{symptom:?}: {ends}");
    }
}

#[test]
fn a_cause_is_found_only_when_all_others_are_ruled_out() {
    let bound = [(Sign::FlowProven, true), (Sign::CoverFollowsScrew, true)];
    assert_eq!(seen(Symptom::DoesNotFollow, &bound).found(), None);
    let mut all = bound.to_vec();
    all.extend([(Sign::OutletEqualsInlet, false), (Sign::GaugeLineBlocked, false)]);
    let found = seen(Symptom::DoesNotFollow, &all);
    assert_eq!(found.found(), Some(Cause::MainValveBound));
    assert_eq!(found.next_observation, None);
}

#[test]
fn a_rising_outlet_alone_never_proves_flow_so_flow_is_what_to_look_at() {
    let diagnosis = seen(
        Symptom::DoesNotFollow,
        &[(Sign::OutletEqualsInlet, false), (Sign::GaugeLineBlocked, false)],
    );
    assert_eq!(diagnosis.found(), None);
    assert!(matches!(
        diagnosis.next_observation,
        Some(Sign::FlowProven | Sign::CoverFollowsScrew | Sign::FallsWhenTapOpened)
    ));
}

#[test]
fn when_everything_is_ruled_out_it_says_that_nothing_fits() {
    let diagnosis = seen(Symptom::GaugeDoesNotMove, &[(Sign::GaugeLineBlocked, false)]);
    assert!(diagnosis.nothing_fits());
    assert_eq!((diagnosis.found(), diagnosis.next_observation), (None, None));
}

#[test]
fn what_does_not_bear_on_the_symptom_is_not_given_as_a_reason() {
    let diagnosis = seen(
        Symptom::Hunting,
        &[(Sign::StemOpen, true), (Sign::InletSwings, false)],
    );
    assert_eq!(diagnosis.because, [(Sign::InletSwings, false)]);
}

#[test]
fn codes_are_told_apart_and_are_what_json_says() {
    for &sign in Sign::ALL {
        assert_eq!(
            serde_json::to_string(&sign).unwrap(),
            format!("\"{}\"", sign.code())
        );
    }
    let codes: std::collections::BTreeSet<_> = Cause::ALL.iter().map(|cause| cause.code()).collect();
    assert_eq!(codes.len(), Cause::ALL.len());
}

#[test]
fn every_cause_and_every_sign_is_in_the_table() {
    let all = || Symptom::ALL.iter().flat_map(|&symptom| rows(symptom));
    for &cause in Cause::ALL {
        assert!(all().any(|row| row.cause == cause), "{cause:?}");
    }
    for &sign in Sign::ALL {
        assert!(all().any(|row| row.expects(sign).is_some()), "{sign:?}");
    }
}
