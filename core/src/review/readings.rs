//! Readings of the same thing, beside one another.

use super::causal::{ByWriter, Placed, newest, side_by_side};
use super::{Apart, Code, Item};
use crate::findings::gauges::uncertainty_given;
use crate::gauge::agreement;
use crate::journal::{AssetId, Body, EntryId, Folded, JobState, Purpose, Reading, Water};
use crate::quantity::GaugePressure;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Readings of one point that show the same state of the valve as far as their readers knew, and whose figures are
/// not the same.
///
/// They show the same state where both readers had seen the same turns, positions, speed controls and shows of
/// water: no clock decides. They stand beside one another where neither reader had seen the other's, or where one
/// person read two gauges one after the other. Whether they differ is decided by their gauges' uncertainties; it is
/// answered by a later reading there whose reader had seen them all.
pub(super) fn readings(state: &JobState, items: &mut Vec<Item>) {
    let causes = causes(state);
    let mut points: BTreeMap<Spot<'_>, Vec<Placed<'_>>> = BTreeMap::new();
    for (at, folded) in super::live(state) {
        if let Body::Reading(read) = &folded.entry.told.body
            && GaugePressure::try_from(&read.figure).is_ok()
        {
            points.entry(Spot::of(read)).or_default().push((at, folded));
        }
    }
    for (spot, all) in points {
        // One person with one gauge has nothing beside it.
        if !could_differ(&all) {
            continue;
        }
        let groups = by_state(&all, causes.get(&spot.asset));
        let mut later: Option<ByWriter<'_>> = None;
        for group in groups {
            for beside in beside_one_another(state, &group) {
                let mut item = beside.of(spot.asset).about(spot.point).at("readings");
                let later = later.get_or_insert_with(|| ByWriter::of(all.iter().copied()));
                item.settled_by = answer(state, &item, later);
                items.push(item);
            }
        }
    }
}

/// Where a reading was made.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Spot<'a> {
    asset: AssetId,
    point: &'a str,
    place: Option<&'a str>,
}

impl<'a> Spot<'a> {
    fn of(read: &'a Reading) -> Self {
        Self {
            asset: read.asset,
            point: &read.point,
            place: read.place.as_deref(),
        }
    }
}

/// Whatever changes what a gauge of the valve shows. What happens at the chamber counts for all of its valves.
fn causes(state: &JobState) -> HashMap<AssetId, ByWriter<'_>> {
    let mut causes: HashMap<AssetId, Vec<Placed<'_>>> = HashMap::new();
    let opening = state.opening();
    let station = opening.map(|opening| opening.station.id);
    for (at, folded) in super::live(state) {
        let asset = match folded.entry.told.body.found() {
            Body::ScrewMove(it) => it.asset,
            Body::LineUp(it) => it.asset,
            Body::SpeedControl(it) => it.asset,
            Body::FlowEvidence(it) => it.asset,
            _ => continue,
        };
        if Some(asset) == station {
            for valve in opening
                .map(|opening| opening.valves.as_slice())
                .unwrap_or_default()
            {
                causes.entry(valve.id).or_default().push((at, folded));
            }
        } else {
            causes.entry(asset).or_default().push((at, folded));
        }
    }
    causes
        .into_iter()
        .map(|(asset, all)| (asset, ByWriter::of(all)))
        .collect()
}

fn read(folded: &Folded) -> Option<&Reading> {
    match &folded.entry.told.body {
        Body::Reading(read) => Some(read),
        _ => None,
    }
}

fn could_differ(all: &[Placed<'_>]) -> bool {
    let Some((_, first)) = all.first() else {
        return false;
    };
    let gauge = |folded: &Folded| read(folded).and_then(|read| read.gauge.clone());
    let own = gauge(first);
    all.iter()
        .any(|(_, it)| it.actor != first.actor || gauge(it) != own)
}

/// What a reading shows as far as its reader knew: what had happened, what the water did, and what it was read for
/// where that alone makes a difference.
#[derive(PartialEq, Eq, Hash)]
struct Shown {
    seen: Vec<usize>,
    water: Water,
    purpose: Option<Purpose>,
}

/// Readings that show the same, in groups, each in fold order.
fn by_state<'a>(all: &[Placed<'a>], causes: Option<&ByWriter<'_>>) -> Vec<Vec<Placed<'a>>> {
    let mut index: HashMap<Shown, usize> = HashMap::new();
    let mut groups: Vec<Vec<Placed<'a>>> = Vec::new();
    for &(at, folded) in all {
        let Some(read) = read(folded) else { continue };
        // At three flows a healthy valve reads three ways; that is what they are read for.
        if read.purpose == Purpose::Baseline {
            continue;
        }
        let shown = Shown {
            seen: causes.map(|causes| causes.reach(folded)).unwrap_or_default(),
            water: read.water,
            purpose: matches!(read.purpose, Purpose::LockUp | Purpose::StaticSetting).then_some(read.purpose),
        };
        let group = *index.entry(shown).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[group].push((at, folded));
    }
    groups
}

