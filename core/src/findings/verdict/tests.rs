//! From entries to verdicts.

use super::*;
use crate::findings::scene::{Scene, psi};
use crate::journal::{
    Body, EntryId, FlowEvidence, FlowProof, Gauge, Outcome, Purpose, Reading, Request, ScrewMove, StepMark,
    Water, Withdrawn,
};
use crate::quantity::{Figure, PressureDifference, Unit};
use crate::steady::State;

const VALVE: crate::journal::AssetId = Scene::VALVE;

fn gauge(serial: &str, grade: &str, resolution: &str) -> Body {
    Body::Gauge(Gauge {
        serial: serial.to_owned(),
        point: None,
        span: psi("100"),
        grade: Some(grade.to_owned()),
        resolution: Some(psi(resolution)),
        calibration_due: Some("2026-01-31".to_owned()),
        zero_before: Some(psi("0")),
        zero_after: None,
        replaces: Vec::new(),
    })
}

fn reading(point: &str, digits: &str, purpose: Purpose, water: Water) -> Reading {
    Reading {
        asset: VALVE,
        point: point.to_owned(),
        place: None,
        figure: psi(digits),
        gauge: Some("G-1".to_owned()),
        purpose,
        water,
        request: None,
    }
}

fn flowing(digits: &str, purpose: Purpose) -> Body {
    Body::Reading(reading(OUTLET, digits, purpose, Water::Flowing))
}

fn turned() -> Body {
    Body::ScrewMove(ScrewMove {
        asset: VALVE,
        screw: "pilot".to_owned(),
        turn: Figure::new("1/8", Unit::Turn).unwrap(),
        request: None,
        planned_from: None,
    })
}

fn request(pressure: &str, tolerance: Option<&str>, replaces: Vec<EntryId>) -> Body {
    Body::Request(Request {
        valve: VALVE,
        pressure: psi(pressure),
        tolerance: tolerance.map(psi),
        datum: "at the valve".to_owned(),
        asked_by: "Operator".to_owned(),
        zone_limit: None,
        replaces,
    })
}

/// A job with a gauge of 0.5 % of 100 psi, read to 0.5 psi: its expanded uncertainty is 0.6455 psi.
fn scene() -> Scene {
    let mut scene = Scene::new();
    scene.say(gauge("G-1", "0.5 %", "0.5"));
    scene
}

fn left(scene: &mut Scene) -> AsLeft {
    as_left(&scene.state(), VALVE, OUTLET)
}

/// Source: plain arithmetic on the decision rule.
#[test]
fn the_guard_band_takes_the_gauge_off_the_tolerance_on_both_sides() {
    let judged = |off: f64| {
        judge_by_guard_band(
            PressureDifference::psi(off),
            PressureDifference::psi(2.0),
            PressureDifference::psi(0.5),
        )
    };
    for (off, expected) in [
        (0.0, AsLeftVerdict::Inside),
        (-1.5, AsLeftVerdict::Inside),
        (1.6, AsLeftVerdict::CannotTell),
        (-2.5, AsLeftVerdict::CannotTell),
        (2.6, AsLeftVerdict::Outside),
    ] {
        assert_eq!(judged(off), expected, "{off}");
    }
}

#[test]
fn as_left_is_inside_outside_or_not_to_be_told_with_this_gauge() {
    for (read, expected) in [
        ("61", AsLeftVerdict::Inside),
        ("61.5", AsLeftVerdict::CannotTell),
        ("57.5", AsLeftVerdict::CannotTell),
        ("63", AsLeftVerdict::Outside),
    ] {
        let mut scene = scene();
        scene.say(request("60", Some("2"), Vec::new()));
        scene.say(flowing(read, Purpose::AsLeft));
        let left = left(&mut scene);
        assert_eq!(left.verdict, expected, "{read}: {left:?}");
        assert_eq!(left.gauge.as_deref(), Some("G-1"));
        assert_eq!(left.because, Vec::<String>::new());
        // 0.6455 psi, to the decimals that psi is shown with.
        let shown = left.uncertainty.unwrap().value().unwrap();
        assert!((shown - 0.6455).abs() < 0.051, "{shown}");
    }
}

