//! This visit beside the earlier ones.

use super::{learned_rate, main_point, readings};
use crate::journal::{AssetId, Body, EntryId, History, JobState, Purpose, Water};
use crate::procedure::Procedure;
use crate::quantity::{Figure, GaugePressure, PressureDifference, Rate};
use crate::setting::default_tolerance;
use crate::setting::learn::RATE_SPREAD;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What earlier visits say, and how this one compares.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Compared {
    /// Earlier visits, the newest first. None at all: the first visit on record.
    pub visits: Vec<Visit>,
    /// What it was left at and what it was found at.
    pub drift: Option<Drift>,
    /// The rate learned then and now.
    pub rate: Option<RateChange>,
    /// Where the outlet will come to on line, by the static setting and the last difference.
    pub predicted: Option<Predicted>,
}

/// One earlier visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Visit {
    /// The entry that tells it.
    pub entry: EntryId,
    /// What it tells.
    pub history: History,
}

/// How far the pressure has moved since the last visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Drift {
    /// The earlier visit's entry.
    pub earlier: EntryId,
    /// The reading that it was found at.
    pub reading: EntryId,
    /// As left then, as it was read.
    pub left: Figure,
    /// As found now, as it was read.
    pub found: Figure,
    /// Found minus left, in the unit it was found in.
    pub change: Figure,
    /// How much either way is no drift: the default tolerance of a set point, in the same unit.
    pub allowed: Figure,
    /// How it came out.
    pub verdict: Drifted,
}

/// Whether a setting has moved between two visits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Drifted {
    /// Within the tolerance: it stood.
    Stood,
    /// Beyond it.
    Drifted,
    /// No water was seen to move when it was read: it shows what was trapped and not what is set.
    NotFlowing,
}

/// The rate learned then and now.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RateChange {
    /// The earlier visit's entry.
    pub earlier: EntryId,
    /// The rate then.
    pub then: Figure,
    /// The rate now; none while no move has taught anything.
    pub now: Option<Figure>,
    /// How it came out.
    pub verdict: RateChanged,
}

/// Whether a screw's rate is another than it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum RateChanged {
    /// Nothing learned yet at this visit.
    NotYet,
    /// Within a fifth of what it was.
    Same,
    /// Further off: another spring, friction, or a starved valve.
    Changed,
}

/// What the last static-to-on-line difference predicts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Predicted {
    /// The earlier visit's entry.
    pub earlier: EntryId,
    /// The static setting's reading.
    pub reading: EntryId,
    /// The static setting as it was read.
    pub static_setting: Figure,
    /// On-line minus static at the earlier visit.
    pub difference: Figure,
    /// Where it will come to on line, in the unit of the static setting.
    pub on_line: Figure,
}

impl Drifted {
    /// The stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Stood => "stood",
            Self::Drifted => "drifted",
            Self::NotFlowing => "not_flowing",
        }
    }
}

impl RateChanged {
    /// The stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::NotYet => "not_yet",
            Self::Same => "same",
            Self::Changed => "changed",
        }
    }
}

/// Lays this visit beside the earlier ones that the job carries.
///
/// Which visit is the newest is decided by the stated times of their ends: nothing causal connects two jobs. It
/// orders a list and picks what to compare with; no step and no verdict of this job depends on it otherwise.
pub fn compare(state: &JobState, procedure: &Procedure, valve: AssetId) -> Compared {
    let mut visits: Vec<Visit> = state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::History(history) if history.asset == valve => Some(Visit {
                entry: folded.entry.id,
                history: history.clone(),
            }),
            _ => None,
        })
        .collect();
    // One visit told twice, by the office and by a tablet, is one visit.
    let mut seen = std::collections::BTreeSet::new();
    visits.retain(|visit| visit.history.more.job.is_none_or(|job| seen.insert(job)));
    visits.sort_by(|a, b| instant(&b.history.closed_at).cmp(&instant(&a.history.closed_at)));
    let point = main_point(procedure);
    let drift = point.and_then(|point| drift(state, valve, point, &visits));
    let rate = rate(state, procedure, valve, &visits);
    let predicted = predicted(state, valve, &visits);
    Compared {
        visits,
        drift,
        rate,
        predicted,
    }
}

/// A time to sort by: the instant, and the words themselves where they are no time.
pub(super) fn instant(at: &str) -> (Option<jiff::Timestamp>, &str) {
    (at.parse().ok(), at)
}

fn drift(state: &JobState, valve: AssetId, point: &str, visits: &[Visit]) -> Option<Drift> {
    let (earlier, left) = visits.iter().find_map(|visit| {
        let same = visit.history.more.point.as_deref().unwrap_or("outlet") == point;
        Some((visit.entry, visit.history.as_left.as_ref().filter(|_| same)?))
    })?;
    let as_found = |flowing: bool| {
        readings(state, valve, point).find(|(_, reading)| {
            reading.purpose == Purpose::AsFound && (!flowing || reading.water == Water::Flowing)
        })
    };
    let (folded, reading) = as_found(true).or_else(|| as_found(false))?;
    let unit = reading.figure.unit;
    let then = GaugePressure::try_from(left).ok()?;
    let change = GaugePressure::try_from(&reading.figure).ok()? - then;
    let allowed = default_tolerance(then);
    Some(Drift {
        earlier,
        reading: folded.entry.id,
        left: left.clone(),
        found: reading.figure.clone(),
        change: Figure::computed(change.in_unit(unit).ok()?, unit).ok()?,
        allowed: Figure::computed(allowed.in_unit(unit).ok()?, unit).ok()?,
        verdict: match reading.water {
            Water::Flowing if change.abs() <= allowed => Drifted::Stood,
            Water::Flowing => Drifted::Drifted,
            Water::Still | Water::Unknown => Drifted::NotFlowing,
        },
    })
}

fn rate(state: &JobState, procedure: &Procedure, valve: AssetId, visits: &[Visit]) -> Option<RateChange> {
    let (earlier, then) = visits
        .iter()
        .find_map(|visit| Some((visit.entry, visit.history.learned_rate.as_ref()?)))?;
    let screw = procedure.screws.first()?;
    let now = learned_rate(state, procedure, valve, screw);
    let verdict = match &now {
        None => RateChanged::NotYet,
        Some(now) => {
            let (then, now) = (Rate::try_from(then).ok()?, Rate::try_from(now).ok()?);
            let change = now.in_psi_per_turn() / then.in_psi_per_turn() - 1.0;
            if change.abs() <= RATE_SPREAD {
                RateChanged::Same
            } else {
                RateChanged::Changed
            }
        }
    };
    Some(RateChange {
        earlier,
        then: then.clone(),
        now,
        verdict,
    })
}

fn predicted(state: &JobState, valve: AssetId, visits: &[Visit]) -> Option<Predicted> {
    let (earlier, difference) = visits
        .iter()
        .find_map(|visit| Some((visit.entry, visit.history.static_difference.as_ref()?)))?;
    let (folded, reading) = state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::Reading(reading) if reading.asset == valve && reading.purpose == Purpose::StaticSetting => {
                Some((folded, reading))
            }
            _ => None,
        })?;
    let unit = reading.figure.unit;
    let there =
        GaugePressure::try_from(&reading.figure).ok()? + PressureDifference::try_from(difference).ok()?;
    Some(Predicted {
        earlier,
        reading: folded.entry.id,
        static_setting: reading.figure.clone(),
        difference: difference.clone(),
        on_line: Figure::computed(there.in_unit(unit).ok()?, unit).ok()?,
    })
}
