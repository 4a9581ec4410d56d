//! Three visits to one valve.

use super::{Compared, Drifted, RateChanged, closed_at, compare, visit};
use crate::findings::scene::{Scene, psi};
use crate::journal::{
    Body, EntryId, Gauge, History, Outcome, ParticularValue, Particulars, Purpose, ReOpened, Reading,
    Request, ScrewMove, SignOff, StepMark, Water, particular,
};
use crate::procedure::{Procedure, Procedures};
use crate::quantity::{Figure, Unit};
use std::sync::OnceLock;

fn procedures() -> &'static Procedures {
    static READ_ONCE: OnceLock<Procedures> = OnceLock::new();
    READ_ONCE.get_or_init(|| Procedures::built_in().unwrap())
}

fn reducing() -> &'static Procedure {
    procedures().get("reducing").unwrap()
}

fn figure(digits: &str, unit: Unit) -> Figure {
    Figure::new(digits, unit).unwrap()
}

impl Scene {
    fn reads(&mut self, point: &str, digits: &str, purpose: Purpose, water: Water) -> EntryId {
        self.say(Body::Reading(Reading {
            asset: Self::VALVE,
            point: point.to_owned(),
            place: None,
            figure: psi(digits),
            gauge: Some("G-2".to_owned()),
            purpose,
            water,
            request: None,
        }))
    }

    fn turns(&mut self, digits: &str) {
        self.say(Body::ScrewMove(ScrewMove {
            asset: Self::VALVE,
            screw: "pilot".to_owned(),
            turn: figure(digits, Unit::Turn),
            request: None,
            planned_from: None,
        }));
    }

    fn knows(&mut self, name: &str, value: ParticularValue) {
        self.say(Body::Particulars(Particulars {
            asset: Self::VALVE,
            name: name.to_owned(),
            value,
            replaces: Vec::new(),
        }));
    }

    fn signs(&mut self, digest: &str) -> EntryId {
        self.say(Body::SignOff(SignOff {
            digest: digest.to_owned(),
            heads: Vec::new(),
            clock: std::collections::BTreeMap::new(),
            revision: 1,
            key: None,
            signed_at: None,
            signature: None,
        }))
    }

    fn carries(&mut self, history: &History) -> EntryId {
        self.say(Body::History(history.clone()))
    }

    fn compared(&mut self) -> Compared {
        let state = self.state();
        compare(&state, reducing(), Self::VALVE)
    }

    /// A whole visit, as far as history looks at it: found, turned twice at 14 psi a turn, left.
    fn visited(found: &str, digest: &str) -> Scene {
        let mut scene = Scene::new();
        scene.say(Body::Request(Request {
            valve: Self::VALVE,
            pressure: psi("55"),
            tolerance: None,
            datum: "at the valve".to_owned(),
            asked_by: "District".to_owned(),
            zone_limit: None,
            replaces: Vec::new(),
        }));
        scene.knows(
            particular::SPRING_RATE,
            ParticularValue::Figure(figure("14", Unit::PsiPerTurn)),
        );
        scene.say(Body::Gauge(Gauge {
            serial: "G-2".to_owned(),
            point: Some("outlet".to_owned()),
            span: psi("100"),
            grade: None,
            resolution: Some(psi("0.2")),
            calibration_due: None,
            zero_before: None,
            zero_after: None,
            replaces: Vec::new(),
        }));
        scene.reads("outlet", found, Purpose::AsFound, Water::Flowing);
        scene.reads("outlet", "41", Purpose::Working, Water::Flowing);
        scene.turns("1/2");
        scene.reads("outlet", "48", Purpose::Working, Water::Flowing);
        scene.turns("1/2");
        scene.reads("outlet", "55", Purpose::Working, Water::Flowing);
        scene.reads("spool", "57.5", Purpose::LockUp, Water::Still);
        scene.reads("spool", "58", Purpose::LockUp, Water::Still);
        scene.knows(
            particular::STATIC_DIFFERENCE,
            ParticularValue::Figure(psi("-1.5")),
        );
        scene.reads("outlet", "55", Purpose::AsLeft, Water::Flowing);
        scene.signs(digest);
        scene
    }
}

