//! How sure a reading is, by the gauge it was read on.

use crate::gauge::{Accuracy, GaugeSpec, Grade, Part};
use crate::journal::{AssetId, Body, Gauge, JobState, Reading, Register, Stand};
use crate::quantity::{Figure, GaugePressure, PressureDifference};
use jiff::civil::Date;
use std::collections::HashMap;

/// The grade taken where none is on record, or none that is known. Common practice, no source: what a plain
/// commercial gauge is usually sold as.
pub const ASSUMED_GRADE: Grade = Grade::B;

/// The span taken for a gauge that is not on record, in readings: the reading stands in the middle of it.
/// Common practice, no source.
const ASSUMED_SPAN: f64 = 2.0;

/// The smallest span taken for a gauge that is not on record. Common practice, no source.
const LEAST_ASSUMED_SPAN: PressureDifference = PressureDifference::psi(100.0);

/// The point whose readings a gauge must survive.
const INLET: &str = "inlet";

/// How sure a reading is.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingUncertainty {
    /// The standard uncertainty (GUM): from the limit of error, the resolution, and a zero that is off.
    pub standard: PressureDifference,
    /// What it comes from.
    pub basis: Basis,
    /// What is wrong with the gauge or not known of it, in a fixed order.
    pub problems: Vec<GaugeProblem>,
}

impl ReadingUncertainty {
    /// The expanded uncertainty: twice the standard one.
    pub fn expanded(&self) -> PressureDifference {
        self.standard * crate::gauge::COVERAGE
    }
}

/// What an uncertainty comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The gauge with this serial, as it is on record.
    Gauge(String),
    /// A gauge that had to be assumed: [`ASSUMED_GRADE`], twice the reading as its span, at least 100 psi.
    Assumed,
}

/// What is wrong with a gauge, or not known of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GaugeProblem {
    /// The reading names no gauge, or one that is not on record.
    NotOnRecord,
    /// What people say about the gauge differs: the one that makes the reading less sure counts.
    Disagreed,
    /// Its span is no pressure above zero: one had to be assumed.
    SpanUnknown,
    /// Its grade is not on record or not known here: [`ASSUMED_GRADE`] was taken.
    GradeAssumed,
    /// Its calibration had run out on the day of the reading.
    OutOfCalibration,
    /// No date of calibration that can be read is on record.
    CalibrationUnknown,
    /// The reading is beyond the scale.
    BeyondScale,
    /// The reading is outside 25-75 % of the span. Common practice, no source.
    OffRange,
    /// The span does not reach the newest inlet pressure: the gauge stays valved off. Common practice, no source.
    BelowInlet,
    /// Vented, it showed more than its limit of error.
    ZeroOff,
}

impl GaugeProblem {
    /// Every problem.
    pub const ALL: [Self; 10] = [
        Self::NotOnRecord,
        Self::Disagreed,
        Self::SpanUnknown,
        Self::GradeAssumed,
        Self::OutOfCalibration,
        Self::CalibrationUnknown,
        Self::BeyondScale,
        Self::OffRange,
        Self::BelowInlet,
        Self::ZeroOff,
    ];

    /// The stable code of this problem.
    pub fn code(self) -> &'static str {
        match self {
            Self::NotOnRecord => "gauge_not_on_record",
            Self::Disagreed => "gauge_disagreed",
            Self::SpanUnknown => "gauge_span_unknown",
            Self::GradeAssumed => "gauge_grade_assumed",
            Self::OutOfCalibration => "gauge_out_of_calibration",
            Self::CalibrationUnknown => "gauge_calibration_unknown",
            Self::BeyondScale => "gauge_beyond_scale",
            Self::OffRange => "gauge_off_range",
            Self::BelowInlet => "gauge_below_inlet",
            Self::ZeroOff => "gauge_zero_off",
        }
    }
}

/// How sure a reading is, by its gauge as it is on record. `at` is the reading's own time (RFC 3339, as its entry
/// says it): a calibration holds through the day it runs out, as the clock on the spot had it.
///
/// A zero that is off is not taken off the reading (a figure stays as it was read): it makes it less sure, as
/// limits of that width either way. None: the reading is no pressure.
pub fn uncertainty_of(state: &JobState, reading: &Reading, at: &str) -> Option<ReadingUncertainty> {
    uncertainty_given(state, reading, at, newest_inlet(state, reading))
}

