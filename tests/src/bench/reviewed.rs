//! The review of a job of 10,000 entries, from its folded state to the list.

use super::{Spread, scene};
use crate::entries::{VALVE, new_job, opening, says};
use anyhow::{Result, ensure};
use serde::Serialize;
use std::collections::BTreeMap;
use std::time::Instant;
use turnwise_core::journal::{
    Body, Clock, EntryId, FlowEvidence, FlowProof, Gauge, JobId, Journal, LineUp, Note, Outcome, Position,
    Purpose, Reading, ScrewMove, StepMark, Water,
};
use turnwise_core::procedure::Procedures;
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::review::review;

const ENTRIES: usize = 10_000;
const TIMES: usize = 9;
/// How many entries each of two people writes before they hear of each other.
const TURN: usize = 50;

/// What was measured: the same number of entries, three ways.
#[derive(Debug, Serialize)]
pub struct Reviewed {
    /// How many entries each job holds.
    pub entries: usize,
    /// Readings, turns, positions, steps, gauges, shows of flow and notes of two people who hear of each other every
    /// now and then.
    pub of_a_crew: Spread,
    /// Readings of two people and nothing else.
    pub of_readings: Spread,
    /// As of a crew, but neither hears of the other until the end: as much as possible stands side by side.
    pub of_strangers: Spread,
}

/// Measures.
///
/// # Errors
/// Where a journal or a procedure fails.
pub fn reviewed() -> Result<Reviewed> {
    let job = new_job();
    Ok(Reviewed {
        entries: ENTRIES,
        of_a_crew: measured(crew(job, TURN)?)?,
        of_readings: measured(scene::crew(job, ENTRIES)?)?,
        of_strangers: measured(crew(job, ENTRIES)?)?,
    })
}

fn measured(mut journal: Journal) -> Result<Spread> {
    let procedures = Procedures::built_in()?;
    let state = journal.state();
    ensure!(state.entries.len() == ENTRIES, "{} entries", state.entries.len());
    let mut times = Vec::new();
    for _ in 0..TIMES {
        let start = Instant::now();
        let items = review(&state, &procedures);
        times.push(start.elapsed());
        ensure!(!items.is_empty(), "a job with its work ahead has an empty list");
    }
    Ok(Spread::of(times))
}

/// A job of two people who hear of each other after so many entries each.
fn crew(job: JobId, turn: usize) -> Result<Journal> {
    let mut one = Writer::new(job, "G-1042")?;
    let mut other = Writer::new(job, "G-1043")?;
    one.journal.append(&opening(job))?;
    tell(&mut one, &mut other)?;
    let mut written = 1;
    while written < ENTRIES {
        let turn = turn.min((ENTRIES - written).div_ceil(2));
        for writer in [&mut one, &mut other] {
            for _ in 0..turn {
                if written < ENTRIES {
                    writer.writes()?;
                    written += 1;
                }
            }
        }
        tell(&mut one, &mut other)?;
        tell(&mut other, &mut one)?;
    }
    Ok(one.journal)
}

/// Everything that one holds is with the other.
fn tell(from: &mut Writer, to: &mut Writer) -> Result<()> {
    let known: Clock = to.journal.clock().clone();
    for delivery in from.journal.missing(&known) {
        to.journal.intake(&delivery)?;
    }
    for (&what, &entry) in &from.own {
        to.heard.insert(what, entry);
    }
    Ok(())
}

/// One of the two.
struct Writer {
    journal: Journal,
    gauge: &'static str,
    told: usize,
    /// Their own newest entry of each thing that can be said anew.
    own: BTreeMap<&'static str, EntryId>,
    /// The other's, as far as they have heard.
    heard: BTreeMap<&'static str, EntryId>,
    read: Option<EntryId>,
}

impl Writer {
    fn new(job: JobId, gauge: &'static str) -> Result<Self> {
        Ok(Self {
            journal: scene::journal(job)?,
            gauge,
            told: 0,
            own: BTreeMap::new(),
            heard: BTreeMap::new(),
            read: None,
        })
    }

