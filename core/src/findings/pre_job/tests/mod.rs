//! Each check, from what is said on a job to what it says.

mod beside;
mod customers;
mod hydraulics;
mod limits;
mod scale;
mod supply;

use super::{Check, CheckCode, CheckNote, FigureName, RuleKind, Verdict, checks};
use crate::findings::scene::{Scene, psi};
use crate::journal::{AssetId, Body, Gauge, ParticularValue, Particulars, Purpose, Reading, Request, Water};
use crate::procedure::Procedures;
use crate::quantity::{Figure, Unit};
use std::sync::LazyLock;

/// A job that somebody tells things about.
struct Job {
    scene: Scene,
    procedure: &'static str,
}

impl Job {
    fn new() -> Self {
        Self::of("reducing", None)
    }

    fn of(procedure: &'static str, beside: Option<&str>) -> Self {
        Self {
            scene: Scene::worked_by(procedure, beside),
            procedure,
        }
    }

    /// The usual job: 60 psi asked, at most 90, inlet 100 to 120 psi.
    fn usual() -> Self {
        Self::new()
            .asked("60")
            .told("inlet_low", "100", Unit::Psi)
            .told("inlet_high", "120", Unit::Psi)
    }

    fn asked(self, pressure: &str) -> Self {
        self.asked_of(Scene::VALVE, pressure, None)
    }

    fn asked_of(mut self, valve: AssetId, pressure: &str, tolerance: Option<&str>) -> Self {
        self.scene.say(Body::Request(Request {
            valve,
            pressure: psi(pressure),
            tolerance: tolerance.map(psi),
            datum: "at the valve".to_owned(),
            asked_by: "the district".to_owned(),
            zone_limit: Some(psi("90")),
            replaces: Vec::new(),
        }));
        self
    }

    fn told(self, name: &str, digits: &str, unit: Unit) -> Self {
        let figure = Figure::new(digits, unit).unwrap();
        self.says(Scene::VALVE, name, ParticularValue::Figure(figure))
    }

    fn of_station(self, name: &str, digits: &str, unit: Unit) -> Self {
        let figure = Figure::new(digits, unit).unwrap();
        self.says(Scene::STATION, name, ParticularValue::Figure(figure))
    }

    fn says(mut self, asset: AssetId, name: &str, value: ParticularValue) -> Self {
        self.scene.say(Body::Particulars(Particulars {
            asset,
            name: name.to_owned(),
            value,
            replaces: Vec::new(),
        }));
        self
    }

    fn reads_inlet(mut self, digits: &str) -> Self {
        self.scene.say(Body::Reading(Reading {
            asset: Scene::VALVE,
            point: "inlet".to_owned(),
            place: None,
            figure: psi(digits),
            gauge: None,
            purpose: Purpose::AsFound,
            water: Water::Unknown,
            request: None,
        }));
        self
    }

    fn gauge(mut self, serial: &str, point: Option<&str>, span: &str) -> Self {
        self.scene.say(Body::Gauge(Gauge {
            serial: serial.to_owned(),
            point: point.map(str::to_owned),
            span: psi(span),
            grade: None,
            resolution: None,
            calibration_due: None,
            zero_before: None,
            zero_after: None,
            replaces: Vec::new(),
        }));
        self
    }

    fn checks(&mut self) -> Vec<Check> {
        // Read once: every test works by the same.
        static PROCEDURES: LazyLock<Procedures> = LazyLock::new(|| Procedures::built_in().unwrap());
        let procedures = &*PROCEDURES;
        checks(
            &self.scene.state(),
            procedures.get(self.procedure).unwrap(),
            Scene::VALVE,
        )
    }

    /// The one check of this code.
    fn check(&mut self, code: CheckCode) -> Check {
        let all = self.checks();
        let mut of_code = all.into_iter().filter(|check| check.code == code);
        let check = of_code.next().unwrap();
        assert_eq!(of_code.next(), None);
        check
    }
}

impl Check {
    /// A figure of it, in its own unit.
    fn digits(&self, name: FigureName) -> &str {
        let named = self.figures.iter().find(|named| named.name == name);
        &named.unwrap().figure.digits
    }

    fn missing(&self) -> Vec<&str> {
        self.not_known.iter().map(|each| each.name.as_str()).collect()
    }

    fn has(&self, note: CheckNote) -> bool {
        self.notes.contains(&note)
    }
}

#[test]
fn every_check_of_an_empty_job_cannot_say_and_names_what_it_misses() {
    let checks = Job::new().checks();
    assert_eq!(
        checks.iter().map(|check| check.code).collect::<Vec<_>>(),
        [
            CheckCode::SpringRange,
            CheckCode::MinDifferential,
            CheckCode::ChokedFlow,
            CheckCode::Cavitation,
            CheckCode::Velocity,
            CheckCode::OpeningAtPeak,
            CheckCode::OpeningAtLeast,
            CheckCode::LeastFlow,
            CheckCode::HighestCustomer,
            CheckCode::LowestCustomer,
            CheckCode::BuildingStatic,
            CheckCode::ZoneLimit,
            CheckCode::GaugeRange,
        ]
    );
    for check in &checks {
        assert_eq!(check.verdict, Verdict::NotKnown, "{:?}", check.code);
        assert!(!check.not_known.is_empty(), "{:?}", check.code);
        assert!(!check.has(CheckNote::NoSense), "{:?}", check.code);
    }
    assert_eq!(
        checks[5].missing(),
        ["flow_peak", "request", "inlet_low", "coefficient", "recovery"]
    );
}