/// The same for one who looks at many readings and has the newest inlet pressure of each valve at hand.
pub fn uncertainty_given(
    state: &JobState,
    reading: &Reading,
    at: &str,
    inlet: Option<GaugePressure>,
) -> Option<ReadingUncertainty> {
    let read = GaugePressure::try_from(&reading.figure).ok()?;
    let mut found = match gauges(state, reading).as_slice() {
        [] => assumed(read, &reading.figure),
        [only] => by_gauge(only, read, &reading.figure, inlet, at),
        several => {
            let all = several
                .iter()
                .map(|gauge| by_gauge(gauge, read, &reading.figure, inlet, at));
            let mut worst =
                all.max_by(|one, other| one.standard.in_pa().total_cmp(&other.standard.in_pa()))?;
            worst.problems.push(GaugeProblem::Disagreed);
            worst
        }
    };
    found.problems.sort_unstable();
    Some(found)
}

/// What stands about the reading's gauge.
fn gauges<'a>(state: &'a JobState, reading: &Reading) -> Vec<&'a Gauge> {
    let Some(serial) = reading.gauge.clone() else {
        return Vec::new();
    };
    let gauge = |body: &'a Body| match body {
        Body::Gauge(gauge) => Some(gauge),
        _ => None,
    };
    match state.standing(&Register::Gauge { serial }) {
        Stand::Agreed(body, _) => gauge(body).into_iter().collect(),
        Stand::Disagreed(all) => all.into_iter().filter_map(|(body, _)| gauge(body)).collect(),
        Stand::Never | Stand::Unknown => Vec::new(),
    }
}

/// The newest inlet pressure of every valve that has one.
pub fn newest_inlets(state: &JobState) -> HashMap<AssetId, GaugePressure> {
    let inlets = state.live().filter_map(|folded| match &folded.entry.told.body {
        Body::Reading(inlet) if inlet.point == INLET => {
            Some((inlet.asset, GaugePressure::try_from(&inlet.figure).ok()?))
        }
        _ => None,
    });
    inlets.collect()
}

fn newest_inlet(state: &JobState, reading: &Reading) -> Option<GaugePressure> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::Reading(inlet) if inlet.asset == reading.asset && inlet.point == INLET => {
                GaugePressure::try_from(&inlet.figure).ok()
            }
            _ => None,
        })
}

fn assumed(read: GaugePressure, figure: &Figure) -> ReadingUncertainty {
    ReadingUncertainty {
        standard: spec(assumed_span(read), Accuracy::Grade(ASSUMED_GRADE), None, figure).standard(Some(read)),
        basis: Basis::Assumed,
        problems: vec![GaugeProblem::NotOnRecord],
    }
}

fn assumed_span(read: GaugePressure) -> PressureDifference {
    let twice = PressureDifference::pa(read.in_pa() * ASSUMED_SPAN);
    if twice > LEAST_ASSUMED_SPAN {
        twice
    } else {
        LEAST_ASSUMED_SPAN
    }
}

/// A gauge whose resolution, where nobody gave it, is the step of the last digit that was written.
fn spec(
    span: PressureDifference,
    accuracy: Accuracy,
    resolution: Option<PressureDifference>,
    figure: &Figure,
) -> GaugeSpec {
    GaugeSpec {
        span,
        accuracy,
        resolution: resolution.or_else(|| last_digit(figure)),
    }
}

fn last_digit(figure: &Figure) -> Option<PressureDifference> {
    let decimals = figure
        .digits
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let step = 10.0_f64.powi(-i32::try_from(decimals).ok()?);
    PressureDifference::from_unit(step, figure.unit).ok()
}

fn difference(figure: Option<&Figure>) -> Option<PressureDifference> {
    PressureDifference::try_from(figure?)
        .ok()
        .filter(|difference| difference.is_finite())
}

