//! One valve on paper.

use super::charts::{droop, setting, trace};
use super::eye::{Eye, Fig, printable};
use super::line_up::{Drawing, drawing};
use super::{Pair, Table, Verdict};
use crate::pdf::chart::Chart;
use serde::Serialize;
use turnwise_core::journal::{EntryId, ParticularValue, Water};
use turnwise_core::quantity::Figure;
use turnwise_core::record::content::{
    Agreement, ParticularLine, ReadingLine, RequestLine, SpreadFinding, ValveFindings, ValveSection,
};

/// One valve.
#[derive(Serialize)]
pub(in crate::pdf) struct Valve {
    pub name: String,
    pub procedure: String,
    pub facts: Vec<Pair>,
    pub request: Option<Asked>,
    pub as_left: Vec<Left>,
    pub verdicts: Vec<Verdict>,
    pub compared: Vec<Compared>,
    pub setting: Option<Chart>,
    pub trace: Option<Chart>,
    pub droop: Option<Chart>,
    pub line_up: Option<Drawing>,
    pub tables: Vec<Table>,
    pub cautions: Vec<Pair>,
}

/// What was asked, large on the first page.
#[derive(Serialize)]
pub(in crate::pdf) struct Asked {
    pub pressure: Fig,
    pub text: String,
}

/// A reading as left, large on the first page.
#[derive(Serialize)]
pub(in crate::pdf) struct Left {
    pub point: String,
    pub figure: Fig,
    pub text: String,
}

/// One line of the comparison of found and left.
#[derive(Serialize)]
pub(in crate::pdf) struct Compared {
    pub what: String,
    pub found: Vec<Seen>,
    pub left: Vec<Seen>,
}

#[derive(Serialize)]
pub(in crate::pdf) struct Seen {
    pub figure: Option<Fig>,
    pub text: String,
}

/// Lays out one valve.
pub(super) fn valve(eye: &Eye<'_>, valve: &ValveSection) -> Valve {
    let of = |ids: &[EntryId]| ids.iter().filter_map(|id| valve.reading(*id)).collect::<Vec<_>>();
    let mut facts = Vec::new();
    if let Some(size) = &valve.size {
        facts.push(Pair::new(eye.page("size"), eye.line(size)));
    }
    facts.extend(particulars(eye, &valve.particulars));
    let mut left = of(&newest(&valve.as_left, valve));
    left.sort_by_key(|line| valve.main_point.as_deref() != Some(line.point.as_str()));
    Valve {
        name: printable(&valve.name),
        procedure: valve
            .title
            .as_ref()
            .map_or_else(|| printable(&valve.procedure), |title| eye.text(title)),
        facts,
        request: valve.request().map(|request| asked(eye, request)),
        as_left: left
            .into_iter()
            .map(|line| Left {
                point: point(eye, line),
                figure: eye.figure(&line.figure),
                text: circumstances(eye, line),
            })
            .collect(),
        verdicts: valve
            .findings
            .as_ref()
            .map(|found| verdicts(eye, found))
            .unwrap_or_default(),
        compared: compared(eye, valve),
        setting: setting(eye, valve),
        trace: trace(eye, valve),
        droop: droop(eye, valve),
        line_up: drawing(eye, valve),
        tables: super::tables::of_valve(eye, valve),
        cautions: valve
            .cautions
            .iter()
            .map(|line| {
                Pair::new(
                    eye.text(&line.say),
                    line.said.as_ref().map(|said| eye.said(said)).unwrap_or_default(),
                )
            })
            .collect(),
    }
}

/// The newest reading of each point and place.
fn newest(ids: &[EntryId], valve: &ValveSection) -> Vec<EntryId> {
    let mut seen = Vec::new();
    let mut kept = Vec::new();
    for line in ids.iter().rev().filter_map(|id| valve.reading(*id)) {
        let place = (line.point.as_str(), line.place.as_deref());
        if !seen.contains(&place) {
            seen.push(place);
            kept.push(line.said.entry);
        }
    }
    kept.reverse();
    kept
}

/// A point and the place.
pub(super) fn point(eye: &Eye<'_>, line: &ReadingLine) -> String {
    match &line.place {
        Some(place) => format!("{}: {}", eye.text(&line.label), printable(place)),
        None => eye.text(&line.label),
    }
}

/// Under what circumstances something was read.
fn circumstances(eye: &Eye<'_>, line: &ReadingLine) -> String {
    let mut parts = vec![eye.coded("water", line.water)];
    match &line.gauge {
        Some(gauge) => parts.push(format!("{}\u{a0}{}", eye.page("gauge"), printable(gauge))),
        None => parts.push(eye.page("gauge_not_said")),
    }
    if let Some(uncertainty) = &line.uncertainty {
        parts.push(format!("u = {}", eye.line(&uncertainty.standard)));
    }
    parts.push(eye.when(&line.said.at));
    parts.push(eye.entry(line.said.entry));
    parts.join(" · ")
}

fn asked(eye: &Eye<'_>, request: &RequestLine) -> Asked {
    let mut parts = Vec::new();
    match &request.tolerance {
        Some(tolerance) => parts.push(format!("± {}", eye.line(tolerance))),
        None => parts.push(eye.page("tolerance_by_rule")),
    }
    if let Some(limit) = &request.zone_limit {
        parts.push(format!("{} {}", eye.page("zone_limit"), eye.line(limit)));
    }
    parts.push(printable(&request.datum));
    parts.push(format!(
        "{} {}",
        eye.page("asked_by"),
        printable(&request.asked_by)
    ));
    Asked {
        pressure: eye.figure(&request.pressure),
        text: parts.join(" · "),
    }
}

