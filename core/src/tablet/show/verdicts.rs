//! What the readings come to.

use super::Showing;
use crate::findings::gauges::{Basis, uncertainty_of};
use crate::findings::verdict;
use crate::quantity::{Dimension, Figure};
use crate::tablet::view::{PairView, PointSure, VerdictsView};

/// The most pairs that a screen shows.
const PAIRS: usize = 30;

/// What the valve's readings come to.
pub fn verdicts(showing: &Showing<'_>) -> VerdictsView {
    let (state, valve, point) = (showing.state, showing.valve, showing.set_point());
    let as_left = verdict::as_left(state, valve, point);
    let lock_up = verdict::lock_up(state, valve, point);
    let mut pairs: Vec<PairView> = verdict::pairs(state, valve)
        .into_iter()
        .rev()
        .take(PAIRS)
        .filter_map(|pair| {
            let said = |id| state.entry(id).map(|folded| showing.said(folded));
            Some(PairView {
                point_name: showing.point_name(&pair.point),
                first: said(pair.first)?,
                second: said(pair.second)?,
                pair,
            })
        })
        .collect();
    // What differs is looked at first; among equals the newest.
    pairs.sort_by_key(|view| match view.pair.verdict {
        verdict::PairVerdict::Differs => 0,
        verdict::PairVerdict::OnlySeemsToDiffer => 1,
        verdict::PairVerdict::Agrees => 2,
    });
    VerdictsView {
        point_name: showing.point_name(point),
        as_left_said: as_left
            .reading
            .and_then(|id| state.entry(id))
            .map(|folded| showing.said(folded)),
        as_left,
        droop: verdict::droop(state, valve, point),
        repeatability: verdict::repeatability(state, valve, point),
        lock_up_name: lock_up.as_ref().map(|found| showing.point_name(&found.point)),
        lock_up,
        static_difference: verdict::static_difference(state, valve, point),
        pairs,
    }
}

/// How sure the newest reading of each point is.
pub fn sure(showing: &Showing<'_>) -> Vec<PointSure> {
    showing
        .procedure
        .points
        .iter()
        .filter(|point| point.dimension == Dimension::Pressure)
        .filter_map(|point| {
            let (folded, reading) = showing.newest(&point.id)?;
            let known = uncertainty_of(showing.state, reading, &folded.entry.told.at)?;
            let unit = reading.figure.unit;
            let expanded = known.expanded().in_unit(unit).ok();
            Some(PointSure {
                point: point.id.clone(),
                uncertainty: expanded.and_then(|value| Figure::computed(value, unit).ok()),
                gauge_assumed: known.basis == Basis::Assumed,
                problems: known
                    .problems
                    .iter()
                    .map(|problem| problem.code().to_owned())
                    .collect(),
                settled: verdict::settled(showing.state, showing.valve, &point.id),
            })
        })
        .collect()
}
