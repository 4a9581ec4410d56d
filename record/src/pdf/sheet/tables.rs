//! The tables of one valve: everything on record, line by line.

use super::Table;
use super::eye::{Eye, printable};
use super::valve::{point, warnings};
use turnwise_core::journal::Outcome;
use turnwise_core::quantity::Figure;
use turnwise_core::record::content::{ReadingLine, Said, StepLine, ValveSection};

/// Makes tables with headings in the language asked for.
pub(super) struct Columns<'e> {
    eye: &'e Eye<'e>,
}

impl Columns<'_> {
    pub fn table(&self, title: &str, columns: &[(&str, u8)], rows: Vec<Vec<String>>) -> Table {
        Table {
            title: self.eye.page(title),
            head: columns.iter().map(|(name, _)| self.eye.page(name)).collect(),
            widths: columns.iter().map(|(_, width)| *width).collect(),
            rows,
            empty: self.eye.page("none_on_record"),
            remark: String::new(),
        }
    }
}

pub(super) fn entries(eye: &Eye<'_>, ids: &[turnwise_core::journal::EntryId]) -> String {
    // A long list says how many; the entries themselves are in the attached record.
    if ids.len() > 24 {
        return format!("{} {}", ids.len(), eye.page("entries"));
    }
    match eye.list(ids) {
        numbers if numbers.is_empty() => String::new(),
        numbers => format!("{} {numbers}", eye.page("entries_short")),
    }
}

pub(super) fn join(parts: &[String]) -> String {
    let full: Vec<&str> = parts
        .iter()
        .map(String::as_str)
        .filter(|part| !part.is_empty())
        .collect();
    full.join(" · ")
}

/// The tables of one valve.
pub(super) fn of_valve(eye: &Eye<'_>, valve: &ValveSection) -> Vec<Table> {
    let mut all = Vec::new();
    if valve.requests.len() > 1 {
        all.push(requests(eye, valve));
    }
    if let Some(found) = &valve.findings {
        if !found.rates.is_empty() {
            all.push(rates(eye, valve));
        }
        if !found.checks.is_empty() {
            all.push(checks(eye, valve));
        }
        if !found.history.is_empty() {
            all.push(compared_with_history(eye, valve));
        }
    }
    if !valve.static_settings.is_empty() {
        all.push(static_settings(eye, valve));
    }
    all.push(moves(eye, valve));
    all.push(readings(eye, valve));
    if !valve.flow.is_empty() {
        all.push(flow(eye, valve));
    }
    all.push(steps(eye, valve));
    all
}

pub(super) fn columns<'e>(eye: &'e Eye<'e>) -> Columns<'e> {
    Columns { eye }
}

fn requests(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let rows = valve.requests.iter().map(|line| {
        vec![
            eye.number(line.said.entry),
            eye.line(&line.pressure),
            optional(eye, line.tolerance.as_ref()),
            optional(eye, line.zone_limit.as_ref()),
            format!("{} · {}", printable(&line.datum), printable(&line.asked_by)),
            eye.page(if line.stands { "stands" } else { "replaced" }),
            eye.said(&line.said),
        ]
    });
    columns(eye).table(
        "requests",
        &[
            ("no", 0),
            ("pressure", 0),
            ("tolerance", 0),
            ("zone_limit", 0),
            ("datum", 3),
            ("state", 0),
            ("said", 3),
        ],
        rows.collect(),
    )
}

pub(super) fn optional(eye: &Eye<'_>, figure: Option<&Figure>) -> String {
    figure.map(|figure| eye.line(figure)).unwrap_or_default()
}

fn rates(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let rates = valve.findings.iter().flat_map(|found| &found.rates);
    let rows = rates.map(|rate| {
        let label = valve.moves.iter().find(|line| line.screw == rate.screw);
        let mut remark = String::new();
        warnings(eye, &rate.warnings, &mut remark);
        vec![
            label.map_or_else(|| printable(&rate.screw), |line| eye.text(&line.label)),
            optional(eye, rate.rate.as_ref()),
            match (&rate.low, &rate.high) {
                (Some(low), Some(high)) => format!("{} – {}", eye.line(low), eye.line(high)),
                _ => String::new(),
            },
            optional(eye, rate.printed.as_ref()),
            optional(eye, rate.dead_band.as_ref()),
            rate.moves.to_string(),
            remark.trim_start_matches(" · ").to_owned(),
        ]
    });
    columns(eye).table(
        "learned_rate",
        &[
            ("screw", 3),
            ("rate", 3),
            ("interval", 4),
            ("printed", 3),
            ("dead_band", 2),
            ("moves_count", 1),
            ("remark", 3),
        ],
        rows.collect(),
    )
}