#[test]
fn the_first_visit_on_record_compares_with_nothing() {
    let mut scene = Scene::new();
    scene.reads("outlet", "60", Purpose::AsFound, Water::Flowing);
    assert_eq!(scene.compared(), Compared::default());
}

#[test]
fn a_closed_visit_is_summed_up_as_it_was_read() {
    let mut scene = Scene::visited("60", "d1");
    scene.knows(
        particular::FAULTS_FOUND,
        ParticularValue::Text("pilot strainer half blocked".to_owned()),
    );
    let state = scene.state();
    let visit = visit(&state, procedures(), Scene::VALVE).unwrap();
    assert_eq!(visit.more.as_found, Some(psi("60")));
    assert_eq!(visit.as_left, Some(psi("55")));
    assert_eq!(visit.more.requested, Some(psi("55")));
    assert_eq!(visit.static_difference, Some(psi("-1.5")));
    assert_eq!(visit.more.lock_up, Some(psi("58")));
    assert_eq!(visit.more.moves, Some(2));
    assert_eq!(visit.more.turned, Some(figure("1.000", Unit::Turn)));
    assert_eq!(visit.records, ["d1"]);
    assert_eq!(visit.more.number.as_deref(), Some("J-1"));
    assert_eq!(visit.more.faults.len(), 1);
    assert_eq!(visit.more.faults[0].en, "pilot strainer half blocked");
    let learned = visit.learned_rate.unwrap();
    assert_eq!(learned.unit, Unit::PsiPerTurn);
    assert!((learned.value().unwrap() - 14.0).abs() < 0.5, "{learned}");
}

#[test]
fn a_limit_on_what_the_setting_is_worth_is_a_fault_found() {
    let mut scene = Scene::visited("60", "d1");
    scene.say(Body::StepMark(StepMark {
        asset: Scene::VALVE,
        procedure: "reducing".to_owned(),
        step: "pre_job.scope".to_owned(),
        outcome: Outcome::Chosen("listed".to_owned()),
        overridden: Vec::new(),
        reason: None,
        replaces: Vec::new(),
    }));
    let state = scene.state();
    let faults = visit(&state, procedures(), Scene::VALVE).unwrap().more.faults;
    assert!(
        faults
            .iter()
            .any(|fault| fault.en.starts_with("Listed for fire protection")),
        "{faults:?}"
    );
    assert!(faults.iter().all(|fault| fault.en != fault.es), "{faults:?}");
}

#[test]
fn a_job_that_is_open_or_opened_again_is_no_visit_yet() {
    let mut open = Scene::new();
    open.reads("outlet", "55", Purpose::AsLeft, Water::Flowing);
    assert_eq!(visit(&open.state(), procedures(), Scene::VALVE), None);
    let mut scene = Scene::visited("60", "d1");
    assert!(closed_at(&scene.state()).is_some());
    let state = scene.state();
    let signed = state
        .entries
        .iter()
        .find(|it| matches!(it.entry.told.body, Body::SignOff(_)));
    let sign_off = signed.unwrap().entry.id;
    scene.say(Body::ReOpened(ReOpened {
        sign_off,
        reason: "late entries".to_owned(),
    }));
    assert_eq!(visit(&scene.state(), procedures(), Scene::VALVE), None);
}

#[test]
fn over_three_visits_the_drift_is_from_the_last_as_left_to_this_as_found() {
    let mut first = visit(&Scene::visited("60", "d1").state(), procedures(), Scene::VALVE).unwrap();
    first.closed_at = "2023-05-02T10:00:00-06:00".to_owned();
    first.as_left = Some(psi("52"));
    first.more.job = None;
    let mut second = visit(&Scene::visited("60", "d2").state(), procedures(), Scene::VALVE).unwrap();
    second.closed_at = "2024-05-02T10:00:00-06:00".to_owned();
    let mut third = Scene::new();
    // Told in whatever order, the newest visit is compared with.
    let newest = third.carries(&second);
    third.carries(&first);
    third.reads("outlet", "59.5", Purpose::AsFound, Water::Flowing);
    let compared = third.compared();
    let closed: Vec<&str> = compared
        .visits
        .iter()
        .map(|visit| &visit.history.closed_at[..4])
        .collect();
    assert_eq!(closed, ["2024", "2023"]);
    let drift = compared.drift.unwrap();
    assert_eq!(drift.earlier, newest);
    assert_eq!((drift.left, drift.found), (psi("55"), psi("59.5")));
    assert_eq!(drift.change, psi("4.5"));
    assert_eq!(drift.verdict, Drifted::Drifted);
}

