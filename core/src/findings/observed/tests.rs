//! What the record shows of the signs, and what an answer counts for.

use super::*;
use crate::diagnosis::{Cause, diagnose};
use crate::findings::scene::{Scene, psi};
use crate::findings::verdict::OUTLET;
use crate::journal::{
    FlowEvidence, FlowProof, LineUp, Particulars, Position, Purpose, Reading, ScrewMove, Water, Withdrawn,
};
use crate::quantity::{Figure, Unit};

fn reading(point: &str, digits: &str, water: Water) -> Body {
    Body::Reading(Reading {
        asset: Scene::VALVE,
        point: point.to_owned(),
        place: None,
        figure: psi(digits),
        gauge: Some("G-1".to_owned()),
        purpose: Purpose::Working,
        water,
        request: None,
    })
}

fn turned(amount: &str) -> Body {
    Body::ScrewMove(ScrewMove {
        asset: Scene::VALVE,
        screw: "pilot".to_owned(),
        turn: Figure::new(amount, Unit::Turn).unwrap(),
        request: None,
        planned_from: None,
    })
}

fn flow(how: FlowProof) -> Body {
    Body::FlowEvidence(FlowEvidence {
        asset: Scene::VALVE,
        how,
        flow: None,
        place: None,
    })
}

fn says(sign: Sign, words: &str, replaces: Vec<EntryId>) -> Body {
    Body::Particulars(Particulars {
        asset: Scene::VALVE,
        name: answer_name(sign),
        value: ParticularValue::Text(words.to_owned()),
        replaces,
    })
}

fn so(scene: &mut Scene, sign: Sign) -> Option<bool> {
    seen(&scene.state(), Scene::VALVE, OUTLET)
        .get(&sign)
        .map(|seen| seen.so)
}

fn shown(scene: &mut Scene) -> Vec<Symptom> {
    let state = scene.state();
    let seen = seen(&state, Scene::VALVE, OUTLET);
    symptoms(&state, Scene::VALVE, OUTLET, &seen)
}

#[test]
fn an_empty_record_shows_nothing_and_no_symptom() {
    let state = Scene::new().state();
    assert_eq!(seen(&state, Scene::VALVE, OUTLET), BTreeMap::new());
    assert_eq!(shown(&mut Scene::new()), []);
}

#[test]
fn a_turn_that_nobody_sees_answered_is_a_symptom_and_the_cover_tells_on() {
    let mut scene = Scene::new();
    scene.say(reading("cover", "80", Water::Flowing));
    scene.say(reading(OUTLET, "60", Water::Flowing));
    scene.say(turned("1/2"));
    assert_eq!(shown(&mut scene), []);
    scene.say(reading(OUTLET, "60", Water::Flowing));
    scene.say(reading("cover", "80", Water::Flowing));
    scene.say(flow(FlowProof::Meter));
    assert_eq!(shown(&mut scene), [Symptom::DoesNotFollow]);
    let found = seen(&scene.state(), Scene::VALVE, OUTLET);
    let diagnosis = diagnose(&observations(Symptom::DoesNotFollow, &found));
    assert_eq!(diagnosis.causes[0].cause, Cause::ControlBlocked);
    scene.say(reading("cover", "70", Water::Flowing));
    assert_eq!(so(&mut scene, Sign::CoverFollowsScrew), Some(true));
    scene.say(reading(OUTLET, "66", Water::Flowing));
    assert_eq!(shown(&mut scene), []);
}

#[test]
fn a_turn_too_small_to_show_is_no_sign() {
    let mut scene = Scene::new();
    scene.say(reading(OUTLET, "60", Water::Flowing));
    scene.say(turned("1/8"));
    scene.say(reading(OUTLET, "60", Water::Flowing));
    assert_eq!(shown(&mut scene), []);
}

#[test]
fn outlet_at_inlet_pressure_with_no_flow_is_a_symptom() {
    let mut scene = Scene::new();
    scene.say(reading("inlet", "90", Water::Still));
    scene.say(reading(OUTLET, "90", Water::Still));
    assert_eq!(so(&mut scene, Sign::OutletEqualsInlet), Some(true));
    assert_eq!(shown(&mut scene), [Symptom::OutletEqualsInletAtNoFlow]);
    scene.say(reading(OUTLET, "60", Water::Still));
    assert_eq!(so(&mut scene, Sign::OutletEqualsInlet), Some(false));
    assert_eq!(shown(&mut scene), []);
}

#[test]
fn the_newest_word_on_the_flow_counts() {
    let mut scene = Scene::new();
    assert_eq!(so(&mut scene, Sign::FlowProven), None);
    scene.say(flow(FlowProof::Pitot));
    assert_eq!(so(&mut scene, Sign::FlowProven), Some(true));
    scene.say(flow(FlowProof::Stopped));
    assert_eq!(so(&mut scene, Sign::FlowProven), Some(false));
}

