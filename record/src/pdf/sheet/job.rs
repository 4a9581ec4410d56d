//! What is said of the whole job: the first page's lists, and the tables behind the valves.

use super::eye::{Eye, printable};
use super::tables::{columns, entries, join, optional};
use super::{Pair, Table};
use serde::Serialize;
use serde_json::Value;
use turnwise_core::quantity::Figure;
use turnwise_core::record::content::{GaugeSaid, ReviewLine};

/// The tables of the whole job.
#[derive(Serialize)]
pub(in crate::pdf) struct Tables {
    pub gauges: Table,
    pub air: Table,
    pub disagreements: Table,
    pub withdrawn: Table,
    pub notes: Table,
    pub initials: Table,
    pub history: Table,
    pub procedures: Table,
    pub late: Table,
}

/// Which units are shown.
pub(super) fn units_note(eye: &Eye<'_>) -> String {
    match eye.options.units.pressure() {
        Some(unit) => format!(
            "{} {}; {}",
            eye.page("shown_in"),
            eye.unit(unit),
            eye.page("as_read_beside")
        ),
        None => eye.page("as_read_only"),
    }
}

/// Who was there.
pub(super) fn crew(eye: &Eye<'_>) -> Vec<Pair> {
    eye.document
        .crew
        .iter()
        .map(|line| {
            let mut words: Vec<String> = line.role.iter().map(|role| eye.coded("role", role)).collect();
            words.extend(line.duties.iter().map(|duty| eye.coded("duty", duty)));
            Pair::new(printable(&line.name), words.join(", "))
        })
        .collect()
}

/// What is still open: for the first page.
pub(super) fn open_matters(eye: &Eye<'_>) -> Vec<Pair> {
    let document = eye.document;
    let mut open = review(eye, |line| line.weight != "read" && line.code != "initials");
    for line in &document.initials {
        if !line.open.is_empty() {
            open.push(Pair::new(
                eye.page("without_initials"),
                format!("{}: {}", printable(&line.name), entries(eye, &line.open)),
            ));
        }
    }
    if !document.set_aside.is_empty() {
        open.push(Pair::new(
            eye.page("set_aside"),
            document.set_aside.len().to_string(),
        ));
    }
    open
}

/// What nobody has to settle and everybody should know. What was not done has a list of its own.
pub(super) fn worth_reading(eye: &Eye<'_>) -> Vec<Pair> {
    review(eye, |line| {
        line.weight == "read" && line.code != "step_not_done" && line.code != "limit_on_setting"
    })
}

/// The items of the review that nobody settled, one line a kind.
fn review(eye: &Eye<'_>, wanted: impl Fn(&ReviewLine) -> bool) -> Vec<Pair> {
    let mut all: Vec<(&str, Vec<String>)> = Vec::new();
    let lines = eye.document.review.iter();
    for line in lines.filter(|line| line.settled.is_none() && wanted(line)) {
        let about = line.about.as_ref().map(|about| eye.text(about));
        let numbers = entries(eye, &line.entries);
        let text = match about {
            Some(about) if numbers.is_empty() => about,
            Some(about) => format!("{about} ({numbers})"),
            None => numbers,
        };
        match all.iter_mut().find(|(code, _)| *code == line.code) {
            Some((_, texts)) => texts.push(text),
            None => all.push((&line.code, vec![text])),
        }
    }
    all.into_iter()
        .map(|(code, texts)| Pair::new(eye.code("review", code), texts.join("; ")))
        .collect()
}

/// What was left out or is missing, and why.
pub(super) fn not_done(eye: &Eye<'_>) -> Vec<Pair> {
    let several = eye.document.valves.len() > 1;
    let lines = eye.document.valves.iter().flat_map(|valve| {
        valve.not_done.iter().map(move |line| {
            let name = if several {
                printable(&valve.name)
            } else {
                String::new()
            };
            let reason = line.reason.as_deref().map(printable).unwrap_or_default();
            let said = line.said.as_ref().map(|said| eye.said(said)).unwrap_or_default();
            Pair::new(eye.text(&line.say), join(&[name, reason, said]))
        })
    });
    lines.collect()
}

