//! The readings screen, and the points one can read.

use super::Showing;
use crate::journal::{Body, EntryId, FlowEvidence, FlowProof, Register};
use crate::quantity::{Dimension, Unit};
use crate::tablet::view::{PointView, ReadingsView, SaidValue};

/// Points, flow, air, and the story of the job, newest first.
pub fn readings(showing: &Showing<'_>, newest: u32) -> ReadingsView {
    let state = showing.state;
    let air = state
        .live()
        .rev()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::AtmosphereTest(test) => Some(SaidValue {
                value: test.clone(),
                said: showing.said(folded),
            }),
            _ => None,
        });
    let gauges = state.registers.keys().filter_map(|register| match register {
        Register::Gauge { serial } => Some(serial.clone()),
        _ => None,
    });
    ReadingsView {
        points: points(showing),
        sure: super::verdicts::sure(showing),
        verdicts: super::verdicts::verdicts(showing),
        request: standing_request(showing),
        gauges: gauges.collect(),
        flow: flow(showing),
        air: air.collect(),
        timeline: state
            .entries
            .iter()
            .rev()
            .take(newest as usize)
            .map(|folded| showing.item(folded))
            .collect(),
        total: u32::try_from(state.entries.len()).unwrap_or(u32::MAX),
    }
}

/// The request that stands for the valve in hand, if people agree on one.
pub(super) fn standing_request(showing: &Showing<'_>) -> Option<EntryId> {
    match showing.state.request(showing.valve) {
        crate::journal::Stand::Agreed(_, folded) => Some(folded.entry.id),
        _ => None,
    }
}

/// What shows that water moves now: the newest word on it, unless that word is that it stopped.
pub(super) fn flow(showing: &Showing<'_>) -> Option<SaidValue<FlowEvidence>> {
    showing
        .state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::FlowEvidence(seen) if seen.asset == showing.valve => Some(SaidValue {
                value: seen.clone(),
                said: showing.said(folded),
            }),
            _ => None,
        })
        .filter(|seen| seen.value.how != FlowProof::Stopped)
}

/// The points one can read, in the procedure's order.
pub(super) fn points(showing: &Showing<'_>) -> Vec<PointView> {
    let usual = usual_unit(showing);
    showing
        .procedure
        .points
        .iter()
        .map(|point| {
            let newest = showing.newest(&point.id);
            let gauge = newest.and_then(|(_, reading)| reading.gauge.clone()).or_else(|| {
                showing
                    .state
                    .live()
                    .rev()
                    .find_map(|folded| match folded.entry.told.body.found() {
                        Body::Gauge(gauge) if gauge.point.as_deref() == Some(point.id.as_str()) => {
                            Some(gauge.serial.clone())
                        }
                        _ => None,
                    })
            });
            PointView {
                point: point.id.clone(),
                name: point.label.clone(),
                note: point.note.clone(),
                unit: newest.map_or(
                    if point.dimension == Dimension::Pressure {
                        usual
                    } else {
                        super::pre_job::units_of(point.dimension)
                            .first()
                            .copied()
                            .unwrap_or(usual)
                    },
                    |(_, reading)| reading.figure.unit,
                ),
                gauge,
                newest: newest.map(|(folded, reading)| showing.reading(folded, reading)),
            }
        })
        .collect()
}

/// The unit to offer first: the request's, or psi.
pub(super) fn usual_unit(showing: &Showing<'_>) -> Unit {
    showing
        .state
        .request(showing.valve)
        .agreed()
        .copied()
        .flatten()
        .map_or(Unit::Psi, |asked| asked.pressure.unit)
}