#[test]
fn without_a_known_gauge_the_verdict_says_so() {
    let mut scene = scene();
    scene.say(request("60", None, Vec::new()));
    let mut unknown = reading(OUTLET, "60", Purpose::AsLeft, Water::Flowing);
    unknown.gauge = None;
    scene.say(Body::Reading(unknown));
    let left = left(&mut scene);
    assert_eq!(left.because, ["default_tolerance", "gauge_unknown"]);
    assert_eq!(left.gauge, None);
    assert!(
        left.problems.contains(&"gauge_not_on_record".to_owned()),
        "{left:?}"
    );
}

#[test]
fn an_as_left_reading_older_than_the_last_turn_or_for_another_request_does_not_count() {
    let mut scene = scene();
    let first = scene.say(request("60", Some("2"), Vec::new()));
    assert_eq!(left(&mut scene).because, ["no_as_left"]);
    let mut named = reading(OUTLET, "60", Purpose::AsLeft, Water::Flowing);
    named.request = Some(first);
    scene.say(Body::Reading(named));
    assert_eq!(left(&mut scene).verdict, AsLeftVerdict::Inside);
    scene.say(request("55", Some("2"), vec![first]));
    let other = left(&mut scene);
    assert_eq!(
        (other.verdict, other.because.as_slice()),
        (AsLeftVerdict::NotRead, &["another_request".to_owned()][..])
    );
    scene.say(turned());
    assert_eq!(left(&mut scene).because, ["older_than_turn"]);
    scene.say(request("50", None, Vec::new()));
    assert_eq!(left(&mut scene).because, ["request_disagreed"]);
}

fn flow(scene: &mut Scene, gpm: &str) {
    scene.say(Body::FlowEvidence(FlowEvidence {
        asset: VALVE,
        how: FlowProof::Meter,
        flow: Some(Figure::new(gpm, Unit::GallonPerMinute).unwrap()),
        place: None,
    }));
}

#[test]
fn droop_is_the_outlet_at_the_lowest_flow_less_that_at_the_highest() {
    let mut scene = scene();
    assert_eq!(droop(&scene.state(), VALVE, OUTLET), None);
    scene.say(turned());
    for (gpm, outlet, cover) in [("900", "57.5", "80"), ("50", "61", "95"), ("300", "60", "90")] {
        flow(&mut scene, gpm);
        scene.say(flowing(outlet, Purpose::Baseline));
        scene.say(Body::Reading(reading(
            "cover",
            cover,
            Purpose::Baseline,
            Water::Flowing,
        )));
    }
    let found = droop(&scene.state(), VALVE, OUTLET).unwrap();
    let outlets: Vec<_> = found.rows.iter().map(|row| row.outlet.digits.as_str()).collect();
    let covers: Vec<_> = found
        .rows
        .iter()
        .map(|row| row.cover.clone().unwrap().digits)
        .collect();
    assert_eq!(
        (outlets, covers),
        (
            vec!["61", "60", "57.5"],
            ["95", "90", "80"].map(str::to_owned).to_vec()
        )
    );
    assert!(found.by_measured_flow && found.because.is_empty(), "{found:?}");
    assert!((found.droop.unwrap().value().unwrap() - 3.5).abs() < 1e-9);
    scene.say(turned());
    assert_eq!(
        droop(&scene.state(), VALVE, OUTLET),
        None,
        "the baseline is of another setting"
    );
}

#[test]
fn a_sag_below_what_the_gauge_can_tell_is_no_droop() {
    let mut scene = scene();
    for outlet in ["60", "60"] {
        scene.say(flowing(outlet, Purpose::Baseline));
    }
    let found = droop(&scene.state(), VALVE, OUTLET).unwrap();
    assert_eq!(found.because, ["fewer_than_three_flows", "no_droop_told"]);
}