/// What differs and what only seems to, among readings that show the same: those of which neither reader had seen
/// the other's, and those that one person made one after the other off two gauges.
fn beside_one_another(state: &JobState, group: &[Placed<'_>]) -> Vec<Item> {
    let mut found = Vec::new();
    let mut before: Option<Placed<'_>> = None;
    for together in side_by_side(group) {
        let compared = match (before, together.as_slice()) {
            (Some(before), &[only]) if is_off_another_gauge(before.1, only.1) => vec![before, only],
            _ => newest(&together),
        };
        let item = differing(state, &compared);
        // What follows on a difference answers it, and is not compared with it once more.
        let differs = item
            .as_ref()
            .is_some_and(|item| item.code == Code::ReadingsDiffer);
        before = match together.as_slice() {
            &[only] if !differs => Some(only),
            _ => None,
        };
        found.extend(item);
    }
    found
}

/// Whether one person read both, off gauges that are not the same.
fn is_off_another_gauge(one: &Folded, other: &Folded) -> bool {
    let gauge = |folded: &Folded| read(folded).and_then(|read| read.gauge.clone());
    let (a, b) = (gauge(one), gauge(other));
    one.actor == other.actor && a.is_some() && b.is_some() && a != b
}

/// The item that readings come to which ought to be the same, if their figures are not.
fn differing(state: &JobState, all: &[Placed<'_>]) -> Option<Item> {
    let (mut differ, mut seem) = (Group::default(), Group::default());
    for (at, one) in all.iter().enumerate() {
        for other in &all[at + 1..] {
            if let Some((en, agree)) = compare(state, one.1, other.1) {
                let group = if agree { &mut seem } else { &mut differ };
                group.add(en, one.0, other.0);
            }
        }
    }
    let (code, group) = if differ.members.is_empty() {
        (Code::ReadingsSeemToDiffer, seem)
    } else {
        (Code::ReadingsDiffer, differ)
    };
    if group.members.is_empty() {
        return None;
    }
    let entries = group
        .members
        .iter()
        .map(|&at| state.entries[at].entry.id)
        .collect();
    let mut item = Item::new(code, entries);
    item.apart = Some(Apart { en: group.en });
    Some(item)
}

/// Readings that were found apart, and by how much at most.
#[derive(Default)]
struct Group {
    members: BTreeSet<usize>,
    en: f64,
}

impl Group {
    fn add(&mut self, en: f64, one: usize, other: usize) {
        self.members.insert(one);
        self.members.insert(other);
        if en.abs() > self.en {
            self.en = en.abs();
        }
    }
}

/// How far two readings are apart and whether their gauges allow it. None: the figures are the same.
fn compare(state: &JobState, one: &Folded, other: &Folded) -> Option<(f64, bool)> {
    let (a, b) = (read(one)?, read(other)?);
    let pressure = |read: &Reading| GaugePressure::try_from(&read.figure).ok();
    let (p, q) = (pressure(a)?, pressure(b)?);
    if (p - q).in_pa() == 0.0 {
        return None;
    }
    // The inlet pressure says what is wrong with a gauge, not how sure it is: nobody looks for it here.
    let sure = |folded: &Folded, read| {
        uncertainty_given(state, read, &folded.entry.told.at, None).map(|found| found.expanded())
    };
    let agreement = agreement(p, sure(one, a)?, q, sure(other, b)?);
    Some((agreement.en, agreement.agree))
}

/// The later reading there that answers it: made in knowledge of all of these, and as left if one of them is.
fn answer(state: &JobState, item: &Item, later: &ByWriter<'_>) -> Option<EntryId> {
    if item.code != Code::ReadingsDiffer {
        return None;
    }
    let all: Vec<&Folded> = item.entries.iter().filter_map(|&id| state.entry(id)).collect();
    let is_as_left = |folded: &Folded| read(folded).is_some_and(|read| read.purpose == Purpose::AsLeft);
    let as_left = all.iter().any(|folded| is_as_left(folded));
    later
        .all_after(&all)
        .find(|(_, folded)| !as_left || is_as_left(folded))
        .map(|(_, folded)| folded.entry.id)
}
