//! How far the outlet sags as the flow rises: the readings at low, normal and high flow.

use super::read::{Read, after_all, moves, readings, shown};
use crate::journal::{AssetId, Body, EntryId, FlowProof, Folded, JobState, Purpose};
use crate::quantity::{Figure, Unit};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What was read at one flow.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct DroopRow {
    /// The outlet's reading.
    pub reading: EntryId,
    /// The outlet, as read.
    pub outlet: Figure,
    /// The cover, as read.
    pub cover: Option<Figure>,
    /// The stem above its seat, as read.
    pub stem: Option<Figure>,
    /// The flow, where it was measured.
    pub flow: Option<Figure>,
}

/// How far the outlet sags.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Droop {
    /// From the lowest flow to the highest: by measured flow where every row has one, else in the order they were
    /// read, which the procedure has as low, normal, high.
    pub rows: Vec<DroopRow>,
    /// Whether the order is by measured flow.
    pub by_measured_flow: bool,
    /// Outlet at the lowest flow less outlet at the highest, in the outlet's unit: positive where it sags. None below two rows.
    pub droop: Option<Figure>,
    /// Its expanded uncertainty (k = 2).
    pub uncertainty: Option<Figure>,
    /// What there is to say, as codes: `no_droop_told` (less than the gauges can tell), `rises` (the outlet rises with
    /// flow: look at the gauge and at the sensing point), `fewer_than_three_flows`.
    pub because: Vec<String>,
}

struct Group<'a> {
    outlet: Read<'a>,
    cover: Option<Figure>,
    stem: Option<Figure>,
    flow: Option<Figure>,
}

/// The droop by the baseline readings made in knowledge of every move of the screw. None where there is none.
///
/// Readings at several points belong to one flow until a point comes again.
pub fn droop(state: &JobState, valve: AssetId, point: &str) -> Option<Droop> {
    let turned = moves(state, valve);
    let baseline = |folded: &Folded| match &folded.entry.told.body {
        Body::Reading(reading) => {
            reading.asset == valve && reading.purpose == Purpose::Baseline && after_all(folded, &turned)
        }
        _ => false,
    };
    let outlets: Vec<Read<'_>> = readings(state, valve)
        .filter(|read| read.reading.point == point && baseline(read.folded))
        .collect();
    let others: Vec<&Folded> = state.live().filter(|folded| baseline(folded)).collect();
    let mut groups: Vec<Group<'_>> = outlets
        .iter()
        .enumerate()
        .map(|(at, outlet)| Group {
            outlet: *outlet,
            cover: nth(&others, "cover", at),
            stem: nth(&others, "stem", at),
            flow: flow(state, valve, outlet.folded),
        })
        .collect();
    let unit = groups.first()?.outlet.reading.figure.unit;
    let measured = |group: &Group<'_>| {
        let flow = group.flow.as_ref()?.measure().ok()?;
        flow.in_unit(Unit::LitrePerSecond).ok()
    };
    let by_measured_flow = groups.len() > 1 && groups.iter().all(|group| measured(group).is_some());
    if by_measured_flow {
        groups.sort_by(|a, b| measured(a).unwrap_or(0.0).total_cmp(&measured(b).unwrap_or(0.0)));
    }
    let mut because = Vec::new();
    if groups.len() < 3 {
        because.push("fewer_than_three_flows".to_owned());
    }
    let (mut droop, mut uncertainty) = (None, None);
    if let [low, .., high] = groups.as_slice() {
        let sag = low.outlet.pressure - high.outlet.pressure;
        let u = low.outlet.uncertainty_to(&high.outlet, state);
        if u.is_none_or(|u| sag.abs() <= u) {
            because.push("no_droop_told".to_owned());
        } else if sag.in_pa() < 0.0 {
            because.push("rises".to_owned());
        }
        droop = shown(sag, unit);
        uncertainty = u.and_then(|u| shown(u, unit));
    }
    Some(Droop {
        rows: groups
            .into_iter()
            .map(|group| DroopRow {
                reading: group.outlet.folded.entry.id,
                outlet: group.outlet.reading.figure.clone(),
                cover: group.cover,
                stem: group.stem,
                flow: group.flow,
            })
            .collect(),
        by_measured_flow,
        droop,
        uncertainty,
        because,
    })
}

/// The baseline figure at a point that belongs to the outlet's reading of this number: the one of the same number.
fn nth(baseline: &[&Folded], point: &str, at: usize) -> Option<Figure> {
    baseline
        .iter()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::Reading(reading) if reading.point == point => Some(&reading.figure),
            _ => None,
        })
        .nth(at)
        .cloned()
}

/// The newest measured flow that the reading's writer knew of, unless it had stopped since.
fn flow(state: &JobState, valve: AssetId, reading: &Folded) -> Option<Figure> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::FlowEvidence(seen) if seen.asset == valve && reading.saw(folded) => Some(seen),
            _ => None,
        })
        .filter(|seen| seen.how != FlowProof::Stopped)?
        .flow
        .clone()
}
