//! What the template draws: every word in the language asked for, every figure as text, every chart as shares
//! of its frame. The template holds no rule and computes nothing but places.

mod charts;
mod eye;
mod job;
mod line_up;
mod signed;
mod tables;
mod valve;

use super::qr::{Squares, squares};
use super::{Options, words};
use crate::verify::Report;
use eye::{Eye, printable};
use serde::Serialize;
use std::collections::BTreeMap;
use turnwise_core::record::content::{Document, EntryLine};

/// A photograph as the page shows it.
#[derive(Serialize)]
pub(super) struct Photo {
    /// Its path in the world, where its bytes are at hand.
    pub path: Option<String>,
    /// Why not, where they are not.
    pub absent: Option<String>,
    pub caption: String,
    pub said: String,
    pub number: String,
    pub sha256: String,
}

/// Words with a heading, side by side.
#[derive(Serialize)]
pub(super) struct Pair {
    pub label: String,
    pub text: String,
}

impl Pair {
    fn new(label: String, text: impl Into<String>) -> Self {
        Self {
            label,
            text: text.into(),
        }
    }
}

/// A table: headings, and rows of as many cells.
#[derive(Serialize)]
pub(super) struct Table {
    pub title: String,
    pub head: Vec<String>,
    /// Widths, as shares; 0 takes what its words need.
    pub widths: Vec<u8>,
    pub rows: Vec<Vec<String>>,
    /// Words where there are no rows.
    pub empty: String,
    /// Words below.
    pub remark: String,
}

/// A verdict: a word, a shape, and what it rests on.
#[derive(Serialize)]
pub(super) struct Verdict {
    pub title: String,
    /// `good`, `look`, `outside` or `not_known`: the shape.
    pub shape: &'static str,
    pub word: String,
    pub text: String,
}

/// Everything the template draws.
#[derive(Serialize)]
pub(super) struct Sheet<'a> {
    pub lang: &'static str,
    pub paper: &'static str,
    pub words: &'a BTreeMap<String, String>,
    pub number: String,
    pub customer: String,
    pub site: String,
    pub station: String,
    pub opened: String,
    pub revision: String,
    pub entries: usize,
    pub digest: Vec<String>,
    pub digest_start: String,
    pub qr: Option<Squares>,
    pub offset: String,
    pub units: String,
    pub crew: Vec<Pair>,
    pub state: Verdict,
    pub faults: Vec<Pair>,
    pub signed: Vec<signed::Signed>,
    /// How many entries came after the signature, in words; empty for none.
    pub after: String,
    pub addendum: Table,
    pub sealed: String,
    pub open: Vec<Pair>,
    pub not_done: Vec<Pair>,
    pub worth_reading: Vec<Pair>,
    pub valves: Vec<valve::Valve>,
    pub station_facts: Vec<Pair>,
    pub tables: job::Tables,
    pub photos: Vec<Photo>,
}

/// What is known of a record beside its own text.
pub(super) struct Beside<'a> {
    pub report: &'a Report,
    pub addendum: &'a [EntryLine],
    /// Of each photograph its path, or why there is none.
    pub photos: Vec<(Option<String>, Option<&'static str>)>,
}

/// Lays out what is drawn.
pub(super) fn sheet<'a>(document: &Document, beside: Beside<'_>, options: Options) -> Sheet<'a> {
    let eye = Eye::new(document, options);
    let opening = &document.job.opening;
    let report = beside.report;
    let digest = &report.digest;
    let groups: Vec<String> = (0..digest.len().div_ceil(8))
        .map(|at| digest.chars().skip(at * 8).take(8).collect())
        .collect();
    Sheet {
        lang: options.lang.code(),
        paper: options.paper(),
        words: words::all(options.lang),
        number: printable(&opening.number),
        customer: printable(&opening.customer),
        site: printable(&opening.site),
        station: printable(&opening.station.name),
        opened: eye.said(&document.job.said),
        revision: report.revision.to_string(),
        entries: document.entries.len(),
        digest_start: groups.iter().take(2).cloned().collect::<Vec<_>>().join(" "),
        qr: squares(&format!("turnwise-record:sha256:{digest}")),
        digest: groups,
        offset: if eye.offset == "Z" || eye.offset == "+00:00" {
            "UTC".to_owned()
        } else {
            format!("UTC{}", eye.offset)
        },
        units: job::units_note(&eye),
        crew: job::crew(&eye),
        state: signed::state(&eye, report),
        faults: signed::faults(&eye, report),
        signed: signed::signatures(&eye, report),
        after: signed::after(&eye, beside.addendum.len()),
        addendum: signed::addendum(&eye, beside.addendum),
        sealed: report.seal.as_ref().map_or_else(String::new, |seal| {
            format!(
                "{} {}, {}",
                eye.page("sealed"),
                printable(&seal.device),
                eye.when(&seal.at)
            )
        }),
        open: job::open_matters(&eye),
        not_done: job::not_done(&eye),
        worth_reading: job::worth_reading(&eye),
        valves: document
            .valves
            .iter()
            .map(|one| valve::valve(&eye, one))
            .collect(),
        station_facts: valve::particulars(&eye, &document.station.particulars),
        tables: job::tables(&eye),
        photos: photos(&eye, beside.photos),
    }
}

fn photos(eye: &Eye<'_>, files: Vec<(Option<String>, Option<&'static str>)>) -> Vec<Photo> {
    eye.document
        .photographs
        .iter()
        .zip(files)
        .map(|(line, (path, absent))| Photo {
            path,
            absent: absent.map(|code| eye.code("photo_absent", code)),
            caption: printable(&line.caption),
            said: eye.said(&line.said),
            number: eye.number(line.said.entry),
            sha256: printable(&line.sha256),
        })
        .collect()
}