#[test]
fn a_check_that_comes_out_lists_nothing_as_missing() {
    let mut job = Job::usual()
        .told("spring_low", "30", Unit::Psi)
        .told("spring_high", "300", Unit::Psi)
        .gauge("G-1", Some("outlet"), "100");
    for check in job.checks() {
        assert_eq!(
            check.not_known.is_empty(),
            check.verdict != Verdict::NotKnown,
            "{check:?}"
        );
    }
}

#[test]
fn a_valve_taken_out_of_service_is_asked_for_nothing_but_its_zone_and_gauges() {
    let codes: Vec<_> = Job::of("shut_down", None)
        .checks()
        .into_iter()
        .map(|check| check.code)
        .collect();
    assert_eq!(codes, [CheckCode::ZoneLimit, CheckCode::GaugeRange]);
}

/// Common practice, no source: a tenth of the range away from either end.
#[test]
fn a_target_near_the_end_of_the_spring_is_looked_at_and_one_beyond_it_is_outside() {
    let of = |asked| {
        let mut job =
            Job::new()
                .asked(asked)
                .told("spring_low", "30", Unit::Psi)
                .told("spring_high", "300", Unit::Psi);
        job.check(CheckCode::SpringRange)
    };
    for (asked, verdict) in [
        ("29", Verdict::Outside),
        ("56", Verdict::Look),
        ("57", Verdict::Good),
        ("273", Verdict::Good),
        ("274", Verdict::Look),
        ("301", Verdict::Outside),
    ] {
        assert_eq!(of(asked).verdict, verdict, "{asked}");
    }
    let near = of("56");
    assert_eq!(near.digits(FigureName::InsideFrom), "57.0");
    assert_eq!(near.digits(FigureName::InsideTo), "273.0");
    assert_eq!(near.rule.kind, RuleKind::CommonPractice);
    assert_eq!(of("301").rule.kind, RuleKind::Manual);
}

#[test]
fn each_screw_is_checked_against_its_own_spring() {
    let mut job = Job::of("reducing_sustaining", None)
        .asked("60")
        .told("spring_low", "30", Unit::Psi)
        .told("spring_high", "300", Unit::Psi)
        .told("sustain_at", "90", Unit::Psi)
        .told("sustaining_spring_low", "20", Unit::Psi)
        .told("sustaining_spring_high", "80", Unit::Psi);
    let springs: Vec<_> = job
        .checks()
        .into_iter()
        .filter(|check| check.code == CheckCode::SpringRange)
        .map(|check| (check.about.unwrap().en, check.verdict))
        .collect();
    assert_eq!(
        springs,
        [
            ("Screw of the reducing pilot".to_owned(), Verdict::Good),
            ("Screw of the sustaining pilot".to_owned(), Verdict::Outside)
        ]
    );
}

#[test]
fn the_lowest_inlet_of_the_day_counts_and_where_nobody_told_it_the_newest_reading_does() {
    let with = |job: Job| {
        job.asked("60")
            .told("min_differential", "10", Unit::Psi)
            .check(CheckCode::MinDifferential)
    };
    let told = with(Job::new().told("inlet_low", "69", Unit::Psi).reads_inlet("95"));
    assert_eq!(told.verdict, Verdict::Outside);
    assert_eq!(told.digits(FigureName::Drop), "9.0");
    assert!(!told.has(CheckNote::InletAsRead));
    let read = with(Job::new().reads_inlet("40").reads_inlet("70"));
    assert_eq!(read.verdict, Verdict::Good);
    assert!(read.has(CheckNote::InletAsRead));
    assert_eq!(read.rule.kind, RuleKind::Manual);
    assert_eq!(with(Job::new()).missing(), ["inlet_low"]);
}

#[test]
fn what_two_people_say_differently_or_in_words_is_named_with_the_reason() {
    use super::NotKnownBecause;
    let because = |job: Job| {
        let check = job
            .asked("60")
            .told("inlet_low", "90", Unit::Psi)
            .check(CheckCode::MinDifferential);
        check
            .not_known
            .into_iter()
            .map(|each| each.because)
            .collect::<Vec<_>>()
    };
    let twice = |job: Job| job.told("min_differential", "8", Unit::Psi);
    assert_eq!(
        because(twice(Job::new()).told("min_differential", "10", Unit::Psi)),
        [NotKnownBecause::Disagreed]
    );
    let words = ParticularValue::Text("about eight".to_owned());
    assert_eq!(
        because(Job::new().says(Scene::VALVE, "min_differential", words)),
        [NotKnownBecause::NoFigure]
    );
    assert_eq!(
        because(Job::new().told("min_differential", "8", Unit::Turn)),
        [NotKnownBecause::NoFigure]
    );
    assert_eq!(because(Job::new()), [NotKnownBecause::NotSaid]);
}
