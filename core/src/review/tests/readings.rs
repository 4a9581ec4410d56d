//! Two readings of one thing, and the gauges they come off.

use super::scene::{Device, meet, psi, reading};
use crate::journal::{Body, Purpose, Reading};
use crate::review::{Code, Weight};

/// Two people who know of each other's gauges and then read apart. Both gauges: 0-200 psi.
fn two_gauges(grades: [&str; 2]) -> (Device, Device) {
    let mut ana = Device::opens();
    for (serial, grade) in ["G-1", "G-2"].into_iter().zip(grades) {
        ana.gauge(serial, |gauge| gauge.grade = Some(grade.to_owned()));
    }
    let mut ben = Device::new(2);
    ben.hears(&ana);
    (ana, ben)
}

/// Source: plain arithmetic on the equations of the GUM and of ISO/IEC 17043. 0.5 % of 200 psi, read to 1 psi:
/// expanded 1.291 psi each; 2 % of 200 psi, read to 1 psi: 4.655 psi each.
#[test]
fn readings_beside_one_another_differ_only_by_more_than_their_gauges_allow() {
    for (grades, code, en) in [
        (
            ["0.5 %", "0.5 %"],
            Code::ReadingsDiffer,
            3.0 / 1.290_994_4_f64.hypot(1.290_994_4),
        ),
        (
            ["2 %", "2 %"],
            Code::ReadingsSeemToDiffer,
            3.0 / 4.654_746_7_f64.hypot(4.654_746_7),
        ),
        (
            ["0.5 %", "2 %"],
            Code::ReadingsSeemToDiffer,
            3.0 / 1.290_994_4_f64.hypot(4.654_746_7),
        ),
    ] {
        let (mut ana, mut ben) = two_gauges(grades);
        let one = ana.reads_off("G-1", "62");
        let other = ben.reads_off("G-2", "65");
        meet(&mut ana, &mut ben);
        let item = ana.item(code);
        assert_eq!(item.entries.len(), 2);
        assert!(item.entries.contains(&one) && item.entries.contains(&other));
        assert!((item.apart.unwrap().en - en).abs() < 1e-6, "{item:?}");
        assert_eq!(item.needs_decision(), code == Code::ReadingsDiffer);
    }
}

#[test]
fn what_only_seems_to_differ_needs_nobody_and_shows() {
    let (mut ana, mut ben) = two_gauges(["2 %", "2 %"]);
    ana.reads_off("G-1", "62");
    ben.reads_off("G-2", "63");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), []);
    assert_eq!(ana.item(Code::ReadingsSeemToDiffer).weight, Weight::Read);
}

#[test]
fn a_later_reading_made_in_knowledge_of_both_answers_it() {
    let (mut ana, mut ben) = two_gauges(["0.5 %", "0.5 %"]);
    ana.reads_off("G-1", "62");
    ben.reads_off("G-2", "66");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open().len(), 1);
    let third = ben.reads_off("G-1", "62");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), []);
    assert_eq!(
        ana.item(Code::ReadingsDiffer).settled_by,
        Some(third),
        "it stays readable"
    );
}

#[test]
fn as_left_readings_that_differ_are_answered_by_another_as_left_reading_only() {
    let (mut ana, mut ben) = two_gauges(["0.5 %", "0.5 %"]);
    let as_left = |gauge: &str, digits: &str| {
        Body::Reading(Reading {
            gauge: Some(gauge.to_owned()),
            purpose: Purpose::AsLeft,
            ..reading("outlet", digits)
        })
    };
    ana.say(as_left("G-1", "62"));
    ben.say(as_left("G-2", "66"));
    meet(&mut ana, &mut ben);
    ana.reads_off("G-1", "62");
    assert_eq!(ana.open().len(), 1);
    ana.say(as_left("G-1", "62"));
    assert_eq!(ana.open(), []);
}

#[test]
fn it_is_settled_by_words_and_another_reading_beside_them_opens_it_again() {
    let (mut ana, mut ben) = two_gauges(["0.5 %", "0.5 %"]);
    let mut late = Device::new(3);
    late.hears(&ana);
    ana.reads_off("G-1", "62");
    ben.reads_off("G-2", "66");
    meet(&mut ana, &mut ben);
    let item = ana.item(Code::ReadingsDiffer);
    let words = ana.settles(&item);
    meet(&mut ana, &mut ben);
    assert_eq!(ben.open(), []);
    assert_eq!(ben.item(Code::ReadingsDiffer).settled_by, Some(words));

    late.reads_off("G-2", "70");
    meet(&mut ana, &mut late);
    let open = ana.open();
    assert!(
        matches!(open.as_slice(), [(Code::ReadingsDiffer, three)] if three.len() == 3),
        "{open:?}"
    );
}