#[test]
fn repeatability_is_the_spread_of_the_last_three_cycles_after_the_tight_nut() {
    let mut scene = scene();
    scene.say(flowing("50", Purpose::Working));
    assert_eq!(repeatability(&scene.state(), VALVE, OUTLET), None);
    scene.say(Body::StepMark(StepMark {
        asset: VALVE,
        procedure: "reducing".to_owned(),
        step: "tune_and_prove.re_read".to_owned(),
        outcome: Outcome::Done,
        overridden: Vec::new(),
        reason: None,
        replaces: Vec::new(),
    }));
    for digits in ["70", "60", "61.5", "60.5"] {
        scene.say(flowing(digits, Purpose::Working));
    }
    let found = repeatability(&scene.state(), VALVE, OUTLET).unwrap();
    assert_eq!(found.readings.len(), 3);
    assert!((found.spread.unwrap().value().unwrap() - 1.5).abs() < 1e-9);
    assert_eq!(found.because, Vec::<String>::new());
}

fn locked(digits: &str) -> Body {
    Body::Reading(reading("spool", digits, Purpose::LockUp, Water::Still))
}

#[test]
fn lock_up_is_told_above_the_flowing_pressure_and_creep_by_the_gauge() {
    for (second, creep, because) in [
        ("63", Creep::Holds, vec![]),
        ("66", Creep::Climbs, vec!["warming_possible"]),
        ("60", Creep::Falls, vec!["cooling_possible"]),
    ] {
        let mut scene = scene();
        scene.say(flowing("60", Purpose::Working));
        scene.say_at("Ana", "2025-11-25T10:00:00Z", locked("63"));
        scene.say_at("Ana", "2025-11-25T10:10:00Z", locked(second));
        let found = lock_up(&scene.state(), VALVE, OUTLET).unwrap();
        assert_eq!(
            (found.creep, found.because),
            (creep, because.iter().map(|code| (*code).to_owned()).collect())
        );
        assert!((found.above_flowing.unwrap().value().unwrap() - 3.0).abs() < 1e-9);
        assert_eq!(found.minutes.as_deref(), Some("10"));
    }
}

/// Common practice, no source: 25 psi for a degree Fahrenheit near 15 C.
#[test]
fn a_climb_is_also_told_as_the_warming_that_would_do_it() {
    let mut scene = scene();
    scene.say(locked("60"));
    assert_eq!(
        lock_up(&scene.state(), VALVE, OUTLET).unwrap().creep,
        Creep::OneReading
    );
    scene.say(locked("65"));
    let found = lock_up(&scene.state(), VALVE, OUTLET).unwrap();
    assert_eq!(found.as_warming_deg_f.as_deref(), Some("0.20"));
}

#[test]
fn the_static_difference_is_that_of_the_first_reading_on_line_before_another_turn() {
    let mut scene = scene();
    scene.say(turned());
    scene.say(Body::Reading(reading(
        "test_bleed",
        "55",
        Purpose::StaticSetting,
        Water::Flowing,
    )));
    assert_eq!(static_difference(&scene.state(), VALVE, OUTLET), None);
    scene.say(flowing("53", Purpose::Working));
    scene.say(turned());
    scene.say(flowing("55", Purpose::Working));
    let found = static_difference(&scene.state(), VALVE, OUTLET).unwrap();
    assert_eq!(found.on_line_at, psi("53"));
    assert!((found.difference.unwrap().value().unwrap() + 2.0).abs() < 1e-9);
}

#[test]
fn a_trim_before_the_first_reading_on_line_leaves_no_static_difference() {
    let mut scene = scene();
    scene.say(Body::Reading(reading(
        "test_bleed",
        "55",
        Purpose::StaticSetting,
        Water::Flowing,
    )));
    scene.say(turned());
    scene.say(flowing("53", Purpose::Working));
    assert_eq!(static_difference(&scene.state(), VALVE, OUTLET), None);
}