fn checks(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let checks = valve.findings.iter().flat_map(|found| &found.checks);
    let rows = checks.map(|check| {
        let limit = optional(eye, check.limit.as_ref());
        vec![
            check
                .say
                .as_ref()
                .map_or_else(|| eye.code("check", &check.code), |say| eye.text(say)),
            eye.code("verdict", &check.verdict),
            optional(eye, check.figure.as_ref()),
            if check.changed_by_owner {
                join(&[limit, eye.page("changed_by_owner")])
            } else {
                limit
            },
            check
                .source
                .as_deref()
                .map(|source| eye.code("source", source))
                .unwrap_or_default(),
        ]
    });
    columns(eye).table(
        "checks",
        &[
            ("check", 3),
            ("outcome", 0),
            ("figure", 0),
            ("limit", 2),
            ("source", 2),
        ],
        rows.collect(),
    )
}

fn compared_with_history(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let lines = valve.findings.iter().flat_map(|found| &found.history);
    let rows = lines.map(|line| {
        vec![
            eye.code("history", &line.code),
            eye.line(&line.then),
            optional(eye, line.now.as_ref()),
            eye.code("verdict", &line.verdict),
            eye.number(line.earlier),
        ]
    });
    columns(eye).table(
        "compared_history",
        &[("what", 3), ("then", 2), ("now", 2), ("outcome", 2), ("no", 0)],
        rows.collect(),
    )
}

fn static_settings(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let seen = |id| {
        valve
            .reading(id)
            .map(|line: &ReadingLine| format!("{} ({})", eye.line(&line.figure), eye.entry(id)))
            .unwrap_or_default()
    };
    let rows = valve.static_settings.iter().map(|line| {
        vec![
            seen(line.read_static),
            line.on_line.map(seen).unwrap_or_default(),
            optional(eye, line.difference.as_ref()),
        ]
    });
    columns(eye).table(
        "static_settings",
        &[("static_reading", 2), ("on_line", 2), ("difference_computed", 2)],
        rows.collect(),
    )
}

fn moves(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let rows = valve.moves.iter().map(|line| {
        let followed = line.followed_by.and_then(|id| valve.reading(id));
        vec![
            eye.number(line.said.entry),
            eye.when(&line.said.at),
            eye.text(&line.label),
            format!("{} {}", eye.figure(&line.turn).read, way(eye, &line.turn)),
            eye.line(&line.total),
            followed.map_or_else(
                || eye.page("no_reading_after"),
                |read| format!("{} ({})", eye.line(&read.figure), eye.entry(read.said.entry)),
            ),
            eye.who(&line.said),
        ]
    });
    columns(eye).table(
        "moves",
        &[
            ("no", 0),
            ("when", 0),
            ("screw", 3),
            ("turn", 0),
            ("total_turns", 0),
            ("reading_after", 2),
            ("who", 2),
        ],
        rows.collect(),
    )
}

/// Which way a turn goes, in words.
fn way(eye: &Eye<'_>, turn: &Figure) -> String {
    match turn.value() {
        Ok(value) if value > 0.0 => eye.page("clockwise"),
        Ok(value) if value < 0.0 => eye.page("counter_clockwise"),
        _ => String::new(),
    }
}

fn readings(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let beside = eye.options.units.pressure().is_some();
    let mut problems = Vec::new();
    let rows = valve
        .readings
        .iter()
        .map(|line| {
            let figure = eye.figure(&line.figure);
            let mut row = vec![
                eye.number(line.said.entry),
                eye.when(&line.said.at),
                point(eye, line),
                figure.read,
            ];
            if beside {
                row.push(figure.shown.unwrap_or_default());
            }
            row.push(uncertainty(eye, line, &mut problems));
            row.push(line.gauge.as_deref().map(printable).unwrap_or_default());
            row.push(eye.coded("purpose", line.purpose));
            row.push(eye.coded("water", line.water));
            row.push(eye.who(&line.said));
            row
        })
        .collect();
    let mut heads = vec![("no", 0), ("when", 0), ("point", 5), ("as_read", 0)];
    if beside {
        heads.push(("beside", 0));
    }
    heads.extend([
        ("u", 3),
        ("gauge_column", 3),
        ("purpose", 3),
        ("water", 3),
        ("who", 4),
    ]);
    let mut table = columns(eye).table("readings", &heads, rows);
    table.remark = eye.page("u_remark");
    for (number, problem) in (1..).zip(problems) {
        table.remark.push(' ');
        table.remark.push_str(&raised(number));
        table.remark.push('\u{a0}');
        table.remark.push_str(&eye.code("gauge_problem", problem));
        table.remark.push('.');
    }
    table
}

