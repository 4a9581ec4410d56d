//! Readings and flow evidence.

use super::Making;
use super::words::same;
use crate::journal::{AssetId, Body, Folded, Reading};
use crate::procedure::Procedure;
use crate::quantity::{Figure, Turns, Unit};
use crate::record::content::{FlowLine, ReadingLine, TurnedLine};
use std::collections::BTreeMap;

/// A screw's turns that can be added up: who turned, which screw, how far.
pub struct Turned<'a> {
    pub folded: &'a Folded,
    pub screw: &'a str,
    pub turns: Turns,
}

impl<'a> Making<'a> {
    /// The live turns of a valve's screws, in fold order.
    pub fn turned(&self, valve: AssetId) -> Vec<Turned<'a>> {
        self.told(|body| match body {
            Body::ScrewMove(told) if told.asset == valve => Some(told),
            _ => None,
        })
        .into_iter()
        .filter_map(|(folded, told)| {
            Some(Turned {
                folded,
                screw: &told.screw,
                turns: Turns::try_from(&told.turn).ok()?,
            })
        })
        .collect()
    }

    /// The live readings of a valve.
    pub fn readings_of(&self, valve: AssetId) -> Vec<(&'a Folded, &'a Reading)> {
        self.told(|body| match body {
            Body::Reading(reading) if reading.asset == valve => Some(reading),
            _ => None,
        })
    }

    /// Every reading of a valve.
    pub fn readings(&self, valve: AssetId, procedure: Option<&Procedure>) -> Vec<ReadingLine> {
        let turned = self.turned(valve);
        self.readings_of(valve)
            .into_iter()
            .map(|(folded, reading)| ReadingLine {
                said: self.said(folded),
                label: procedure
                    .and_then(|procedure| procedure.point(&reading.point))
                    .map_or_else(|| same(&reading.point), |point| point.label.clone()),
                point: reading.point.clone(),
                place: reading.place.clone(),
                figure: reading.figure.clone(),
                gauge: reading.gauge.clone(),
                purpose: reading.purpose,
                water: reading.water,
                request: reading.request,
                turned: turned_before(folded, &turned),
                uncertainty: self.uncertainty(folded, reading),
            })
            .collect()
    }

    /// What showed that water moved, or stopped.
    pub fn flow(&self, valve: AssetId) -> Vec<FlowLine> {
        self.told(|body| match body {
            Body::FlowEvidence(flow) if flow.asset == valve => Some(flow),
            _ => None,
        })
        .into_iter()
        .map(|(folded, flow)| FlowLine {
            said: self.said(folded),
            how: flow.how,
            flow: flow.flow.clone(),
            place: flow.place.clone(),
        })
        .collect()
    }
}

/// How far each screw had been turned, of what this entry's writer had seen.
fn turned_before(folded: &Folded, turned: &[Turned<'_>]) -> Vec<TurnedLine> {
    let mut sums: BTreeMap<&str, Turns> = BTreeMap::new();
    for one in turned {
        let sum = sums.entry(one.screw).or_insert(Turns::ZERO);
        if folded.saw(one.folded) {
            *sum = *sum + one.turns;
        }
    }
    sums.into_iter()
        .filter_map(|(screw, turns)| {
            Some(TurnedLine {
                screw: screw.to_owned(),
                turns: in_turns(turns)?,
            })
        })
        .collect()
}

/// A sum of turns as a figure. None where no figure has so many digits.
pub(super) fn in_turns(turns: Turns) -> Option<Figure> {
    Figure::computed(turns.in_turns(), Unit::Turn).ok()
}