fn on_gauge(serial: &str, digits: &str) -> Body {
    Body::Reading(Reading {
        gauge: Some(serial.to_owned()),
        ..reading(OUTLET, digits, Purpose::Working, Water::Flowing)
    })
}

/// Source: ISO/IEC 17043's En on the GUM's uncertainties, plain arithmetic.
#[test]
fn two_peoples_readings_agree_only_seem_to_differ_or_differ() {
    for (other, verdict) in [
        ("60", PairVerdict::Agrees),
        ("60.5", PairVerdict::OnlySeemsToDiffer),
        ("62", PairVerdict::Differs),
    ] {
        let mut scene = scene();
        scene.say(gauge("G-2", "0.5 %", "0.5"));
        scene.say_at("Ana", "2025-11-25T10:00:00Z", on_gauge("G-1", "60"));
        scene.say_at("Ben", "2025-11-25T10:02:00Z", on_gauge("G-2", other));
        let found = pairs(&scene.state(), VALVE);
        assert_eq!(found.len(), 1, "{other}");
        assert_eq!(found[0].verdict, verdict, "{other}: {found:?}");
        assert!(found[0].two_people && !found[0].at_the_same_time);
    }
}

#[test]
fn readings_far_apart_or_across_a_turn_or_taken_back_are_no_pair() {
    let mut scene = scene();
    scene.say_at("Ana", "2025-11-25T10:00:00Z", on_gauge("G-1", "60"));
    scene.say_at("Ben", "2025-11-25T10:06:00Z", on_gauge("G-2", "62"));
    assert_eq!(pairs(&scene.state(), VALVE), []);
    scene.say_at("Ana", "2025-11-25T10:07:00Z", turned());
    let last = scene.say_at("Ana", "2025-11-25T10:08:00Z", on_gauge("G-1", "65"));
    assert_eq!(
        pairs(&scene.state(), VALVE),
        [],
        "the screw was turned between them"
    );
    scene.say_at("Ben", "2025-11-25T10:09:00Z", on_gauge("G-2", "65"));
    assert_eq!(pairs(&scene.state(), VALVE).len(), 1);
    scene.say(Body::Withdrawn(Withdrawn {
        entry: last,
        reason: "misread".to_owned(),
    }));
    assert_eq!(pairs(&scene.state(), VALVE), []);
}

#[test]
fn one_person_on_one_gauge_is_no_pair_but_on_two_gauges_is() {
    let mut scene = scene();
    scene.say(on_gauge("G-1", "60"));
    scene.say(on_gauge("G-1", "61"));
    assert_eq!(pairs(&scene.state(), VALVE), []);
    scene.say(on_gauge("G-2", "61"));
    assert_eq!(pairs(&scene.state(), VALVE).len(), 2);
}

#[test]
fn readings_since_the_last_turn_say_whether_it_has_settled() {
    let mut scene = scene();
    let at = |minute: u32| format!("2025-11-25T10:{minute:02}:00Z");
    assert_eq!(settled(&scene.state(), VALVE, OUTLET), None);
    scene.say_at("Ana", &at(0), flowing("80", Purpose::Working));
    scene.say_at("Ana", &at(1), turned());
    for (minute, digits) in [(2, "68"), (3, "63"), (4, "61")] {
        scene.say_at("Ana", &at(minute), flowing(digits, Purpose::Working));
    }
    assert_eq!(
        settled(&scene.state(), VALVE, OUTLET).unwrap().state,
        State::Settling
    );
    for minute in [5, 6] {
        scene.say_at("Ana", &at(minute), flowing("61", Purpose::Working));
    }
    let found = settled(&scene.state(), VALVE, OUTLET).unwrap();
    assert_eq!((found.state, found.samples), (State::Steady, 3));
}
