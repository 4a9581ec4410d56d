//! From a job's entries to a rate, and to the next move.

use super::*;
use crate::findings::scene::{Scene, psi};
use crate::journal::{
    Body, EntryId, FlowEvidence, FlowProof, Gauge, LineUp, ParticularValue, Particulars, Position, Purpose,
    Reading, Request, ScrewMove, Water, Withdrawn, particular,
};
use crate::procedure::{Procedure, Procedures};
use crate::quantity::{Figure, Turns, Unit};
use crate::setting::LeaveIt;
use crate::setting::learn::{Answered, LearnWarning};

const VALVE: crate::journal::AssetId = Scene::VALVE;

fn reducing() -> Procedure {
    Procedures::built_in().unwrap().get("reducing").unwrap().clone()
}

/// A job with a printed rate of 15 psi a turn, a gauge read to 1 psi, a request for 50 psi, and water moving.
struct Job(Scene);

impl Job {
    fn new() -> Self {
        let mut job = Self::dry();
        job.flow(FlowProof::Meter);
        job
    }

    /// The same without flow evidence.
    fn dry() -> Self {
        let mut job = Self(Scene::new());
        job.particular(
            particular::SPRING_RATE,
            ParticularValue::Figure(Figure::new("15", Unit::PsiPerTurn).unwrap()),
        );
        for serial in ["G-1", "G-2"] {
            job.0.say(Body::Gauge(Gauge {
                serial: serial.to_owned(),
                point: None,
                span: psi("100"),
                grade: Some("0.5 %".to_owned()),
                resolution: Some(psi("1")),
                calibration_due: None,
                zero_before: None,
                zero_after: None,
                replaces: Vec::new(),
            }));
        }
        job.0.say(Body::Request(Request {
            valve: VALVE,
            pressure: psi("50"),
            tolerance: Some(psi("2")),
            datum: "at the valve".to_owned(),
            asked_by: "Operator".to_owned(),
            zone_limit: None,
            replaces: Vec::new(),
        }));
        job
    }

    fn particular(&mut self, name: &str, value: ParticularValue) {
        self.0.say(Body::Particulars(Particulars {
            asset: VALVE,
            name: name.to_owned(),
            value,
            replaces: Vec::new(),
        }));
    }

    fn flow(&mut self, how: FlowProof) {
        self.0.say(flow(how));
    }

    fn read(&mut self, digits: &str) -> EntryId {
        self.0.say(outlet(digits, Some("G-1"), Water::Flowing))
    }

    fn turn(&mut self, turn: &str) -> EntryId {
        self.0.say(turned(turn))
    }

    fn isolated(mut self) -> Self {
        let of = reducing().element("downstream_block").unwrap().of;
        let asset = of.asset(&self.0.state(), VALVE);
        self.0.say(Body::LineUp(LineUp {
            asset,
            element: "downstream_block".to_owned(),
            position: Position::Shut,
            counted: None,
            replaces: Vec::new(),
        }));
        self
    }

    fn learned(&mut self) -> Learned {
        learned(&self.0.state(), &reducing(), VALVE, "pilot")
    }

    fn plan(&mut self) -> Result<Planned, Vec<&'static str>> {
        let state = self.0.state();
        let procedure = reducing();
        let screw = procedure.screw("pilot").unwrap();
        let evidence = Evidence::of(&state, &procedure, VALVE, screw);
        let estimate = evidence.estimate().and_then(Result::ok);
        plan(&state, &procedure, VALVE, screw, &evidence, estimate.as_ref())
    }

    fn why_no_plan(&mut self) -> Vec<&'static str> {
        self.plan().unwrap_err()
    }
}

fn flow(how: FlowProof) -> Body {
    Body::FlowEvidence(FlowEvidence {
        asset: VALVE,
        how,
        flow: None,
        place: None,
    })
}

fn outlet(digits: &str, gauge: Option<&str>, water: Water) -> Body {
    Body::Reading(Reading {
        asset: VALVE,
        point: "outlet".to_owned(),
        place: None,
        figure: psi(digits),
        gauge: gauge.map(str::to_owned),
        purpose: Purpose::Working,
        water,
        request: None,
    })
}

fn turned(turn: &str) -> Body {
    Body::ScrewMove(ScrewMove {
        asset: VALVE,
        screw: "pilot".to_owned(),
        turn: Figure::new(turn, Unit::Turn).unwrap(),
        request: None,
        planned_from: None,
    })
}

fn number(figure: &Figure) -> f64 {
    figure.digits.parse().unwrap()
}

