//! How far the valve is on line from where it was set statically.

use super::read::{moves, readings, same_moves, shown};
use crate::journal::{AssetId, EntryId, JobState, Purpose, Water};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// On-line less static: worth keeping, since it predicts the next one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StaticDifference {
    /// The reading with the pilot isolated.
    pub set: EntryId,
    /// What was read there.
    pub set_at: Figure,
    /// The first reading on line after it, before the screw was turned again.
    pub on_line: EntryId,
    /// What was read there.
    pub on_line_at: Figure,
    /// On-line less static, in the unit of the on-line reading.
    pub difference: Option<Figure>,
    /// Its expanded uncertainty (k = 2).
    pub uncertainty: Option<Figure>,
}

/// The difference by the newest static setting that was read on line (flowing, at `point`) before the screw was
/// turned again. None where there is no such pair.
pub fn static_difference(state: &JobState, valve: AssetId, point: &str) -> Option<StaticDifference> {
    let turned = moves(state, valve);
    let all: Vec<_> = readings(state, valve).collect();
    all.iter()
        .rev()
        .filter(|read| read.reading.purpose == Purpose::StaticSetting)
        .find_map(|set| {
            let on_line = all.iter().find(|read| {
                read.reading.point == point
                    && read.reading.water == Water::Flowing
                    && read.reading.purpose != Purpose::StaticSetting
                    && read.folded.saw(set.folded)
                    && same_moves(read.folded, set.folded, &turned)
            })?;
            let unit = on_line.reading.figure.unit;
            Some(StaticDifference {
                set: set.folded.entry.id,
                set_at: set.reading.figure.clone(),
                on_line: on_line.folded.entry.id,
                on_line_at: on_line.reading.figure.clone(),
                difference: shown(on_line.pressure - set.pressure, unit),
                uncertainty: on_line.uncertainty_to(set, state).and_then(|u| shown(u, unit)),
            })
        })
}
