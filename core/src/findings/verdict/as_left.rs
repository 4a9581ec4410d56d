//! Is it left where it was asked to be, as far as its gauge can tell?

use super::read::{Sure, after_all, moves, readings, shown};
use crate::journal::{AssetId, EntryId, JobState, Purpose, Stand, Water};
use crate::quantity::{Figure, GaugePressure, PressureDifference};
use crate::setting::default_tolerance;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The verdict on how a valve is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum AsLeftVerdict {
    /// Inside the tolerance, whatever the gauge may be off by.
    Inside,
    /// Outside the tolerance, whatever the gauge may be off by.
    Outside,
    /// So near to the tolerance's edge that this gauge cannot tell.
    CannotTell,
    /// There is no as-left reading that counts.
    NotRead,
    /// There is no request, or people disagree on it: nothing to compare with.
    NoTarget,
}

/// How a valve is left, against what was asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct AsLeft {
    /// The verdict.
    pub verdict: AsLeftVerdict,
    /// What else there is to say, as codes: `no_request`, `request_disagreed`, `no_as_left`, `older_than_turn`,
    /// `another_request`, `without_flow`, `gauge_unknown`, `default_tolerance`.
    pub because: Vec<String>,
    /// The reading.
    pub reading: Option<EntryId>,
    /// What was read, as it was read.
    pub read: Option<Figure>,
    /// What was asked.
    pub target: Option<Figure>,
    /// How far off it may be, in the target's unit.
    pub tolerance: Option<Figure>,
    /// Read less asked, in the target's unit.
    pub off: Option<Figure>,
    /// The reading's expanded uncertainty (k = 2), in the target's unit.
    pub uncertainty: Option<Figure>,
    /// The gauge, where it is on record. None: one had to be assumed.
    pub gauge: Option<String>,
    /// What is wrong with the gauge, as codes.
    pub problems: Vec<String>,
}

/// Judges a deviation by the guard band of its expanded uncertainty: inside where `|off| + u <= tolerance`, outside where
/// `|off| - u > tolerance`, else it cannot be told.
///
/// Source: the decision rule of ISO 14253-1 with guard bands as in JCGM 106:2012 (from memory).
/// Example: tolerance 2 psi, U 0.8 psi: 1 psi off is inside, 3 psi off outside, 1.5 psi off cannot be told.
pub fn judge_by_guard_band(
    off: PressureDifference,
    tolerance: PressureDifference,
    u: PressureDifference,
) -> AsLeftVerdict {
    if off.abs() + u <= tolerance {
        AsLeftVerdict::Inside
    } else if off.abs() - u > tolerance {
        AsLeftVerdict::Outside
    } else {
        AsLeftVerdict::CannotTell
    }
}

/// How a valve is left. The newest live as-left reading at `point` (for a reducing valve [`super::OUTLET`]) counts if its
/// writer knew of every move of the screw and it names the request that stands, or none.
pub fn as_left(state: &JobState, valve: AssetId, point: &str) -> AsLeft {
    let mut found = AsLeft {
        verdict: AsLeftVerdict::NoTarget,
        because: Vec::new(),
        reading: None,
        read: None,
        target: None,
        tolerance: None,
        off: None,
        uncertainty: None,
        gauge: None,
        problems: Vec::new(),
    };
    let say = |found: &mut AsLeft, code: &str| found.because.push(code.to_owned());
    let newest = readings(state, valve)
        .rev()
        .find(|read| read.reading.point == point && read.reading.purpose == Purpose::AsLeft);
    if let Some(read) = &newest {
        found.reading = Some(read.folded.entry.id);
        found.read = Some(read.reading.figure.clone());
    }
    let (request, request_id) = match state.request(valve) {
        Stand::Agreed(Some(request), by) => (request, by.entry.id),
        Stand::Disagreed(_) => {
            say(&mut found, "request_disagreed");
            return found;
        }
        _ => {
            say(&mut found, "no_request");
            return found;
        }
    };
    let Ok(target) = GaugePressure::try_from(&request.pressure) else {
        say(&mut found, "no_request");
        return found;
    };
    let unit = request.pressure.unit;
    let asked = request
        .tolerance
        .as_ref()
        .and_then(|figure| PressureDifference::try_from(figure).ok());
    if asked.is_none() {
        say(&mut found, "default_tolerance");
    }
    let tolerance = asked.unwrap_or_else(|| default_tolerance(target));
    found.target = Some(request.pressure.clone());
    found.tolerance = request
        .tolerance
        .clone()
        .filter(|_| asked.is_some())
        .or_else(|| shown(tolerance, unit));
    found.verdict = AsLeftVerdict::NotRead;
    let Some(read) = newest else {
        say(&mut found, "no_as_left");
        return found;
    };
    let off = read.pressure - target;
    found.off = shown(off, unit);
    if !after_all(read.folded, &moves(state, valve)) {
        say(&mut found, "older_than_turn");
        return found;
    }
    if read.reading.request.is_some_and(|named| named != request_id) {
        say(&mut found, "another_request");
        return found;
    }
    if read.reading.water != Water::Flowing {
        say(&mut found, "without_flow");
    }
    let Some(sure) = read.uncertainty(state).map(Sure::from) else {
        return found;
    };
    if sure.gauge.is_none() {
        say(&mut found, "gauge_unknown");
    }
    found.uncertainty = shown(sure.expanded, unit);
    found.verdict = judge_by_guard_band(off, tolerance, sure.expanded);
    found.gauge = sure.gauge;
    found.problems = sure.problems;
    found
}