/// Particulars as pairs, disagreements written out.
pub(super) fn particulars(eye: &Eye<'_>, lines: &[ParticularLine]) -> Vec<Pair> {
    lines
        .iter()
        .map(|line| {
            let values: Vec<String> = line
                .values
                .iter()
                .map(|one| match (&one.label, &one.value) {
                    (Some(label), _) => eye.text(label),
                    (None, ParticularValue::Figure(figure)) => eye.line(figure),
                    (None, ParticularValue::Text(text)) => printable(text),
                })
                .collect();
            let text = match line.agreement {
                Agreement::Agreed => values.first().cloned().unwrap_or_default(),
                Agreement::Disagreed => format!("{}: {}", eye.page("disagreed"), values.join(" / ")),
                Agreement::Unknown => eye.page("unknown_now"),
            };
            Pair::new(eye.text(&line.label), text)
        })
        .collect()
}

/// The shape of a verdict's code: what is not plainly good or plainly bad is to be looked at.
fn shape(code: &str) -> &'static str {
    match code {
        "within" | "good" | "ok" | "tight" | "steady" => "good",
        "outside" | "bad" | "fails" | "creeps" | "high" | "low" => "outside",
        "cannot_tell" | "not_known" | "unknown" | "too_few" => "not_known",
        _ => "look",
    }
}

fn verdicts(eye: &Eye<'_>, found: &ValveFindings) -> Vec<Verdict> {
    let mut all = Vec::new();
    if let Some(left) = &found.as_left {
        let mut text = format!(
            "{} {} ± {} · {} {}",
            eye.page("asked"),
            eye.line(&left.asked),
            eye.line(&left.tolerance),
            eye.page("read_minus_asked"),
            eye.line(&left.difference)
        );
        if let Some(uncertainty) = &left.uncertainty {
            text.push_str(" · U = ");
            text.push_str(&eye.line(uncertainty));
        }
        warnings(eye, &left.warnings, &mut text);
        all.push(Verdict {
            title: eye.page("as_left"),
            shape: shape(&left.verdict),
            word: eye.code("verdict", &left.verdict),
            text,
        });
    }
    let spreads = [
        ("droop", &found.droop),
        ("repeatability", &found.repeatability),
        ("lock_up", &found.lock_up),
    ];
    for (name, spread) in spreads {
        if let Some(spread) = spread {
            all.push(Verdict {
                title: eye.page(name),
                shape: shape(&spread.verdict),
                word: eye.code("verdict", &spread.verdict),
                text: spread_text(eye, spread),
            });
        }
    }
    all
}

fn spread_text(eye: &Eye<'_>, spread: &SpreadFinding) -> String {
    let mut parts = Vec::new();
    if let Some(figure) = &spread.figure {
        parts.push(eye.line(figure));
    }
    if let Some(uncertainty) = &spread.uncertainty {
        parts.push(format!("U = {}", eye.line(uncertainty)));
    }
    if !spread.readings.is_empty() {
        parts.push(format!(
            "{} {}",
            eye.page("entries_short"),
            eye.list(&spread.readings)
        ));
    }
    let mut text = parts.join(" · ");
    warnings(eye, &spread.warnings, &mut text);
    text
}

/// Adds warnings to a text.
pub(super) fn warnings(eye: &Eye<'_>, codes: &[String], text: &mut String) {
    for code in codes {
        text.push_str(" · ");
        text.push_str(&eye.code("warning", code));
    }
}

fn compared(eye: &Eye<'_>, valve: &ValveSection) -> Vec<Compared> {
    let mut rows: Vec<Compared> = Vec::new();
    let mut at = Vec::<(String, Option<String>)>::new();
    for (ids, left) in [(&valve.as_found, false), (&valve.as_left, true)] {
        for line in ids.iter().filter_map(|id| valve.reading(*id)) {
            let key = (line.point.clone(), line.place.clone());
            let row = at.iter().position(|known| *known == key).unwrap_or_else(|| {
                at.push(key);
                rows.push(Compared {
                    what: point(eye, line),
                    found: Vec::new(),
                    left: Vec::new(),
                });
                rows.len() - 1
            });
            let side = if left {
                &mut rows[row].left
            } else {
                &mut rows[row].found
            };
            // The newest as left stands first: it is the one that counts.
            let at = if left { 0 } else { side.len() };
            let seen = Seen {
                figure: Some(eye.figure(&line.figure)),
                text: circumstances(eye, line),
            };
            side.insert(at, seen);
        }
    }
    for control in &valve.speed_controls {
        let seen = |open: &Figure, said: &turnwise_core::record::content::Said| Seen {
            figure: Some(eye.figure(open)),
            text: eye.entry(said.entry),
        };
        rows.push(Compared {
            what: format!("{} ({})", eye.text(&control.label), eye.page("from_seated")),
            found: control
                .found
                .iter()
                .map(|one| seen(&one.open, &one.said))
                .collect(),
            left: control
                .last
                .iter()
                .map(|one| seen(&one.open, &one.said))
                .collect(),
        });
    }
    rows
}

/// Whether water was seen to move.
pub(super) fn flowing(line: &ReadingLine) -> bool {
    line.water == Water::Flowing
}
