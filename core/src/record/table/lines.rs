//! What every entry says, in the words of the record's sections.

use super::words;
use crate::journal::{AssetId, EntryId, FlowProof, Outcome, ParticularValue, Position, Purpose, Water};
use crate::procedure::Text;
use crate::quantity::Figure;
use crate::record::content::{
    AtmosphereLine, Document, GaugeSaid, MarkLine, ParticularLine, RequestLine, ValveSection,
};
use std::collections::BTreeMap;

/// One entry of the record.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its place in the record, from 1.
    pub number: usize,
    /// The entry.
    pub entry: EntryId,
    /// When, RFC 3339 by its device's clock.
    pub at: String,
    /// Who saw it or did it, by name.
    pub by: String,
    /// Who typed it, where that was another, by name.
    pub keyed_by: String,
    /// The valve or the chamber, by name.
    pub asset: String,
    /// What kind of entry, a code.
    pub kind: String,
    /// The same in words.
    pub kind_words: Text,
    /// What it is about.
    pub what: Text,
    /// Its figure, as it was read.
    pub figure: Option<Figure>,
    /// The gauge's serial.
    pub gauge: String,
    /// Standard uncertainty of the figure by its gauge. Computed.
    pub uncertainty: Option<Figure>,
    /// What it was read for.
    pub purpose: Text,
    /// Whether water moved.
    pub water: Text,
    /// All turns of the screw up to this one. Computed.
    pub total: Option<Figure>,
    /// What else it says.
    pub says: Text,
    /// Whether it counts: empty, or that it was taken back or has no effect.
    pub state: Text,
}

/// What one section says of an entry.
#[derive(Default)]
struct Told {
    asset: String,
    what: Text,
    figure: Option<Figure>,
    gauge: String,
    uncertainty: Option<Figure>,
    purpose: Option<Purpose>,
    water: Option<Water>,
    total: Option<Figure>,
    says: Text,
}

type All = BTreeMap<EntryId, Told>;

/// A line for every entry of a record.
pub fn lines(document: &Document) -> Vec<Line> {
    let mut told = All::new();
    whole_job(document, &mut told);
    for valve in &document.valves {
        of_valve(valve, &mut told);
    }
    let name = |person| document.people.get(person).cloned().unwrap_or_default();
    document
        .entries
        .iter()
        .enumerate()
        .map(|(at, entry)| {
            let kind = entry.body["kind"].as_str().unwrap_or_default().to_owned();
            let told = told.remove(&entry.id).unwrap_or_default();
            let asset = if told.asset.is_empty() {
                asset_of(document, &entry.body)
            } else {
                told.asset
            };
            Line {
                number: at + 1,
                entry: entry.id,
                at: entry.at.clone(),
                by: name(&entry.by),
                keyed_by: entry.keyed_by.as_ref().map(name).unwrap_or_default(),
                asset,
                kind_words: words::kind(&kind),
                kind,
                what: told.what,
                figure: told.figure,
                gauge: told.gauge,
                uncertainty: told.uncertainty,
                purpose: told.purpose.map(words::purpose).unwrap_or_default(),
                water: told.water.map(words::water).unwrap_or_default(),
                total: told.total,
                says: told.says,
                state: match (&entry.withdrawn_by, &entry.no_effect) {
                    (Some(_), _) => Text::new("taken back", "retirada"),
                    (None, Some(code)) => {
                        Text::new(format!("no effect: {code}"), format!("sin efecto: {code}"))
                    }
                    (None, None) => Text::default(),
                },
            }
        })
        .collect()
}

/// The name of what an entry is about, where it names one.
fn asset_of(document: &Document, body: &serde_json::Value) -> String {
    let id: Option<AssetId> = body["asset"].as_str().and_then(|id| id.parse().ok());
    let Some(id) = id else { return String::new() };
    let station = &document.station.asset;
    document
        .valves
        .iter()
        .find(|valve| valve.id == id)
        .map(|valve| valve.name.clone())
        .or_else(|| (station.id == id).then(|| station.name.clone()))
        .unwrap_or_default()
}

fn same(words: impl Into<String>) -> Text {
    let words = words.into();
    Text::new(words.clone(), words)
}

fn of_valve(valve: &ValveSection, all: &mut All) {
    let mut tell = |entry: EntryId, told: Told| {
        all.entry(entry).or_insert(Told {
            asset: valve.name.clone(),
            ..told
        });
    };
    for line in &valve.requests {
        tell(line.said.entry, request(line));
    }
    for line in &valve.readings {
        let told = Told {
            what: line.label.clone(),
            figure: Some(line.figure.clone()),
            gauge: line.gauge.clone().unwrap_or_default(),
            uncertainty: line.uncertainty.as_ref().map(|sure| sure.standard.clone()),
            purpose: Some(line.purpose),
            water: Some(line.water),
            says: same(line.place.clone().unwrap_or_default()),
            ..Told::default()
        };
        tell(line.said.entry, told);
    }
    for line in &valve.moves {
        let told = Told {
            what: line.label.clone(),
            figure: Some(line.turn.clone()),
            total: Some(line.total.clone()),
            ..Told::default()
        };
        tell(line.said.entry, told);
    }
    for line in &valve.flow {
        let told = Told {
            what: words::flow(line.how),
            figure: line.flow.clone(),
            water: Some(if line.how == FlowProof::Stopped {
                Water::Still
            } else {
                Water::Flowing
            }),
            says: same(line.place.clone().unwrap_or_default()),
            ..Told::default()
        };
        tell(line.said.entry, told);
    }
    for line in &valve.line_up {
        for said in &line.story {
            let told = Told {
                what: line.label.clone(),
                figure: said.counted.clone(),
                says: position(said.position),
                ..Told::default()
            };
            tell(said.said.entry, told);
        }
    }
    for line in &valve.speed_controls {
        for said in &line.story {
            let told = Told {
                what: line.label.clone(),
                figure: Some(said.open.clone()),
                ..Told::default()
            };
            tell(said.said.entry, told);
        }
    }
    for line in &valve.steps {
        for mark in &line.marks {
            let told = Told {
                what: line.title.clone(),
                says: marked(mark),
                ..Told::default()
            };
            tell(mark.said.entry, told);
        }
    }
    for line in &valve.particulars {
        particular(line, &mut tell);
    }
}