/// The tables of the whole job.
#[allow(clippy::too_many_lines, reason = "one table after the other")]
pub(super) fn tables(eye: &Eye<'_>) -> Tables {
    let document = eye.document;
    let table = columns(eye);
    Tables {
        gauges: gauges(eye),
        air: air(eye),
        disagreements: table.table(
            "disagreements",
            &[
                ("what", 2),
                ("sides", 4),
                ("settled_as", 2),
                ("reason", 3),
                ("who_when", 2),
            ],
            document
                .settlements
                .iter()
                .map(|line| {
                    let sides: Vec<String> = line
                        .sides
                        .iter()
                        .map(|side| {
                            format!(
                                "{} ({}): {}",
                                printable(&side.said.name),
                                eye.number(side.said.entry),
                                said_value(eye, &side.body)
                            )
                        })
                        .collect();
                    vec![
                        line.about
                            .as_ref()
                            .map_or_else(|| eye.code("review", &line.code), |about| eye.text(about)),
                        sides.join("; "),
                        line.found
                            .as_ref()
                            .map(|found| said_value(eye, found))
                            .unwrap_or_default(),
                        printable(&line.reason),
                        eye.said(&line.said),
                    ]
                })
                .collect(),
        ),
        withdrawn: table.table(
            "withdrawn",
            &[("no", 0), ("reason", 4), ("who_when", 3)],
            document
                .withdrawn
                .iter()
                .map(|line| {
                    vec![
                        eye.number(line.entry),
                        printable(&line.reason),
                        eye.said(&line.said),
                    ]
                })
                .collect(),
        ),
        notes: table.table(
            "notes",
            &[("no", 0), ("words", 6), ("about", 0), ("who_when", 3)],
            document
                .notes
                .iter()
                .map(|line| {
                    vec![
                        eye.number(line.said.entry),
                        printable(&line.text),
                        line.about.map(|about| eye.number(about)).unwrap_or_default(),
                        eye.said(&line.said),
                    ]
                })
                .collect(),
        ),
        initials: table.table(
            "initials",
            &[
                ("who", 2),
                ("entries_column", 0),
                ("initialled", 0),
                ("without", 0),
                ("given", 4),
            ],
            document
                .initials
                .iter()
                .map(|line| {
                    let given: Vec<String> = line.said.iter().map(|said| eye.when(&said.at)).collect();
                    vec![
                        printable(&line.name),
                        line.entries.to_string(),
                        line.initialled.len().to_string(),
                        line.open.len().to_string(),
                        given.join(", "),
                    ]
                })
                .collect(),
        ),
        history: table.table(
            "history",
            &[
                ("valve", 2),
                ("closed", 2),
                ("as_left", 0),
                ("learned_rate", 0),
                ("difference", 0),
            ],
            document
                .history
                .iter()
                .map(|line| {
                    vec![
                        eye.asset(line.history.asset),
                        eye.when(&line.history.closed_at),
                        optional(eye, line.history.as_left.as_ref()),
                        optional(eye, line.history.learned_rate.as_ref()),
                        optional(eye, line.history.static_difference.as_ref()),
                    ]
                })
                .collect(),
        ),
        procedures: table.table(
            "procedures",
            &[("procedure", 3), ("file_digest", 5)],
            document
                .procedures
                .iter()
                .map(|line| vec![eye.text(&line.title), printable(&line.digest)])
                .collect(),
        ),
        late: table.table(
            "late",
            &[("revision", 0), ("entries_column", 5)],
            document
                .late
                .iter()
                .map(|line| vec![line.revision.to_string(), entries(eye, &line.entries)])
                .collect(),
        ),
    }
}