#[test]
fn moves_with_flow_and_readings_on_both_sides_teach_the_rate() {
    let mut job = Job::new();
    let before = job.read("70");
    let first = job.turn("-1/2");
    let after = job.read("60");
    job.turn("-1/2");
    job.read("50");
    let found = job.learned();
    let rate = found.rate.unwrap();
    assert!((number(&rate.mean) - 19.5).abs() < 0.7, "{rate:?}");
    assert!(number(&rate.low) < 20.0 && number(&rate.high) > 19.0, "{rate:?}");
    assert_eq!((found.taught, found.why_not), (2, None));
    assert_eq!(
        (found.moves[0].entry, found.moves[0].before, found.moves[0].after),
        (first, Some(before), Some(after))
    );
    assert_eq!(found.moves[0].answered, Answered::Plausibly);
    assert_eq!(found.dead_band, None);
}

#[test]
fn a_move_without_flow_evidence_teaches_nothing() {
    let mut job = Job::dry();
    job.read("70");
    job.turn("-1/2");
    job.read("60");
    let found = job.learned();
    assert_eq!(found.taught, 0);
    assert_eq!(found.moves[0].unseen, Some(Unseen::NoFlow));
    assert_eq!(found.rate.unwrap().mean.digits, "15.00");
    // The same, told after the fact: what nobody knew while reading does not count either.
    job.flow(FlowProof::Meter);
    assert_eq!(job.learned().taught, 0);
}

#[test]
fn once_the_water_was_stopped_a_move_teaches_nothing_until_it_is_shown_to_move_again() {
    let mut job = Job::new();
    job.read("70");
    job.flow(FlowProof::Stopped);
    job.turn("-1/2");
    job.read("62");
    assert_eq!(job.learned().moves[0].unseen, Some(Unseen::NoFlow));
    job.flow(FlowProof::VisibleDischarge);
    let flowing = job.read("62");
    let found = job.learned();
    assert_eq!(
        (found.moves[0].unseen, found.moves[0].after),
        (None, Some(flowing))
    );
}

#[test]
fn readings_of_two_gauges_are_not_held_against_each_other() {
    let mut job = Job::new();
    job.0.say(outlet("70", Some("G-2"), Water::Flowing));
    job.turn("-1/2");
    job.read("60");
    assert_eq!(job.learned().moves[0].unseen, Some(Unseen::OtherGauge));
}

#[test]
fn a_reading_that_the_one_who_turned_had_not_seen_does_not_count_as_made_before_the_turn() {
    let mut job = Job::new();
    let mut mate = job.0.mate();
    mate.say(outlet("70", Some("G-1"), Water::Flowing));
    job.turn("-1/2");
    job.read("60");
    job.0.hears(&mate);
    let found = job.learned();
    assert_eq!(found.moves[0].unseen, Some(Unseen::NotRead));
    // Nor does it drive the next move: the newest reading made in knowledge of the turn does.
    let plan = job.plan().unwrap();
    assert_eq!(
        job.0
            .state()
            .entry(plan.from)
            .map(|folded| folded.entry.told.body.clone()),
        Some(outlet("60", Some("G-1"), Water::Flowing))
    );
}

#[test]
fn a_reading_withdrawn_is_as_if_never_made() {
    let mut job = Job::new();
    job.read("70");
    job.turn("-1/2");
    let slip = job.read("26");
    job.0.say(Body::Withdrawn(Withdrawn {
        entry: slip,
        reason: "misread".to_owned(),
    }));
    job.read("62");
    let found = job.learned();
    let rate = number(&found.rate.unwrap().mean);
    assert!((15.0..18.0).contains(&rate), "{rate}");
    assert_eq!(found.points.len(), 2);
}

#[test]
fn the_points_and_the_line_are_told_from_as_found() {
    let mut job = Job::new();
    job.read("70");
    job.turn("-1/2");
    job.read("62");
    let found = job.learned();
    let points: Vec<_> = found
        .points
        .iter()
        .map(|point| {
            (
                point.turns.digits.as_str(),
                point.pressure.digits.as_str(),
                point.used,
            )
        })
        .collect();
    assert_eq!(points, [("0.000", "70", true), ("-0.500", "62", true)]);
    let ends = (found.line.first().unwrap(), found.line.last().unwrap());
    assert_eq!(
        (ends.0.turns.digits.as_str(), ends.1.turns.digits.as_str()),
        ("-0.750", "0.250")
    );
    for point in &found.line {
        assert!(
            number(&point.low) <= number(&point.pressure) && number(&point.pressure) <= number(&point.high)
        );
    }
    let rising = found.line.windows(2);
    assert!(
        rising
            .into_iter()
            .all(|pair| number(&pair[0].pressure) <= number(&pair[1].pressure))
    );
}