fn by_gauge(
    gauge: &Gauge,
    read: GaugePressure,
    figure: &Figure,
    inlet: Option<GaugePressure>,
    at: &str,
) -> ReadingUncertainty {
    let mut problems = Vec::new();
    let known_span = difference(Some(&gauge.span)).filter(|span| *span > PressureDifference::ZERO);
    let accuracy = gauge
        .grade
        .as_deref()
        .and_then(|words| words.parse().ok())
        .unwrap_or_else(|| {
            problems.push(GaugeProblem::GradeAssumed);
            Accuracy::Grade(ASSUMED_GRADE)
        });
    let resolution = difference(gauge.resolution.as_ref()).filter(|step| *step >= PressureDifference::ZERO);
    let spec = spec(
        known_span.unwrap_or_else(|| assumed_span(read)),
        accuracy,
        resolution,
        figure,
    );
    match known_span {
        None => problems.push(GaugeProblem::SpanUnknown),
        Some(span) => {
            let top = GaugePressure::pa(span.in_pa());
            if read > top {
                problems.push(GaugeProblem::BeyondScale);
            } else if spec.part(read) == Part::End {
                problems.push(GaugeProblem::OffRange);
            }
            if inlet.is_some_and(|inlet| inlet > top) {
                problems.push(GaugeProblem::BelowInlet);
            }
        }
    }
    problems.extend(calibration(gauge.calibration_due.as_deref(), at));
    let zero = zero_off(gauge);
    if zero > spec.limit(Some(GaugePressure::pa(0.0))) {
        problems.push(GaugeProblem::ZeroOff);
    }
    let of_zero = zero.in_pa() / 3.0_f64.sqrt();
    ReadingUncertainty {
        standard: PressureDifference::pa(spec.standard(Some(read)).in_pa().hypot(of_zero)),
        basis: Basis::Gauge(gauge.serial.clone()),
        problems,
    }
}

/// The larger of what it showed vented, before and after.
fn zero_off(gauge: &Gauge) -> PressureDifference {
    [&gauge.zero_before, &gauge.zero_after]
        .into_iter()
        .filter_map(|figure| difference(figure.as_ref()))
        .map(PressureDifference::abs)
        .fold(
            PressureDifference::ZERO,
            |most, zero| if zero > most { zero } else { most },
        )
}