fn gauges(eye: &Eye<'_>) -> Table {
    let rows = eye.document.gauges.iter().flat_map(|line| {
        line.values.iter().map(move |said: &GaugeSaid| {
            let gauge = &said.gauge;
            vec![
                printable(&line.serial),
                gauge.point.as_deref().map(printable).unwrap_or_default(),
                eye.line(&gauge.span),
                gauge.grade.as_deref().map(printable).unwrap_or_default(),
                optional(eye, gauge.resolution.as_ref()),
                gauge
                    .calibration_due
                    .as_deref()
                    .map(printable)
                    .unwrap_or_default(),
                join(&[
                    optional(eye, gauge.zero_before.as_ref()),
                    optional(eye, gauge.zero_after.as_ref()),
                ]),
                line.readings.len().to_string(),
                eye.said(&said.said),
            ]
        })
    });
    columns(eye).table(
        "gauges",
        &[
            ("serial", 3),
            ("point", 2),
            ("span", 3),
            ("grade", 2),
            ("resolution", 2),
            ("calibration_due", 3),
            ("zero", 3),
            ("readings_count", 2),
            ("said", 4),
        ],
        rows.collect(),
    )
}

fn air(eye: &Eye<'_>) -> Table {
    let rows = eye.document.atmosphere.iter().map(|line| {
        vec![
            eye.number(line.said.entry),
            eye.when(&line.said.at),
            eye.coded("level", line.level),
            eye.line(&line.oxygen),
            eye.line(&line.flammable),
            eye.line(&line.carbon_monoxide),
            eye.line(&line.hydrogen_sulphide),
            format!(
                "{}, {}",
                printable(&line.meter),
                eye.page(if line.bump_tested {
                    "bump_tested"
                } else {
                    "not_bump_tested"
                })
            ),
            eye.who(&line.said),
        ]
    });
    columns(eye).table(
        "atmosphere",
        &[
            ("no", 0),
            ("when", 0),
            ("level", 1),
            ("oxygen", 0),
            ("flammable", 0),
            ("carbon_monoxide", 0),
            ("hydrogen_sulphide", 0),
            ("meter", 2),
            ("who", 2),
        ],
        rows.collect(),
    )
}

/// What the body of an entry says, in a few words: its figures, states and texts.
pub(super) fn said_value(eye: &Eye<'_>, body: &Value) -> String {
    let Some(all) = body.as_object() else {
        return String::new();
    };
    let skipped = [
        "kind",
        "asset",
        "valve",
        "replaces",
        "element",
        "name",
        "procedure",
        "step",
        "control",
        "request",
        "gauge",
        "person",
    ];
    let mut parts = Vec::new();
    for (name, value) in all.iter().filter(|(name, _)| !skipped.contains(&name.as_str())) {
        let figure: Option<Figure> = serde_json::from_value(value.clone()).ok();
        match (figure, value) {
            (Some(figure), _) => parts.push(eye.line(&figure)),
            (None, Value::String(code)) if name == "position" => parts.push(eye.code("position", code)),
            (None, Value::String(code)) if name == "outcome" => parts.push(eye.code("step", code)),
            (None, Value::String(code)) if name == "water" => parts.push(eye.code("water", code)),
            (None, Value::String(code)) if name == "purpose" => parts.push(eye.code("purpose", code)),
            (None, Value::String(code)) if name == "point" => parts.push(printable(&code.replace('_', " "))),
            (None, Value::String(text)) => parts.push(printable(text)),
            (None, Value::Object(inner)) => {
                for value in inner.values() {
                    match (serde_json::from_value::<Figure>(value.clone()), value) {
                        (Ok(figure), _) => parts.push(eye.line(&figure)),
                        (_, Value::String(text)) => parts.push(printable(text)),
                        _ => {}
                    }
                }
            }
            _ => {}
        }
    }
    parts.join(", ")
}
