//! Gauges that cannot vouch for their readings.

use super::{Code, Item};
use crate::findings::gauges::{GaugeProblem, newest_inlets, uncertainty_given};
use crate::journal::{Body, EntryId, JobState, Purpose, Reading, Register};
use crate::procedure::limits::VENTED_WITHIN;
use crate::quantity::GaugePressure;
use std::collections::BTreeMap;

/// What is wrong with the gauges of this job's readings, one item a gauge and kind.
pub(super) fn gauges(state: &JobState, items: &mut Vec<Item>) {
    let inlets = newest_inlets(state);
    let mut found: BTreeMap<(&str, Code), Readings> = BTreeMap::new();
    for folded in state.live() {
        let Body::Reading(read) = &folded.entry.told.body else {
            continue;
        };
        let Some(serial) = read.gauge.as_deref() else {
            continue;
        };
        let inlet = inlets.get(&read.asset).copied();
        let Some(sure) = uncertainty_given(state, read, &folded.entry.told.at, inlet) else {
            continue;
        };
        for code in sure
            .problems
            .into_iter()
            .filter_map(|problem| kind(problem, read))
        {
            found
                .entry((serial, code))
                .or_default()
                .add(read.purpose, folded.entry.id);
        }
    }
    for ((serial, code), readings) in found {
        let register = Register::Gauge {
            serial: serial.to_owned(),
        };
        let about_gauge = matches!(
            code,
            Code::GaugeOutOfCalibration | Code::GaugeZeroOff | Code::GaugeNotKnown
        );
        let mut entries = if about_gauge {
            state.standing_ids(&register)
        } else {
            Vec::new()
        };
        entries.extend(readings.that_count(code));
        let mut item = Item::new(code, entries).about(serial).at("gauges");
        item.register = Some(register);
        items.push(item);
    }
}

/// The kind of item that a problem is. None: it is said elsewhere, or does not matter here.
fn kind(problem: GaugeProblem, read: &Reading) -> Option<Code> {
    Some(match problem {
        GaugeProblem::BeyondScale => Code::GaugeOverSpan,
        GaugeProblem::OutOfCalibration => Code::GaugeOutOfCalibration,
        // Vented, every gauge is at the end of its scale, and that is what it is read for.
        GaugeProblem::OffRange if !is_vented(read) => Code::GaugeOffRange,
        GaugeProblem::ZeroOff => Code::GaugeZeroOff,
        GaugeProblem::SpanUnknown
        | GaugeProblem::GradeAssumed
        | GaugeProblem::CalibrationUnknown
        | GaugeProblem::NotOnRecord => Code::GaugeNotKnown,
        // What stands about the gauge differs: its register says so. The inlet is a check before the work.
        GaugeProblem::Disagreed | GaugeProblem::BelowInlet | GaugeProblem::OffRange => return None,
    })
}

fn is_vented(read: &Reading) -> bool {
    GaugePressure::try_from(&read.figure).is_ok_and(|read| read.in_psi().abs() <= VENTED_WITHIN.value)
}

/// The readings off one gauge with one problem.
#[derive(Default)]
struct Readings {
    /// Those that say what the job comes to.
    results: Vec<EntryId>,
    /// Those made on the way.
    working: Vec<EntryId>,
}

impl Readings {
    fn add(&mut self, purpose: Purpose, reading: EntryId) {
        let kept = if purpose == Purpose::Working {
            &mut self.working
        } else {
            &mut self.results
        };
        if kept.last() != Some(&reading) {
            kept.push(reading);
        }
    }

    /// All of them where each is wrong in itself; else those that say what the job comes to, or the first.
    fn that_count(mut self, code: Code) -> Vec<EntryId> {
        if code == Code::GaugeOverSpan {
            self.results.extend(self.working);
            return self.results;
        }
        if self.results.is_empty() {
            self.working.truncate(1);
            return self.working;
        }
        self.results
    }
}
