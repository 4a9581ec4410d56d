//! Two people on one screw at once.

use super::causal::{Placed, side_by_side};
use super::{Code, Item};
use crate::journal::{AssetId, Body, JobState};
use std::collections::BTreeMap;

/// Turns of one screw of which neither's writer had seen the other. No later reading tells whether both were
/// counted right, so a person says who turned what.
pub(super) fn two_on_screw(state: &JobState, items: &mut Vec<Item>) {
    let mut screws: BTreeMap<(AssetId, &str), Vec<Placed<'_>>> = BTreeMap::new();
    for (at, folded) in super::live(state) {
        if let Body::ScrewMove(turned) = &folded.entry.told.body {
            screws
                .entry((turned.asset, &turned.screw))
                .or_default()
                .push((at, folded));
        }
    }
    for ((valve, screw), moves) in screws {
        for together in side_by_side(&moves) {
            if together.len() > 1 {
                let entries = together.iter().map(|(_, folded)| folded.entry.id).collect();
                items.push(
                    Item::new(Code::TwoOnScrew, entries)
                        .of(valve)
                        .about(screw)
                        .at("setting"),
                );
            }
        }
    }
}