#[test]
fn a_trapped_outlet_that_falls_when_water_is_let_out_says_so() {
    for (after, expected) in [("40", true), ("60", false)] {
        let mut scene = Scene::new();
        scene.say(reading(OUTLET, "60", Water::Still));
        scene.say(flow(FlowProof::VisibleDischarge));
        assert_eq!(so(&mut scene, Sign::FallsWhenTapOpened), None);
        scene.say(reading(OUTLET, after, Water::Flowing));
        assert_eq!(
            so(&mut scene, Sign::FallsWhenTapOpened),
            Some(expected),
            "{after}"
        );
    }
}

#[test]
fn the_line_up_shows_a_shut_gauge_cock_and_an_open_bypass_but_never_that_they_are_tight() {
    let stands = |element: &str, position| {
        Body::LineUp(LineUp {
            asset: Scene::VALVE,
            element: element.to_owned(),
            position,
            counted: None,
            replaces: Vec::new(),
        })
    };
    let mut scene = Scene::new();
    scene.say(stands("outlet_gauge_cock", Position::Open));
    scene.say(stands("bypass", Position::Shut));
    assert_eq!(so(&mut scene, Sign::GaugeLineBlocked), None);
    assert_eq!(so(&mut scene, Sign::BypassOpenOrPassing), None);
    let mut scene = Scene::new();
    scene.say(stands("outlet_gauge_cock", Position::Shut));
    scene.say(stands("bypass", Position::Open));
    assert_eq!(so(&mut scene, Sign::GaugeLineBlocked), Some(true));
    assert_eq!(so(&mut scene, Sign::BypassOpenOrPassing), Some(true));
}

#[test]
fn cover_and_stem_are_read_off_the_record() {
    let mut scene = Scene::new();
    scene.say(reading("inlet", "90", Water::Flowing));
    scene.say(reading("cover", "90", Water::Flowing));
    assert_eq!(so(&mut scene, Sign::CoverAtInletPressure), Some(true));
    assert_eq!(so(&mut scene, Sign::SupplyAtCover), Some(true));
    scene.say(reading("cover", "0", Water::Flowing));
    assert_eq!(so(&mut scene, Sign::CoverAtInletPressure), Some(false));
    assert_eq!(so(&mut scene, Sign::SupplyAtCover), Some(false));
    for (digits, expected) in [("12", true), ("0", false)] {
        let Body::Reading(mut stem) = reading("stem", digits, Water::Flowing) else {
            unreachable!("a reading was made")
        };
        stem.figure = Figure::new(digits, Unit::Millimetre).unwrap();
        scene.say(Body::Reading(stem));
        assert_eq!(so(&mut scene, Sign::StemOpen), Some(expected));
    }
}

#[test]
fn an_inlet_that_swings_is_told_from_a_steady_one() {
    for (high, expected) in [("96", Some(true)), ("90", Some(false))] {
        let mut scene = Scene::new();
        for minute in 0..8 {
            let digits = if minute % 2 == 0 { "90" } else { high };
            scene.say_at(
                "Ana",
                &format!("2025-11-25T10:0{minute}:00Z"),
                reading("inlet", digits, Water::Flowing),
            );
        }
        assert_eq!(so(&mut scene, Sign::InletSwings), expected, "{high}");
    }
}

#[test]
fn an_answer_counts_until_the_record_knows_better_and_can_be_taken_back() {
    let mut scene = Scene::new();
    let answered = scene.say(says(Sign::StopsAfterBleeding, YES, Vec::new()));
    assert_eq!(so(&mut scene, Sign::StopsAfterBleeding), Some(true));
    let no = scene.say(says(Sign::StopsAfterBleeding, NO, vec![answered]));
    assert_eq!(so(&mut scene, Sign::StopsAfterBleeding), Some(false));
    scene.say(Body::Withdrawn(Withdrawn {
        entry: no,
        reason: "not bled yet".to_owned(),
    }));
    assert_eq!(so(&mut scene, Sign::StopsAfterBleeding), None);

    scene.say(says(Sign::FlowProven, YES, Vec::new()));
    assert_eq!(so(&mut scene, Sign::FlowProven), Some(true));
    scene.say(flow(FlowProof::Stopped));
    assert_eq!(so(&mut scene, Sign::FlowProven), Some(false));
}

#[test]
fn people_who_disagree_on_an_answer_have_not_answered() {
    let mut scene = Scene::new();
    scene.say(says(Sign::StemOpen, YES, Vec::new()));
    scene.say(says(Sign::StemOpen, NO, Vec::new()));
    assert_eq!(so(&mut scene, Sign::StemOpen), None);
}