#[test]
fn a_reading_after_a_turn_that_the_other_did_not_know_of_shows_another_state() {
    let (mut ana, mut ben) = two_gauges(["0.5 %", "0.5 %"]);
    ana.turns_by("-1/2");
    ana.reads_off("G-1", "55");
    ben.reads_off("G-2", "62");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.items(Code::ReadingsDiffer), []);
    assert_eq!(ana.items(Code::ReadingsSeemToDiffer), []);
}

#[test]
fn one_gauge_read_again_later_does_not_differ_from_itself() {
    let (mut ana, _) = two_gauges(["0.5 %", "0.5 %"]);
    ana.reads_off("G-1", "62");
    ana.reads_off("G-1", "40");
    assert_eq!(ana.items(Code::ReadingsDiffer), []);
}

#[test]
fn two_gauges_on_one_tap_are_compared_though_one_person_reads_both() {
    let (mut ana, mut ben) = two_gauges(["0.5 %", "0.5 %"]);
    ana.reads_off("G-1", "62");
    ana.reads_off("G-2", "66");
    meet(&mut ana, &mut ben);
    assert!(ana.item(Code::ReadingsDiffer).needs_decision());
}

#[test]
fn three_flows_of_a_baseline_are_not_compared() {
    let (mut ana, mut ben) = two_gauges(["0.5 %", "0.5 %"]);
    ana.reads_flowing("62", Purpose::Baseline);
    ben.reads_flowing("55", Purpose::Baseline);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.items(Code::ReadingsDiffer), []);
}

#[test]
fn a_reading_beyond_its_gauge_is_settled_by_words() {
    let mut ana = Device::opens();
    let mut ben = Device::new(2);
    ana.gauge("G-1", |gauge| gauge.span = psi("60"));
    ben.hears(&ana);
    let over = ben.reads_off("G-1", "62");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), [(Code::GaugeOverSpan, vec![over])]);
    let item = ana.item(Code::GaugeOverSpan);
    ana.settles(&item);
    meet(&mut ana, &mut ben);
    assert_eq!(ben.open(), []);
    let again = ben.reads_off("G-1", "63");
    assert_eq!(ben.open(), [(Code::GaugeOverSpan, vec![over, again])]);
}

#[test]
fn a_gauge_out_of_calibration_is_decided_or_its_record_put_right() {
    let mut ana = Device::opens();
    let mut ben = Device::new(2);
    // The readings are of 25 November 2025.
    let gauge = ana.gauge("G-1", |gauge| {
        gauge.calibration_due = Some("2025-11-24".to_owned());
    });
    ben.hears(&ana);
    let read = ben.reads_off("G-1", "62");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), [(Code::GaugeOutOfCalibration, vec![gauge, read])]);
    let item = ana.item(Code::GaugeOutOfCalibration);
    let words = ana.settles(&item);
    meet(&mut ana, &mut ben);
    assert_eq!(ben.item(Code::GaugeOutOfCalibration).settled_by, Some(words));

    ben.gauge("G-1", |gauge| {
        gauge.calibration_due = Some("2026-11-24".to_owned());
    });
    assert_eq!(ben.items(Code::GaugeOutOfCalibration), []);
}

#[test]
fn readings_near_an_end_of_the_scale_and_a_zero_that_is_off_are_worth_reading() {
    let mut ana = Device::opens();
    let mut ben = Device::new(2);
    ana.gauge("G-1", |gauge| gauge.zero_before = Some(psi("4")));
    ben.hears(&ana);
    ben.reads_off("G-1", "30");
    ben.reads_off("G-1", "0");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), []);
    assert_eq!(
        ana.item(Code::GaugeOffRange).entries.len(),
        1,
        "a vented gauge rests at its end"
    );
    assert_eq!(ana.item(Code::GaugeZeroOff).about.as_deref(), Some("G-1"));
}

#[test]
fn a_gauge_of_which_little_is_known_is_worth_reading() {
    let mut ana = Device::opens();
    let mut ben = Device::new(2);
    ben.hears(&ana);
    ben.reads_off("G-7", "62");
    meet(&mut ana, &mut ben);
    assert_eq!(ana.item(Code::GaugeNotKnown).about.as_deref(), Some("G-7"));
    assert_eq!(ana.open(), []);
}
