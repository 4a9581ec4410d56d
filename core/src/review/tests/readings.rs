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

/// What two readings of the outlet come to, off gauges of these spans, accuracies (percent of span) and resolutions.
fn compared(gauges: [(&str, f64, &str); 2], digits: [&str; 2]) -> Option<(Code, f64)> {
    let mut ana = Device::opens();
    let mut ben = Device::new(2);
    for (serial, (span, percent, resolution)) in ["G-1", "G-2"].into_iter().zip(gauges) {
        ana.gauge(serial, |gauge| {
            gauge.span = psi(span);
            gauge.grade = Some(format!("{percent} %"));
            gauge.resolution = Some(psi(resolution));
        });
    }
    ben.hears(&ana);
    ana.reads_off("G-1", digits[0]);
    ben.reads_off("G-2", digits[1]);
    meet(&mut ana, &mut ben);
    let kinds = [Code::ReadingsDiffer, Code::ReadingsSeemToDiffer];
    let mut items = ana.review();
    items.retain(|item| kinds.contains(&item.code));
    assert!(items.len() < 2, "{items:#?}");
    items.first().map(|item| (item.code, item.apart.unwrap().en))
}

/// Source: plain arithmetic on En of ISO/IEC 17043 (from memory): 62.0 with U 2.0 and 60.0 with U 0.5 give 0.9701; with
/// U 1.0 instead of 2.0 they give 1.7889.
#[test]
fn the_same_two_figures_agree_or_differ_by_what_their_gauges_are_worth() {
    // Of a gauge that is read without steps, U is 2 a / sqrt 3 (GUM, rectangular limits a).
    let worth = |expanded: f64| ("100", expanded * 3.0_f64.sqrt() / 2.0, "0.000001");
    for (expanded, code, en) in [
        (2.0, Code::ReadingsSeemToDiffer, 0.9701),
        (1.0, Code::ReadingsDiffer, 1.7889),
    ] {
        let (found, apart) = compared([worth(expanded), worth(0.5)], ["62.0", "60.0"]).unwrap();
        assert_eq!(found, code);
        assert!((apart - en).abs() < 5e-5, "{apart}");
    }
    assert_eq!(compared([worth(1.0), worth(0.5)], ["62.0", "62.0"]), None);
}

/// Source: plain arithmetic on the GUM: 0-200 psi, 0.5 %, read to 1 psi, has U 1.2910 psi; 0-100 psi, 0.5 %, read to
/// 0.5 psi, has 0.6455 psi; their difference has 1.4434 psi.
#[test]
fn two_ordinary_gauges_agree_up_to_the_uncertainty_of_their_difference() {
    let gauges = [("200", 0.5, "1"), ("100", 0.5, "0.5")];
    for (other, code) in [
        ("60.6", Code::ReadingsSeemToDiffer),
        ("60.5", Code::ReadingsDiffer),
    ] {
        let (found, en) = compared(gauges, ["62.0", other]).unwrap();
        assert_eq!(found, code, "62.0 and {other}: {en}");
        let apart = 62.0 - other.parse::<f64>().unwrap();
        assert!((en - apart / 1.4434).abs() < 5e-5, "{en}");
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
