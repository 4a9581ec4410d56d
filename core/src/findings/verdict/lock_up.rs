//! Does it close tight with no flow, and does the pressure then stay?

use super::read::{Read, after_all, minutes, moves, readings, shown};
use crate::journal::{AssetId, EntryId, JobState, Purpose, Water};
use crate::quantity::{Figure, PressureDifference};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How much trapped water gains when it warms by one degree Fahrenheit near 15 C in a rigid pipe without air. Common practice,
/// no source.
pub const WARMING_PSI_PER_DEG_F: f64 = 25.0;

/// What the pressure does after it has locked up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Creep {
    /// The readings differ by no more than the gauge can tell.
    Holds,
    /// It climbs: passing, or warming.
    Climbs,
    /// It falls: a leak out of the isolated piece, or cooling.
    Falls,
    /// One reading only.
    OneReading,
}

/// Lock-up and creep.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LockUp {
    /// Where it was read, as the procedure names the point.
    pub point: String,
    /// The readings, oldest first.
    pub readings: Vec<EntryId>,
    /// What was read.
    pub figures: Vec<Figure>,
    /// The first of them less the flowing pressure before, in the first's unit. None without a flowing reading at the outlet.
    pub above_flowing: Option<Figure>,
    /// What it does.
    pub creep: Creep,
    /// The last less the first.
    pub change: Option<Figure>,
    /// Its expanded uncertainty (k = 2).
    pub uncertainty: Option<Figure>,
    /// Minutes between them, by the entries' stated times: for people to read, it decides nothing.
    pub minutes: Option<String>,
    /// How far the trapped water would have to warm, degrees Fahrenheit, to climb so far: see [`WARMING_PSI_PER_DEG_F`].
    pub as_warming_deg_f: Option<String>,
    /// What there is to say, as codes: `warming_possible`, `cooling_possible`, `once_only`.
    pub because: Vec<String>,
}

/// Lock-up and creep by the lock-up readings made in knowledge of every move, at the point where the newest of them was
/// read. `outlet` is where the flowing pressure is read. None where there is no such reading.
pub fn lock_up(state: &JobState, valve: AssetId, outlet: &str) -> Option<LockUp> {
    let turned = moves(state, valve);
    let all: Vec<Read<'_>> = readings(state, valve)
        .filter(|read| after_all(read.folded, &turned))
        .collect();
    let locked = |read: &&Read<'_>| read.reading.purpose == Purpose::LockUp;
    let point = all.iter().rev().find(locked)?.reading.point.clone();
    let here: Vec<&Read<'_>> = all
        .iter()
        .filter(locked)
        .filter(|read| read.reading.point == point)
        .collect();
    let (first, last) = (*here.first()?, *here.last()?);
    let unit = first.reading.figure.unit;
    let flowing = all.iter().rev().find(|read| {
        read.reading.point == outlet
            && read.reading.water == Water::Flowing
            && read.reading.purpose != Purpose::AsLeft
            && first.folded.saw(read.folded)
    });
    let change = last.pressure - first.pressure;
    let u = first
        .uncertainty_to(last, state)
        .unwrap_or(PressureDifference::ZERO);
    let creep = if here.len() < 2 {
        Creep::OneReading
    } else if change.abs() <= u {
        Creep::Holds
    } else if change > PressureDifference::ZERO {
        Creep::Climbs
    } else {
        Creep::Falls
    };
    let because = match creep {
        Creep::Climbs => vec!["warming_possible".to_owned()],
        Creep::Falls => vec!["cooling_possible".to_owned()],
        Creep::OneReading => vec!["once_only".to_owned()],
        Creep::Holds => Vec::new(),
    };
    let several = here.len() > 1;
    Some(LockUp {
        readings: here.iter().map(|read| read.folded.entry.id).collect(),
        figures: here.iter().map(|read| read.reading.figure.clone()).collect(),
        above_flowing: flowing.and_then(|read| shown(first.pressure - read.pressure, unit)),
        change: several.then(|| shown(change, unit)).flatten(),
        uncertainty: several.then(|| shown(u, unit)).flatten(),
        minutes: minutes(&first.folded.entry.told.at, &last.folded.entry.told.at)
            .filter(|_| several)
            .map(|minutes| format!("{minutes:.0}")),
        as_warming_deg_f: matches!(creep, Creep::Climbs | Creep::Falls)
            .then(|| format!("{:.2}", change.in_psi() / WARMING_PSI_PER_DEG_F)),
        point,
        creep,
        because,
    })
}