fn request(line: &RequestLine) -> Told {
    let plus = |figure: &Option<Figure>| {
        figure
            .as_ref()
            .map(|figure| format!(" ± {} {}", figure.digits, figure.unit))
            .unwrap_or_default()
    };
    Told {
        what: Text::new("Requested pressure", "Presión solicitada"),
        figure: Some(line.pressure.clone()),
        says: same(
            format!("{} · {}{}", line.datum, line.asked_by, plus(&line.tolerance))
                .trim()
                .to_owned(),
        ),
        ..Told::default()
    }
}

fn marked(mark: &MarkLine) -> Text {
    let mut says = match (&mark.answer, &mark.outcome) {
        (Some(answer), _) => answer.clone(),
        (None, Outcome::Done) => Text::new("done", "hecho"),
        (None, Outcome::NotDone) => Text::new("not done", "no hecho"),
        (None, Outcome::Chosen(option)) => same(option),
    };
    for unmet in &mark.overridden {
        let unmet = unmet.say.clone().unwrap_or_else(|| same(&unmet.code));
        says = Text::new(
            format!("{}; overridden: {}", says.en, unmet.en),
            format!("{}; pasado por alto: {}", says.es, unmet.es),
        );
    }
    match &mark.reason {
        Some(reason) => Text::new(
            format!("{} ({reason})", says.en),
            format!("{} ({reason})", says.es),
        ),
        None => says,
    }
}

fn particular(line: &ParticularLine, tell: &mut impl FnMut(EntryId, Told)) {
    for said in line.values.iter().chain(&line.earlier) {
        let (figure, says) = match &said.value {
            ParticularValue::Figure(figure) => (Some(figure.clone()), Text::default()),
            ParticularValue::Text(text) => (None, said.label.clone().unwrap_or_else(|| same(text))),
        };
        let told = Told {
            what: line.label.clone(),
            figure,
            says,
            ..Told::default()
        };
        tell(said.said.entry, told);
    }
}

fn whole_job(document: &Document, all: &mut All) {
    let mut tell = |entry: EntryId, told: Told| {
        all.entry(entry).or_insert(told);
    };
    let opening = &document.job.opening;
    let told = Told {
        what: same(&opening.number),
        says: same(format!("{} · {}", opening.customer, opening.site)),
        ..Told::default()
    };
    tell(document.job.said.entry, told);
    for line in &document.station.particulars {
        particular(line, &mut tell);
    }
    for line in &document.gauges {
        for said in line.values.iter().chain(&line.earlier) {
            tell(said.said.entry, gauge(&line.serial, said));
        }
    }
    for line in &document.atmosphere {
        tell(line.said.entry, air(line));
    }
    for line in &document.crew {
        for said in &line.said {
            let duties: Vec<_> = said.duties.iter().map(|duty| words::duty(*duty)).collect();
            let told = Told {
                what: same(&line.name),
                says: words::joined(&duties),
                ..Told::default()
            };
            tell(said.said.entry, told);
        }
    }
    let said = |says: &str, what: Text| Told {
        what,
        says: same(says),
        ..Told::default()
    };
    for line in &document.settlements {
        tell(
            line.said.entry,
            said(&line.reason, line.about.clone().unwrap_or_default()),
        );
    }
    for line in &document.withdrawn {
        tell(line.said.entry, said(&line.reason, Text::default()));
    }
    for line in &document.notes {
        tell(line.said.entry, said(&line.text, Text::default()));
    }
    for line in &document.photographs {
        tell(line.said.entry, said(&line.caption, Text::default()));
    }
    for line in &document.signatures {
        let revision = same(line.revision.to_string());
        tell(line.said.entry, said(&line.digest, revision));
        for again in &line.re_opened {
            tell(again.said.entry, said(&again.reason, Text::default()));
        }
    }
}

fn gauge(serial: &str, said: &GaugeSaid) -> Told {
    let gauge = &said.gauge;
    let grade = gauge.grade.as_deref().unwrap_or_default();
    let due = gauge.calibration_due.as_deref().unwrap_or_default();
    Told {
        what: Text::new("Span", "Escala"),
        figure: Some(gauge.span.clone()),
        gauge: serial.to_owned(),
        says: Text::new(
            format!("grade {grade}; calibrated until {due}"),
            format!("clase {grade}; calibrado hasta {due}"),
        ),
        ..Told::default()
    }
}

fn air(line: &AtmosphereLine) -> Told {
    let figure = |figure: &Figure| format!("{} {}", figure.digits, figure.unit);
    let read = [
        format!("O2 {}", figure(&line.oxygen)),
        figure(&line.flammable),
        format!("CO {}", figure(&line.carbon_monoxide)),
        format!("H2S {}", figure(&line.hydrogen_sulphide)),
    ];
    Told {
        what: words::level(line.level),
        gauge: line.meter.clone(),
        says: same(read.join("; ")),
        ..Told::default()
    }
}

fn position(position: Position) -> Text {
    match position {
        Position::Open => Text::new("open", "abierta"),
        Position::Shut => Text::new("shut", "cerrada"),
        Position::Throttled => Text::new("throttled", "estrangulada"),
    }
}