/// A reading's uncertainty, with a number for each thing that is wrong with its gauge: the words stand below the table.
fn uncertainty<'a>(eye: &Eye<'_>, line: &'a ReadingLine, problems: &mut Vec<&'a str>) -> String {
    let Some(known) = &line.uncertainty else {
        return String::new();
    };
    let mut text = eye.figure(&known.standard).read;
    if known.basis == "assumed" {
        text.push('*');
    }
    for problem in &known.problems {
        let number = problems
            .iter()
            .position(|known| known == problem)
            .unwrap_or_else(|| {
                problems.push(problem);
                problems.len() - 1
            });
        text.push('\u{a0}');
        text.push_str(&raised(number + 1));
    }
    text
}

/// A small number above the line.
fn raised(number: usize) -> String {
    let digits = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    number
        .to_string()
        .bytes()
        .filter_map(|digit| digits.get(usize::from(digit.wrapping_sub(b'0'))))
        .collect()
}

fn flow(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let rows = valve.flow.iter().map(|line| {
        vec![
            eye.number(line.said.entry),
            eye.when(&line.said.at),
            eye.coded("flow", line.how),
            optional(eye, line.flow.as_ref()),
            line.place.as_deref().map(printable).unwrap_or_default(),
            eye.who(&line.said),
        ]
    });
    columns(eye).table(
        "flow_evidence",
        &[
            ("no", 0),
            ("when", 0),
            ("seen", 3),
            ("flow", 0),
            ("place", 2),
            ("who", 2),
        ],
        rows.collect(),
    )
}

fn steps(eye: &Eye<'_>, valve: &ValveSection) -> Table {
    let shown = |line: &&StepLine| !line.marks.is_empty() || (line.applies && !line.passed);
    let mut rows = Vec::new();
    let mut phase = None;
    for line in valve.steps.iter().filter(shown) {
        let at = (line.procedure.as_str(), line.phase.as_str());
        if phase != Some(at) {
            phase = Some(at);
            rows.push(vec![eye.text(&line.phase_title)]);
        }
        rows.push(step(eye, line));
    }
    let heads = [
        ("step", 3),
        ("outcome", 2),
        ("who", 2),
        ("when", 0),
        ("no", 0),
        ("why", 4),
    ];
    columns(eye).table("steps", &heads, rows)
}

fn step(eye: &Eye<'_>, line: &StepLine) -> Vec<String> {
    let mut outcome = eye.code("step", &line.status);
    if !line.applies {
        outcome = join(&[outcome, eye.page("another_way")]);
    }
    let of_marks = |text: &dyn Fn(&Said) -> String| {
        let all: Vec<String> = line.marks.iter().map(|mark| text(&mark.said)).collect();
        all.join("\n")
    };
    let mut who = of_marks(&|said| eye.who(said));
    let mut why = Vec::new();
    for mark in &line.marks {
        if let Some(answer) = &mark.answer {
            why.push(eye.text(answer));
        } else if let Outcome::Chosen(answer) = &mark.outcome {
            why.push(printable(answer));
        }
        for unmet in &mark.overridden {
            let words = unmet
                .say
                .as_ref()
                .map_or_else(|| printable(&unmet.code), |say| eye.text(say));
            why.push(format!("{}: {words}", eye.page("overridden")));
        }
        if let Some(reason) = &mark.reason {
            why.push(format!("{}: {}", eye.page("reason"), printable(reason)));
        }
    }
    for stop in &line.went_over {
        why.push(format!("{}: {}", eye.page("went_over"), printable(stop)));
    }
    if line.marks.is_empty() && line.status == "done" {
        who = eye.page("by_evidence");
    }
    vec![
        eye.text(&line.title),
        outcome,
        who,
        of_marks(&|said| eye.when(&said.at)),
        of_marks(&|said| eye.number(said.entry)),
        why.join(". "),
    ]
}
