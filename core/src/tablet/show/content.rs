//! A record as its signer reads it, out of the bytes that are signed.

use crate::journal::EntryId;
use crate::procedure::Text;
use crate::record::Record;
use crate::record::content::{Agreement, Document, LineUpLine, ValveSection};
use crate::record::table::{Line, lines};
use crate::tablet::view::{
    ContentLine, ContentPosition, ContentReading, ContentValve, ContentWords, RecordContent,
};

/// What a record says, for the one who signs it.
pub fn content(record: &Record, document: &Document) -> RecordContent {
    let opening = &document.job.opening;
    RecordContent {
        digest: record.digest.clone(),
        revision: document.job.revision,
        number: opening.number.clone(),
        customer: opening.customer.clone(),
        site: opening.site.clone(),
        valves: document.valves.iter().map(valve).collect(),
        settled: document
            .settlements
            .iter()
            .map(|line| ContentWords {
                what: line.about.clone().unwrap_or_default(),
                why: why(&line.said.name, &line.reason),
            })
            .collect(),
        lines: lines(document).into_iter().map(of_line).collect(),
    }
}

fn why(name: &str, reason: &str) -> String {
    format!("{name}: {reason}")
}

fn of_line(line: Line) -> ContentLine {
    ContentLine {
        number: u32::try_from(line.number).unwrap_or(u32::MAX),
        at: line.at,
        by: line.by,
        kind: line.kind_words,
        what: line.what,
        figure: line.figure,
        says: line.says,
        state: line.state,
    }
}

fn valve(valve: &ValveSection) -> ContentValve {
    let readings = |entries: &[EntryId]| {
        let all = entries.iter().filter_map(|&entry| valve.reading(entry));
        all.map(|line| ContentReading {
            label: line.label.clone(),
            figure: line.figure.clone(),
            gauge: line.gauge.clone(),
        })
        .collect()
    };
    let left = valve.findings.as_ref().and_then(|found| found.as_left.as_ref());
    let stands = valve.requests.iter().filter(|line| line.stands);
    ContentValve {
        name: valve.name.clone(),
        asked: stands.map(|line| line.pressure.clone()).collect(),
        as_found: readings(&valve.as_found),
        as_left: readings(&valve.as_left),
        verdict: left.map(|left| left.verdict.clone()),
        moves: u32::try_from(valve.moves.len()).unwrap_or(u32::MAX),
        not_normal: valve.line_up.iter().filter_map(not_normal).collect(),
        overridden: overridden(valve),
        not_done: valve
            .not_done
            .iter()
            .map(|line| ContentWords {
                what: line.say.clone(),
                why: match (&line.said, &line.reason) {
                    (Some(said), Some(reason)) => why(&said.name, reason),
                    (_, reason) => reason.clone().unwrap_or_default(),
                },
            })
            .collect(),
        cautions: valve.cautions.iter().map(|line| line.say.clone()).collect(),
    }
}

/// An element that does not stand as it normally does, or of which it is not known.
fn not_normal(line: &LineUpLine) -> Option<ContentPosition> {
    let known = line.agreement == Some(Agreement::Agreed);
    if known && line.last.iter().all(|said| said.position == line.normal) {
        return None;
    }
    Some(ContentPosition {
        label: line.label.clone(),
        positions: line.last.iter().map(|said| said.position).collect(),
    })
}

fn overridden(valve: &ValveSection) -> Vec<ContentWords> {
    let marks = valve
        .steps
        .iter()
        .flat_map(|step| step.marks.iter().map(move |mark| (step, mark)));
    marks
        .filter(|(_, mark)| !mark.overridden.is_empty())
        .map(|(step, mark)| {
            let unmet = |of: fn(&Text) -> &str| {
                let all = mark.overridden.iter();
                let words = all.map(|unmet| unmet.say.as_ref().map_or(unmet.code.as_str(), of));
                words.collect::<Vec<_>>().join(", ")
            };
            ContentWords {
                what: Text::new(
                    format!("{} ({})", step.title.en, unmet(|text| &text.en)),
                    format!("{} ({})", step.title.es, unmet(|text| &text.es)),
                ),
                why: why(&mark.said.name, mark.reason.as_deref().unwrap_or_default()),
            }
        })
        .collect()
}
