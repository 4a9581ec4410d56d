//! Does it come back to the same pressure after a disturbance?

use super::read::{Read, after_all, larger, moves, readings, shown};
use crate::journal::{AssetId, Body, EntryId, Folded, JobState, Purpose, Water};
use crate::quantity::{Figure, PressureDifference};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The step after which the cycles are read.
const RE_READ: &str = "tune_and_prove.re_read";
/// How many cycles the procedure asks for.
const CYCLES: usize = 3;

/// What the disturb-and-settle cycles come to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Repeatability {
    /// The readings, one a cycle, oldest first: the last three.
    pub readings: Vec<EntryId>,
    /// What was read.
    pub figures: Vec<Figure>,
    /// Highest less lowest, in the unit of the first. None below two.
    pub spread: Option<Figure>,
    /// The expanded uncertainty (k = 2) of a difference of two of them.
    pub uncertainty: Option<Figure>,
    /// What there is to say, as codes: `fewer_than_three_cycles`, `spread_not_told` (less than the gauge can tell).
    pub because: Vec<String>,
}

/// The spread of the cycles: the last three flowing working readings at `point` made in knowledge of every move and of the
/// re-reading behind the tight lock nut. None where there is none.
pub fn repeatability(state: &JobState, valve: AssetId, point: &str) -> Option<Repeatability> {
    let turned = moves(state, valve);
    let re_read: Vec<&Folded> = state
        .live()
        .filter(|folded| {
            matches!(&folded.entry.told.body, Body::StepMark(mark) if mark.asset == valve && mark.step == RE_READ)
        })
        .collect();
    let mut cycles: Vec<Read<'_>> = readings(state, valve)
        .filter(|read| {
            read.reading.point == point
                && read.reading.purpose == Purpose::Working
                && read.reading.water == Water::Flowing
                && after_all(read.folded, &turned)
                && re_read.iter().any(|mark| read.folded.saw(mark))
        })
        .collect();
    cycles.drain(..cycles.len().saturating_sub(CYCLES));
    let unit = cycles.first()?.reading.figure.unit;
    let mut because = Vec::new();
    if cycles.len() < CYCLES {
        because.push("fewer_than_three_cycles".to_owned());
    }
    let by_pressure = |a: &&Read<'_>, b: &&Read<'_>| a.pressure.in_pa().total_cmp(&b.pressure.in_pa());
    let (low, high) = cycles
        .iter()
        .min_by(by_pressure)
        .zip(cycles.iter().max_by(by_pressure))?;
    let mut spread = None;
    let mut uncertainty = None;
    if cycles.len() > 1 {
        let apart = high.pressure - low.pressure;
        let u = cycles
            .windows(2)
            .filter_map(|two| two[0].uncertainty_to(&two[1], state))
            .fold(PressureDifference::ZERO, larger);
        if apart <= u {
            because.push("spread_not_told".to_owned());
        }
        spread = shown(apart, unit);
        uncertainty = shown(u, unit);
    }
    Some(Repeatability {
        spread,
        uncertainty,
        because,
        readings: cycles.iter().map(|read| read.folded.entry.id).collect(),
        figures: cycles.iter().map(|read| read.reading.figure.clone()).collect(),
    })
}
