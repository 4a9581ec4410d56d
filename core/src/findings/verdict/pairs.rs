//! Two gauges, or two people, on the same water: do they agree?

use super::read::{Read, minutes, moves, readings, same_moves, shown};
use crate::gauge::agreement;
use crate::journal::{AssetId, EntryId, JobState};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use ts_rs::TS;

/// Stated times at most this many minutes apart are close. Common practice, no source.
pub const CLOSE_MINUTES: f64 = 5.0;
/// How many earlier readings of the same point one is held against.
const LOOK_BACK: usize = 8;

/// How two readings compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum PairVerdict {
    /// The same figure.
    Agrees,
    /// Different figures, within what both gauges can tell.
    OnlySeemsToDiffer,
    /// They differ by more than both gauges can be off.
    Differs,
}

/// Two readings of one thing, close together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReadingPair {
    /// The point, as the procedure names it.
    pub point: String,
    /// The one earlier in fold order.
    pub first: EntryId,
    /// What it says.
    pub first_figure: Figure,
    /// Its gauge.
    pub first_gauge: Option<String>,
    /// Its expanded uncertainty (k = 2), in its own unit.
    pub first_uncertainty: Option<Figure>,
    /// The other.
    pub second: EntryId,
    /// What it says.
    pub second_figure: Figure,
    /// Its gauge.
    pub second_gauge: Option<String>,
    /// Its expanded uncertainty (k = 2), in its own unit.
    pub second_uncertainty: Option<Figure>,
    /// Whether two people read it.
    pub two_people: bool,
    /// Whether neither writer knew of the other's reading.
    pub at_the_same_time: bool,
    /// Minutes apart by the stated times: a hint for people.
    pub minutes: Option<String>,
    /// Second less first, in the first's unit.
    pub difference: Option<Figure>,
    /// The difference in units of what both gauges can tell: En of ISO/IEC 17043, two decimals. None where it is not finite.
    pub en: Option<String>,
    /// How they compare.
    pub verdict: PairVerdict,
}

/// Every pair of live pressure readings of a valve at one point and place, for the same purpose of water, by two people or on two gauges, with no
/// move of the screw that only one of them knew of, and close together: stated times within [`CLOSE_MINUTES`], or,
/// where a time cannot be read, neither writer knowing of the other. In fold order of the later one.
pub fn pairs(state: &JobState, valve: AssetId) -> Vec<ReadingPair> {
    let turned = moves(state, valve);
    let mut earlier: BTreeMap<(&str, Option<&str>), Vec<Read<'_>>> = BTreeMap::new();
    let mut found = Vec::new();
    for second in readings(state, valve) {
        let place = (second.reading.point.as_str(), second.reading.place.as_deref());
        let before = earlier.entry(place).or_default();
        for first in before.iter().rev().take(LOOK_BACK).rev() {
            let comparable = first.reading.water == second.reading.water
                && same_moves(first.folded, second.folded, &turned);
            if comparable {
                found.extend(pair(state, first, &second));
            }
        }
        before.push(second);
    }
    found
}

fn pair(state: &JobState, first: &Read<'_>, second: &Read<'_>) -> Option<ReadingPair> {
    let (a, b) = (&first.folded.entry.told, &second.folded.entry.told);
    let two_people = a.by != b.by;
    let two_gauges = first.reading.gauge.is_some()
        && second.reading.gauge.is_some()
        && first.reading.gauge != second.reading.gauge;
    if !two_people && !two_gauges {
        return None;
    }
    let at_the_same_time = !second.folded.saw(first.folded) && !first.folded.saw(second.folded);
    let apart = minutes(&a.at, &b.at).map(f64::abs);
    if !apart.map_or(at_the_same_time, |apart| apart <= CLOSE_MINUTES) {
        return None;
    }
    let (ua, ub) = (first.expanded(state)?, second.expanded(state)?);
    let compared = agreement(second.pressure, ub, first.pressure, ua);
    let difference = second.pressure - first.pressure;
    let verdict = if !compared.agree {
        PairVerdict::Differs
    } else if first.reading.figure == second.reading.figure || difference.in_pa() == 0.0 {
        PairVerdict::Agrees
    } else {
        PairVerdict::OnlySeemsToDiffer
    };
    Some(ReadingPair {
        point: first.reading.point.clone(),
        first: first.folded.entry.id,
        first_figure: first.reading.figure.clone(),
        first_gauge: first.reading.gauge.clone(),
        first_uncertainty: shown(ua, first.reading.figure.unit),
        second: second.folded.entry.id,
        second_figure: second.reading.figure.clone(),
        second_gauge: second.reading.gauge.clone(),
        second_uncertainty: shown(ub, second.reading.figure.unit),
        two_people,
        at_the_same_time,
        minutes: apart.map(|apart| format!("{apart:.0}")),
        difference: shown(difference, first.reading.figure.unit),
        en: compared.en.is_finite().then(|| format!("{:.2}", compared.en)),
        verdict,
    })
}