#[test]
fn the_surroundings_of_the_screw_are_warned_of() {
    let mut job = Job::new();
    job.particular(particular::SPRING_LOW, ParticularValue::Figure(psi("20")));
    job.particular(particular::SPRING_HIGH, ParticularValue::Figure(psi("75")));
    job.0.say(Body::Reading(Reading {
        point: "inlet".to_owned(),
        ..match outlet("73", Some("G-2"), Water::Flowing) {
            Body::Reading(reading) => reading,
            _ => unreachable!(),
        }
    }));
    job.read("72");
    assert_eq!(
        job.learned().warnings,
        [LearnWarning::NearSpringEnd, LearnWarning::StarvedByInlet]
    );
}

#[test]
fn without_a_printed_rate_or_a_screw_it_says_why_nothing_is_learned() {
    let mut scene = Scene::new();
    let state = scene.state();
    let of = |screw| learned(&state, &reducing(), VALVE, screw).why_not;
    assert_eq!(of("pilot").as_deref(), Some("no_rate"));
    assert_eq!(of("none").as_deref(), Some("no_screw"));
}

#[test]
fn the_next_move_is_by_turns_while_isolated_and_by_pressure_on_line() {
    let mut job = Job::new().isolated();
    job.read("80");
    let plan = job.plan().unwrap();
    assert_eq!(plan.next.turns, Turns::of(-0.5));
    assert!(plan.moves >= 4, "{plan:?}");
    let mut job = Job::new();
    job.read("80");
    let plan = job.plan().unwrap();
    assert!(
        plan.next.turns < Turns::ZERO && plan.next.turns >= Turns::of(-1.0 / 3.0),
        "{plan:?}"
    );
    let expected = plan.next.expected;
    assert!(expected.low < expected.reading && expected.reading < expected.high);
}

#[test]
fn within_tolerance_it_says_to_leave_it() {
    let mut job = Job::new();
    job.read("50");
    assert_eq!(job.plan().unwrap().next.leave, Some(LeaveIt::WithinTolerance));
}

#[test]
fn a_reading_older_than_the_last_turn_never_drives_a_move() {
    let mut job = Job::new();
    assert_eq!(job.why_no_plan(), ["no_reading"]);
    job.read("70");
    job.turn("-1/4");
    assert_eq!(job.why_no_plan(), ["reading_older_than_turn"]);
    job.0.say(outlet("66", Some("G-1"), Water::Still));
    assert_eq!(job.why_no_plan(), ["reading_without_flow"]);
    job.read("66");
    assert!(job.plan().is_ok());
}

#[test]
fn a_turn_that_was_not_answered_wants_flow_proven_again() {
    let mut job = Job::new();
    job.read("70");
    job.turn("-1/2");
    job.read("70");
    assert_eq!(job.learned().warnings, [LearnWarning::NoAnswer]);
    assert_eq!(job.why_no_plan(), ["prove_flow_again"]);
    job.flow(FlowProof::Meter);
    assert!(job.plan().is_ok());
}

#[test]
fn a_turn_that_sent_the_pressure_the_wrong_way_is_not_followed_by_another() {
    let mut job = Job::new();
    job.read("70");
    job.turn("-1/2");
    job.read("76");
    assert_eq!(job.why_no_plan(), ["went_wrong_way"]);
    // Where the screw was seen to act the other way round, that is its right way.
    job.particular(particular::CLOCKWISE, ParticularValue::Text("lowers".to_owned()));
    let plan = job.plan().unwrap();
    assert!(plan.next.turns > Turns::ZERO, "{plan:?}");
}

#[test]
fn while_the_readings_show_the_pressure_on_its_way_no_move_is_planned_and_none_is_judged() {
    let mut job = Job::new();
    job.read("70");
    job.turn("-1/2");
    for (second, digits) in [("00", "69"), ("20", "65.5"), ("40", "63.5"), ("59", "62.5")] {
        let at = format!("2025-11-25T02:00:{second}-06:00");
        job.0
            .say_at("Ana", &at, outlet(digits, Some("G-1"), Water::Flowing));
    }
    assert_eq!(job.why_no_plan(), ["still_settling"]);
    assert_eq!(job.learned().moves[0].unseen, Some(Unseen::NotSettled));
}