#[test]
fn within_the_tolerance_it_stood_and_standing_water_says_nothing() {
    let earlier = visit(&Scene::visited("60", "d1").state(), procedures(), Scene::VALVE).unwrap();
    let verdict = |digits: &str, water: Water| {
        let mut now = Scene::new();
        now.carries(&earlier);
        now.reads("outlet", digits, Purpose::AsFound, water);
        now.compared().drift.unwrap().verdict
    };
    // 5 % of 55 psi is 2.75 psi, more than 2 psi.
    assert_eq!(verdict("57.7", Water::Flowing), Drifted::Stood);
    assert_eq!(verdict("57.8", Water::Flowing), Drifted::Drifted);
    assert_eq!(verdict("52.2", Water::Flowing), Drifted::Drifted);
    assert_eq!(verdict("55", Water::Still), Drifted::NotFlowing);
    assert_eq!(verdict("55", Water::Unknown), Drifted::NotFlowing);
}

#[test]
fn a_reading_with_water_moving_goes_before_one_without() {
    let earlier = visit(&Scene::visited("60", "d1").state(), procedures(), Scene::VALVE).unwrap();
    let mut now = Scene::new();
    now.carries(&earlier);
    now.reads("outlet", "90", Purpose::AsFound, Water::Still);
    now.reads("outlet", "55", Purpose::AsFound, Water::Flowing);
    let drift = now.compared().drift.unwrap();
    assert_eq!((drift.found, drift.verdict), (psi("55"), Drifted::Stood));
}

#[test]
fn the_rate_learned_now_is_laid_beside_the_one_learned_then() {
    let mut earlier = visit(&Scene::visited("60", "d1").state(), procedures(), Scene::VALVE).unwrap();
    let mut untouched = Scene::new();
    untouched.carries(&earlier);
    assert_eq!(untouched.compared().rate.unwrap().verdict, RateChanged::NotYet);
    let rate = |earlier: &History| {
        let mut now = Scene::visited("60", "d2");
        now.carries(earlier);
        now.compared().rate.unwrap()
    };
    assert_eq!(rate(&earlier).verdict, RateChanged::Same);
    earlier.learned_rate = Some(figure("27", Unit::PsiPerTurn));
    let changed = rate(&earlier);
    assert_eq!(changed.verdict, RateChanged::Changed);
    assert_eq!(changed.then, figure("27", Unit::PsiPerTurn));
}

#[test]
fn the_last_static_difference_predicts_where_the_outlet_comes_to_on_line() {
    let earlier = visit(&Scene::visited("60", "d1").state(), procedures(), Scene::VALVE).unwrap();
    let mut now = Scene::new();
    now.carries(&earlier);
    assert_eq!(now.compared().predicted, None, "nothing set static yet");
    let reading = now.reads("test_bleed", "56", Purpose::StaticSetting, Water::Still);
    let predicted = now.compared().predicted.unwrap();
    assert_eq!(predicted.reading, reading);
    assert_eq!(predicted.difference, psi("-1.5"));
    assert_eq!(predicted.on_line, psi("54.5"));
}

#[test]
fn one_visit_told_twice_is_one_visit() {
    let earlier = visit(&Scene::visited("60", "d1").state(), procedures(), Scene::VALVE).unwrap();
    let mut now = Scene::new();
    now.carries(&earlier);
    now.carries(&earlier);
    assert_eq!(now.compared().visits.len(), 1);
}
