//! The pre-job screen: what is asked, what is known, what to look at before going down.

use super::Showing;
use crate::findings::history::{Compared, compare};
use crate::findings::pre_job::{self, Check, CheckLimit, FOR_CHECKS, LimitName, Verdict, checks};
use crate::journal::{AssetId, Body, ParticularValue, Register, particular};
use crate::procedure::{Owner, ParticularAsked, ToldAs};
use crate::quantity::{Dimension, Unit};
use crate::tablet::view::{LimitView, OptionView, ParticularView, PreJobView, SaidValue, Standing};

/// The particulars that are elevations.
const ELEVATIONS: &[&str] = &[
    particular::DATUM_ELEVATION,
    particular::LOWEST_CUSTOMER,
    particular::HIGHEST_CUSTOMER,
];

/// What is asked, what is known, what to look at.
pub fn pre_job(showing: &Showing<'_>) -> PreJobView {
    let state = showing.state;
    let requests = state
        .live()
        .filter_map(|folded| match folded.entry.told.body.found() {
            Body::Request(request) if request.valve == showing.valve => Some(SaidValue {
                value: request.clone(),
                said: showing.said(folded),
            }),
            _ => None,
        });
    let serials = state.registers.keys().filter_map(|register| match register {
        Register::Gauge { serial } => Some(serial),
        _ => None,
    });
    PreJobView {
        requests: requests.collect(),
        particulars: particulars(showing),
        gauges: serials
            .map(|serial| {
                showing.standing(
                    &Register::Gauge {
                        serial: serial.clone(),
                    },
                    |body| match body {
                        Body::Gauge(gauge) => Some(gauge.clone()),
                        _ => None,
                    },
                )
            })
            .collect(),
        history: history(showing),
        checks: worst_first(checks(showing.state, showing.procedure, showing.valve)),
        limits: limits(showing),
    }
}

/// What is outside a rule comes first, what is good last.
fn worst_first(mut checks: Vec<Check>) -> Vec<Check> {
    checks.sort_by_key(|check| match check.verdict {
        Verdict::Outside => 0,
        Verdict::Look => 1,
        Verdict::NotKnown => 2,
        Verdict::Good => 3,
    });
    checks
}

/// The limits of the checks, with what to change them by.
fn limits(showing: &Showing<'_>) -> Vec<LimitView> {
    let asset = Owner::Station.asset(showing.state, showing.valve);
    let view = |limit: CheckLimit| LimitView {
        particular: limit.name.particular().to_owned(),
        asset,
        units: units_of(limit.figure.unit.dimension()),
        standing: standing(showing, asset, limit.name.particular()),
        limit,
    };
    pre_job::limits(showing.state).into_iter().map(view).collect()
}

/// What earlier visits say, and how this one compares.
pub(super) fn history(showing: &Showing<'_>) -> Compared {
    compare(showing.state, showing.procedure, showing.valve)
}

/// The particulars that the procedure asks for, then the owner's own that somebody told.
fn particulars(showing: &Showing<'_>) -> Vec<ParticularView> {
    let mut views: Vec<_> = showing
        .procedure
        .particulars
        .iter()
        .map(|asked| asked_view(showing, asked))
        .collect();
    for register in showing.state.registers.keys() {
        // What the fault-finder was answered stands on its own screen.
        if let Register::Particular { asset, name } = register
            && LimitName::of_particular(name).is_none()
            && !name.starts_with(crate::findings::observed::ANSWER)
            && !views
                .iter()
                .any(|view| view.asset == *asset && view.name == *name)
        {
            views.push(ParticularView {
                asset: *asset,
                name: name.clone(),
                label: None,
                units: Vec::new(),
                choices: Vec::new(),
                for_checks: FOR_CHECKS.contains(&name.as_str()),
                standing: standing(showing, *asset, name),
            });
        }
    }
    views
}

fn asked_view(showing: &Showing<'_>, asked: &ParticularAsked) -> ParticularView {
    let (units, choices) = match &asked.told_as {
        // Nobody tells an elevation in inches.
        ToldAs::Figure(_) if ELEVATIONS.contains(&asked.name.as_str()) => {
            (vec![Unit::Foot, Unit::Metre], Vec::new())
        }
        ToldAs::Figure(dimensions) => (
            dimensions
                .iter()
                .flat_map(|&dimension| units_of(dimension))
                .collect(),
            Vec::new(),
        ),
        ToldAs::Choice(words) => (
            Vec::new(),
            words
                .iter()
                .map(|word| OptionView {
                    id: word.id.clone(),
                    say: word.label.clone(),
                })
                .collect(),
        ),
        ToldAs::Words => (Vec::new(), Vec::new()),
    };
    let asset = asked.of.asset(showing.state, showing.valve);
    ParticularView {
        asset,
        name: asked.name.clone(),
        label: Some(asked.label.clone()),
        units,
        choices,
        for_checks: FOR_CHECKS.contains(&asked.name.as_str()),
        standing: standing(showing, asset, &asked.name),
    }
}

fn standing(showing: &Showing<'_>, asset: AssetId, name: &str) -> Standing<ParticularValue> {
    showing.standing(
        &Register::Particular {
            asset,
            name: name.to_owned(),
        },
        |body| match body {
            Body::Particulars(told) => Some(told.value.clone()),
            _ => None,
        },
    )
}

/// The units to offer for a dimension, the usual one first.
pub(super) fn units_of(dimension: Dimension) -> Vec<Unit> {
    match dimension {
        Dimension::Pressure => {
            vec![
                Unit::Psi,
                Unit::Kilopascal,
                Unit::Bar,
                Unit::MetreOfWater,
                Unit::FootOfWater,
            ]
        }
        Dimension::Rate => vec![Unit::PsiPerTurn, Unit::KilopascalPerTurn, Unit::BarPerTurn],
        Dimension::Flow => vec![
            Unit::GallonPerMinute,
            Unit::LitrePerSecond,
            Unit::CubicMetrePerHour,
        ],
        Dimension::Turn => vec![Unit::Turn, Unit::Degree, Unit::Flat],
        Dimension::Length => vec![Unit::Inch, Unit::Millimetre, Unit::Foot, Unit::Metre],
        Dimension::Time => vec![Unit::Second, Unit::Minute],
        Dimension::Temperature => vec![Unit::DegreeCelsius, Unit::DegreeFahrenheit],
        other => Unit::ALL
            .iter()
            .copied()
            .filter(|unit| unit.dimension() == other)
            .collect(),
    }
}
