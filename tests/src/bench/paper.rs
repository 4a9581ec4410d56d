//! The record of a job of 400 entries, from the journal in memory to an export and from there to a PDF: the first time in
//! a program, and again after each further entry, as a crew would while it closes out.

use super::{Spread, scene};
use crate::entries::{new_job, opening, reading, turn};
use anyhow::Result;
use serde::Serialize;
use std::time::Instant;
use turnwise_core::procedure::Shelf;
use turnwise_record::pdf::{Options, render};

const ENTRIES: usize = 400;
const TIMES: usize = 20;
const AT: &str = "2026-03-04T17:00:00+01:00";

/// What was measured.
#[derive(Debug, Serialize)]
pub struct Paper {
    /// How many entries the job holds: an opening, and a reading after each turn of the screw.
    pub entries: usize,
    /// How many cores this program could use. The aim is for one: start the bench with `taskset -c 0`.
    pub cores: usize,
    /// Bytes of the PDF.
    pub bytes: usize,
    /// From the journal to the sealed export.
    pub export: Spread,
    /// From the export to the PDF for the first time, in microseconds: the fonts are read, every part is set.
    pub first_us: f64,
    /// The same again, with one more entry each time. The aim is 300 ms at most.
    pub print: Spread,
}

/// Measures.
///
/// # Errors
/// Where the disk, the journal or the printing fails.
pub fn paper() -> Result<Paper> {
    let dir = tempfile::tempdir()?;
    let job = new_job();
    let mut journal = scene::journal(job)?;
    journal.append(&opening(job))?;
    for number in 1..ENTRIES {
        let entry = match number % 2 {
            1 => turn(["-1/8", "+1/8", "-1/4", "+1/4"][number % 4]),
            _ => reading(&format!("{}.{}", 50 + number % 20, number % 10)),
        };
        journal.append(&entry)?;
    }
    let mut store = scene::store(dir.path())?;
    scene::give(&journal, &mut store)?;
    let mut shelf = Shelf::new()?;
    let (mut exports, mut prints, mut bytes, mut first_us) = (Vec::new(), Vec::new(), 0, 0.0);
    for round in 0..=TIMES {
        store.append(job, &reading(&format!("55.{round}")))?;
        let start = Instant::now();
        let export = store.export(&mut shelf, job, AT)?;
        let exported = start.elapsed();
        let start = Instant::now();
        let pdf = render(&export, &|_| None, &Options::default())?;
        let printed = start.elapsed();
        if round == 0 {
            first_us = printed.as_secs_f64() * 1e6;
        } else {
            exports.push(exported);
            prints.push(printed);
        }
        bytes = pdf.len();
    }
    Ok(Paper {
        entries: ENTRIES,
        cores: std::thread::available_parallelism()?.get(),
        bytes,
        first_us,
        export: Spread::of(exports),
        print: Spread::of(prints),
    })
}
