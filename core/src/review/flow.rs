//! A reading without flow used as a flowing one.

use super::causal::{ByWriter, Placed};
use super::{Code, Item};
use crate::journal::{
    AssetId, Body, EntryId, FlowProof, Folded, JobState, ParticularValue, Particulars, Purpose, Reading,
    Register, Stand, Water, particular,
};
use crate::procedure::{Condition, Procedure};
use crate::quantity::Turns;
use std::collections::BTreeMap;

/// Readings from which a turn was planned, or by which the valve was left, though nobody had shown its reader
/// that water moved. It is answered by a later reading there with water shown to move.
///
/// Asked only where the procedure itself asks for flow, and never of the pilot's own setting on a test bleed.
pub(super) fn still_as_flowing(
    state: &JobState,
    procedure: &Procedure,
    valve: AssetId,
    items: &mut Vec<Item>,
) {
    if !asks_for_flow(procedure) {
        return;
    }
    let flow = Flow::of(state, valve);
    let mut used: BTreeMap<usize, Used<'_>> = BTreeMap::new();
    let mut shown: BTreeMap<&str, Vec<Placed<'_>>> = BTreeMap::new();
    for (at, folded) in super::live(state) {
        match &folded.entry.told.body {
            Body::ScrewMove(turned) if turned.asset == valve => {
                let planned = turned.planned_from.and_then(|from| state.place(from));
                if let Some((from, reading, read)) = planned.and_then(|at| read_at(state, at, valve))
                    && is_on_line(procedure, read)
                    && !flow.was_shown(reading, read)
                {
                    let used = used.entry(from).or_insert_with(|| Used::new(reading, read));
                    used.by.push(folded);
                }
            }
            Body::Reading(read) if read.asset == valve => {
                let proven = flow.was_shown(folded, read);
                if proven {
                    shown.entry(&read.point).or_default().push((at, folded));
                }
                // Still is honest: it says what it is, and whoever reads the record sees it.
                if read.purpose == Purpose::AsLeft && read.water != Water::Still && !proven {
                    used.entry(at).or_insert_with(|| Used::new(folded, read)).as_left = true;
                }
            }
            _ => {}
        }
    }
    let shown: BTreeMap<&str, ByWriter<'_>> = shown
        .into_iter()
        .map(|(point, all)| (point, ByWriter::of(all)))
        .collect();
    for used in used.into_values() {
        let entries: Vec<EntryId> = std::iter::once(used.reading)
            .chain(used.by.iter().copied())
            .map(|folded| folded.entry.id)
            .collect();
        let mut item = Item::new(Code::StillAsFlowing, entries)
            .of(valve)
            .about(&used.read.point)
            .at("readings");
        let seen: Vec<&Folded> = std::iter::once(used.reading).chain(used.by).collect();
        item.settled_by = shown
            .get(used.read.point.as_str())
            .and_then(|shown| {
                shown
                    .all_after(&seen)
                    .find(|(_, later)| !used.as_left || is_as_left(later))
            })
            .map(|(_, later)| later.entry.id);
        items.push(item);
    }
}

/// A reading and what was done on the strength of it.
struct Used<'a> {
    reading: &'a Folded,
    read: &'a Reading,
    by: Vec<&'a Folded>,
    as_left: bool,
}

impl<'a> Used<'a> {
    fn new(reading: &'a Folded, read: &'a Reading) -> Self {
        Self {
            reading,
            read,
            by: Vec::new(),
            as_left: false,
        }
    }
}

fn is_as_left(folded: &Folded) -> bool {
    matches!(&folded.entry.told.body, Body::Reading(read) if read.purpose == Purpose::AsLeft)
}

fn read_at(state: &JobState, at: usize, valve: AssetId) -> Option<(usize, &Folded, &Reading)> {
    let folded = state.entries.get(at)?;
    match &folded.entry.told.body {
        Body::Reading(read) if read.asset == valve => Some((at, folded, read)),
        _ => None,
    }
}

/// Whether a procedure asks anywhere that water move.
fn asks_for_flow(procedure: &Procedure) -> bool {
    conditions(procedure).any(|condition| *condition == Condition::Flow)
}

/// Whether a reading shows the valve on line, not its pilot alone on a test bleed.
fn is_on_line(procedure: &Procedure, read: &Reading) -> bool {
    read.purpose != Purpose::StaticSetting
        && !conditions(procedure).any(|condition| {
            matches!(condition, Condition::Reading(asked)
                if asked.purpose == Some(Purpose::StaticSetting) && asked.point == read.point)
        })
}

fn conditions(procedure: &Procedure) -> impl Iterator<Item = &Condition> {
    procedure
        .steps()
        .flat_map(|step| step.needs.iter().chain(&step.evidence))
}

/// What was shown of the water of one valve.
struct Flow<'a> {
    proofs: ByWriter<'a>,
    stops: ByWriter<'a>,
}

impl<'a> Flow<'a> {
    fn of(state: &'a JobState, valve: AssetId) -> Self {
        let (mut proofs, mut stops, mut lowering) = (Vec::new(), Vec::new(), Vec::new());
        let reversed = reversed(state, valve);
        for (at, folded) in super::live(state) {
            match &folded.entry.told.body {
                Body::FlowEvidence(shown) if shown.asset == valve => match shown.how {
                    FlowProof::Stopped => stops.push((at, folded)),
                    how => proofs.push((at, folded, how)),
                },
                Body::ScrewMove(turned) if turned.asset == valve => {
                    let turns = Turns::try_from(&turned.turn).unwrap_or(Turns::ZERO);
                    if (turns < Turns::ZERO) != reversed && turns != Turns::ZERO {
                        lowering.push((at, folded));
                    }
                }
                _ => {}
            }
        }
        let lowering = ByWriter::of(lowering);
        let sound = proofs.into_iter().filter(|(_, folded, how)| {
            *how != FlowProof::OutletFellOnDownwardMove || lowering.any_seen(folded)
        });
        Self {
            proofs: ByWriter::of(sound.map(|(at, folded, _)| (at, folded))),
            stops: ByWriter::of(stops),
        }
    }

    /// Whether a reading says that water moved and its reader had it shown: a proof, and no stop that the
    /// proof's writer had not seen.
    fn was_shown(&self, reading: &Folded, read: &Reading) -> bool {
        read.water == Water::Flowing
            && self
                .proofs
                .newest_seen(reading)
                .any(|(_, proof)| self.stops.newest_seen(reading).all(|(_, stop)| proof.saw(stop)))
    }
}

/// Whether the screw was seen to act the other way round.
fn reversed(state: &JobState, valve: AssetId) -> bool {
    let register = Register::Particular {
        asset: valve,
        name: particular::CLOCKWISE.to_owned(),
    };
    matches!(
        state.standing(&register),
        Stand::Agreed(Body::Particulars(Particulars { value: ParticularValue::Text(word), .. }), _)
            if word == "lowers"
    )
}