    /// What takes the place of what was said of it before, by either.
    fn replaces(&mut self, what: &'static str) -> Vec<EntryId> {
        let own = self.own.remove(what);
        own.into_iter().chain(self.heard.remove(what)).collect()
    }

    fn writes(&mut self) -> Result<()> {
        const ELEMENTS: [&str; 4] = ["downstream_block", "outlet_cock", "cover_cock", "spool_vent"];
        const STEPS: [&str; 4] = [
            "prepare.lock_nut",
            "prepare.strainers",
            "pressurise.bleed",
            "tune_and_prove.lock_nut",
        ];
        let number = self.told;
        self.told += 1;
        let mut what = None;
        let body = match number % 20 {
            0 => {
                what = Some(self.gauge);
                gauge(self.gauge, self.replaces(self.gauge))
            }
            1 => Body::FlowEvidence(FlowEvidence {
                asset: VALVE,
                how: if number % 40 == 1 {
                    FlowProof::Meter
                } else {
                    FlowProof::Stopped
                },
                flow: None,
                place: None,
            }),
            2 => Body::Note(Note {
                text: "strainer looked at".to_owned(),
                about: None,
            }),
            3 | 4 => {
                let element = ELEMENTS[number / 20 % ELEMENTS.len()];
                what = Some(element);
                Body::LineUp(LineUp {
                    asset: VALVE,
                    element: element.to_owned(),
                    position: if number.is_multiple_of(3) {
                        Position::Open
                    } else {
                        Position::Shut
                    },
                    counted: None,
                    replaces: self.replaces(element),
                })
            }
            5 => {
                let step = STEPS[number / 20 % STEPS.len()];
                what = Some(step);
                Body::StepMark(StepMark {
                    asset: VALVE,
                    procedure: "reducing".to_owned(),
                    step: step.to_owned(),
                    outcome: Outcome::Done,
                    overridden: Vec::new(),
                    reason: None,
                    replaces: self.replaces(step),
                })
            }
            6..=9 => Body::ScrewMove(ScrewMove {
                asset: VALVE,
                screw: "pilot".to_owned(),
                turn: figure("-1/8".to_owned(), Unit::Turn),
                request: None,
                planned_from: self.read,
            }),
            _ => reading(number, self.gauge),
        };
        let is_outlet = matches!(&body, Body::Reading(read) if read.point == "outlet");
        let entry = says(body);
        self.journal.append(&entry)?;
        if is_outlet {
            self.read = Some(entry.id);
        }
        if let Some(what) = what {
            self.own.insert(what, entry.id);
        }
        Ok(())
    }
}

fn figure(digits: String, unit: Unit) -> Figure {
    Figure { digits, unit }
}

fn gauge(serial: &str, replaces: Vec<EntryId>) -> Body {
    Body::Gauge(Gauge {
        serial: serial.to_owned(),
        point: Some("outlet".to_owned()),
        span: figure("200".to_owned(), Unit::Psi),
        grade: Some("0.5 %".to_owned()),
        resolution: Some(figure("1".to_owned(), Unit::Psi)),
        calibration_due: Some("2027-01-31".to_owned()),
        zero_before: Some(figure("0".to_owned(), Unit::Psi)),
        zero_after: None,
        replaces,
    })
}

fn reading(number: usize, gauge: &str) -> Body {
    let point = if number.is_multiple_of(3) {
        "inlet"
    } else {
        "outlet"
    };
    Body::Reading(Reading {
        asset: VALVE,
        point: point.to_owned(),
        place: None,
        figure: figure(format!("{}.{}", 50 + number % 40, number % 10), Unit::Psi),
        gauge: Some(gauge.to_owned()),
        purpose: Purpose::Working,
        water: Water::Flowing,
        request: None,
    })
}
