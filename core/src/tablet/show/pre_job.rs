//! The pre-job screen: what is asked, what is known, what to look at before going down.

use super::Showing;
use crate::findings::history::{Compared, compare};
use crate::journal::{AssetId, Body, ParticularValue, Register, particular};
use crate::procedure::{ParticularAsked, ToldAs};
use crate::quantity::{Dimension, Figure, GaugePressure, PressureDifference, Unit};
use crate::setting::{Place, SpringRange};
use crate::tablet::view::{
    Check, NamedFigure, OptionView, ParticularView, PreJobView, RuleSource, SaidValue, Standing, Verdict,
};

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
        checks: vec![spring(showing), differential(showing), zone_limit(showing)],
    }
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
                standing: standing(showing, *asset, name),
            });
        }
    }
    views
}

fn asked_view(showing: &Showing<'_>, asked: &ParticularAsked) -> ParticularView {
    let (units, choices) = match &asked.told_as {
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

/// Set point inside the spring's range, a tenth of it away from either end. Common practice, no source.
fn spring(showing: &Showing<'_>) -> Check {
    let asked = request_pressure(showing);
    let low = showing.particular(showing.valve, particular::SPRING_LOW);
    let high = showing.particular(showing.valve, particular::SPRING_HIGH);
    let figures = named([("target", asked), ("spring_low", low), ("spring_high", high)]);
    let place = || {
        let range = SpringRange::new(pressure(low?)?, pressure(high?)?).ok()?;
        Some(range.place(pressure(asked?)?))
    };
    let verdict = match place() {
        None => Verdict::NotKnown,
        Some(Place::Inside) => Verdict::Good,
        Some(Place::NearLow | Place::NearHigh) => Verdict::Look,
        Some(Place::Below | Place::Above) => Verdict::Outside,
    };
    Check {
        code: "spring_range".to_owned(),
        verdict,
        figures,
        source: RuleSource::CommonPractice,
    }
}

/// Enough inlet: the target below inlet minus the minimum differential of the valve's manual.
fn differential(showing: &Showing<'_>) -> Check {
    let asked = request_pressure(showing);
    let inlet = showing.newest("inlet").map(|(_, reading)| &reading.figure);
    let least = showing.particular(showing.valve, particular::MIN_DIFFERENTIAL);
    let figures = named([("target", asked), ("inlet", inlet), ("min_differential", least)]);
    let fits = || {
        let least = PressureDifference::try_from(least?).ok()?;
        Some(pressure(asked?)? <= pressure(inlet?)? - least)
    };
    let verdict = match fits() {
        None => Verdict::NotKnown,
        Some(true) => Verdict::Good,
        Some(false) => Verdict::Outside,
    };
    Check {
        code: "min_differential".to_owned(),
        verdict,
        figures,
        source: RuleSource::Manual,
    }
}

/// The target below the zone's limit, and a limit on record at all.
fn zone_limit(showing: &Showing<'_>) -> Check {
    let asked = request_pressure(showing);
    let limit = showing.zone_limit();
    let below = || Some(pressure(asked?)? < pressure(limit?)?);
    let verdict = match below() {
        None => Verdict::NotKnown,
        Some(true) => Verdict::Good,
        Some(false) => Verdict::Outside,
    };
    Check {
        code: "zone_limit".to_owned(),
        verdict,
        figures: named([("target", asked), ("zone_limit", limit)]),
        source: RuleSource::CommonPractice,
    }
}

fn request_pressure<'a>(showing: &Showing<'a>) -> Option<&'a Figure> {
    Some(
        &showing
            .state
            .request(showing.valve)
            .agreed()
            .copied()
            .flatten()?
            .pressure,
    )
}

fn pressure(figure: &Figure) -> Option<GaugePressure> {
    GaugePressure::try_from(figure).ok()
}

fn named<'a>(figures: impl IntoIterator<Item = (&'a str, Option<&'a Figure>)>) -> Vec<NamedFigure> {
    figures
        .into_iter()
        .filter_map(|(name, figure)| {
            Some(NamedFigure {
                name: name.to_owned(),
                figure: figure?.clone(),
            })
        })
        .collect()
}