fn calibration(due: Option<&str>, at: &str) -> Option<GaugeProblem> {
    let due = due.and_then(|date| date.trim().parse::<Date>().ok());
    let day = at.get(..10).and_then(|date| date.parse::<Date>().ok());
    match due.zip(day) {
        None => Some(GaugeProblem::CalibrationUnknown),
        Some((due, day)) if due < day => Some(GaugeProblem::OutOfCalibration),
        Some(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, psi};
    use super::*;
    use crate::journal::{Purpose, Water};
    use crate::quantity::Unit;

    const AT: &str = "2025-11-25T02:00:00-06:00";

    fn gauge() -> Gauge {
        Gauge {
            serial: "G-1".to_owned(),
            point: None,
            span: psi("200"),
            grade: Some("0.5 %".to_owned()),
            resolution: Some(psi("1")),
            calibration_due: Some("2026-01-31".to_owned()),
            zero_before: Some(psi("0")),
            zero_after: None,
            replaces: Vec::new(),
        }
    }

    fn read(point: &str, digits: &str, gauge: Option<&str>) -> Reading {
        Reading {
            asset: Scene::VALVE,
            point: point.to_owned(),
            place: None,
            figure: psi(digits),
            gauge: gauge.map(str::to_owned),
            purpose: Purpose::Working,
            water: Water::Flowing,
            request: None,
        }
    }

    /// What is said of a reading of 62 psi on this gauge.
    fn of(gauge: Gauge, at: &str) -> ReadingUncertainty {
        let mut scene = Scene::new();
        scene.say(Body::Gauge(gauge));
        uncertainty_of(&scene.state(), &read("outlet", "62", Some("G-1")), at).unwrap()
    }

    fn problems(gauge: Gauge) -> Vec<&'static str> {
        of(gauge, AT)
            .problems
            .into_iter()
            .map(GaugeProblem::code)
            .collect()
    }

    /// Source: plain arithmetic on the equations of the GUM.
    #[test]
    fn a_reading_is_as_sure_as_the_gauge_on_record() {
        let found = of(gauge(), AT);
        assert!((found.standard.in_psi() - 0.6455).abs() < 5e-5, "{found:?}");
        assert!((found.expanded().in_psi() - 1.2910).abs() < 5e-5);
        assert_eq!(
            (found.basis, found.problems),
            (Basis::Gauge("G-1".to_owned()), vec![])
        );
    }

    #[test]
    fn what_is_not_known_of_a_gauge_is_assumed_and_said() {
        let unknown = |grade: Option<&str>| Gauge {
            grade: grade.map(str::to_owned),
            ..gauge()
        };
        for grade in [None, Some("good"), Some("0,5 psi")] {
            assert_eq!(problems(unknown(grade)), ["gauge_grade_assumed"]);
            assert_eq!(
                of(unknown(grade), AT).standard,
                of(unknown(Some("B")), AT).standard
            );
        }
        assert_eq!(
            problems(Gauge {
                span: psi("0"),
                ..gauge()
            }),
            ["gauge_span_unknown"]
        );
        let state = Scene::new().state();
        for gauge in [None, Some("G-9")] {
            let found = uncertainty_of(&state, &read("outlet", "62", gauge), AT).unwrap();
            assert_eq!(found.basis, Basis::Assumed);
            assert_eq!(found.problems, [GaugeProblem::NotOnRecord]);
            // 0-124 psi, 2 % in the middle half, read to 1 psi.
            let expected = (2.48_f64 / 3.0_f64.sqrt()).hypot(0.5 / 3.0_f64.sqrt());
            assert!((found.standard.in_psi() - expected).abs() < 1e-9, "{found:?}");
        }
    }

    #[test]
    fn a_reading_that_is_no_pressure_has_none() {
        let mut turns = read("outlet", "62", None);
        turns.figure = Figure::new("3", Unit::Turn).unwrap();
        assert_eq!(uncertainty_of(&Scene::new().state(), &turns, AT), None);
    }

    #[test]
    fn a_calibration_holds_through_its_last_day_and_is_judged_on_the_day_of_the_reading() {
        let due = |date: Option<&str>| Gauge {
            calibration_due: date.map(str::to_owned),
            ..gauge()
        };
        let on = |date, at| of(due(Some(date)), at).problems;
        assert_eq!(on("2025-11-25", AT), []);
        assert_eq!(on("2025-11-24", AT), [GaugeProblem::OutOfCalibration]);
        assert_eq!(on("2025-11-24", "2025-11-24T23:59:00-06:00"), []);
        for date in [None, Some(""), Some("next spring")] {
            assert_eq!(problems(due(date)), ["gauge_calibration_unknown"]);
        }
        assert_eq!(on("2026-01-31", "yesterday"), [GaugeProblem::CalibrationUnknown]);
    }

    #[test]
    fn a_reading_outside_the_middle_half_or_beyond_the_scale_is_told() {
        let span = |digits| Gauge {
            span: psi(digits),
            ..gauge()
        };
        assert_eq!(problems(span("80")), ["gauge_off_range"]);
        assert_eq!(problems(span("300")), ["gauge_off_range"]);
        assert_eq!(problems(span("60")), ["gauge_beyond_scale"]);
        assert_eq!(problems(span("100")), [""; 0]);
    }

    #[test]
    fn a_gauge_that_cannot_take_the_inlet_pressure_is_told() {
        let mut scene = Scene::new();
        scene.say(Body::Gauge(Gauge {
            span: psi("100"),
            ..gauge()
        }));
        scene.say(Body::Reading(read("inlet", "95", None)));
        let found = |scene: &mut Scene| {
            uncertainty_of(&scene.state(), &read("outlet", "62", Some("G-1")), AT)
                .unwrap()
                .problems
        };
        assert_eq!(found(&mut scene), []);
        scene.say(Body::Reading(read("inlet", "131.59", None)));
        assert_eq!(found(&mut scene), [GaugeProblem::BelowInlet]);
    }

    #[test]
    fn a_zero_that_is_off_makes_a_reading_less_sure() {
        let zeroed = |before, after: Option<&str>| Gauge {
            zero_before: Some(psi(before)),
            zero_after: after.map(psi),
            ..gauge()
        };
        assert_eq!(problems(zeroed("0.5", None)), [""; 0]);
        assert_eq!(problems(zeroed("0", Some("-1.5"))), ["gauge_zero_off"]);
        let sure = of(zeroed("0", Some("0")), AT).standard;
        let less = of(zeroed("2", Some("-3")), AT).standard;
        assert!(
            (less.in_pa()
                - sure
                    .in_pa()
                    .hypot(PressureDifference::psi(3.0).in_pa() / 3.0_f64.sqrt()))
            .abs()
                < 1e-9
        );
    }

    #[test]
    fn where_people_differ_about_a_gauge_the_less_sure_account_counts() {
        let mut scene = Scene::new();
        scene.say(Body::Gauge(gauge()));
        scene.say(Body::Gauge(Gauge {
            grade: Some("3A".to_owned()),
            ..gauge()
        }));
        let found = uncertainty_of(&scene.state(), &read("outlet", "62", Some("G-1")), AT).unwrap();
        assert_eq!(found.problems, [GaugeProblem::Disagreed]);
        assert!((found.standard.in_psi() - 0.6455).abs() < 5e-5);
    }

    #[test]
    fn every_problem_has_a_code_of_its_own() {
        let mut codes: Vec<_> = GaugeProblem::ALL.into_iter().map(GaugeProblem::code).collect();
        codes.dedup();
        assert_eq!(codes.len(), GaugeProblem::ALL.len());
        assert!(codes.iter().all(|code| code.starts_with("gauge_")));
    }
}
