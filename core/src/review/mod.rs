//! Everything that stands between a job and a sound record: computed, never remembered.
//!
//! One list. An item names its entries, says how much it weighs and how it may be settled: by writing the register
//! it is about, by doing work again, or by words with a name and a reason. What is settled stays in the list; with
//! another set of entries the item is open again. Nothing here looks at a clock: what came after what is decided by
//! what each writer had seen.

mod after_signing;
mod causal;
mod code;
mod flow;
mod gauges;
mod item;
mod readings;
mod registers;
mod request_changed;
mod settled;
mod steps;
mod two_on_screw;

pub(crate) use after_signing::settles_item;
pub use after_signing::{newest_sign_off, re_opened};
pub use code::*;
pub use item::*;
pub use request_changed::*;

use crate::journal::{JobState, Register};
use crate::procedure::Procedures;
use causal::Placed;
use settled::Settlements;
use std::collections::BTreeSet;

/// Every item of the review of a job, settled ones too, in an order that is the same on every device.
pub fn review(state: &JobState, procedures: &Procedures) -> Vec<Item> {
    let mut items = Vec::new();
    registers::registers(state, &mut items);
    for changed in requests_changed(state) {
        let entries = changed.entries.iter().copied().chain([changed.request]).collect();
        let mut item = Item::new(Code::RequestChanged, entries)
            .of(changed.valve)
            .at("setting");
        item.register = Some(Register::Request { valve: changed.valve });
        items.push(item);
    }
    readings::readings(state, &mut items);
    two_on_screw::two_on_screw(state, &mut items);
    gauges::gauges(state, &mut items);
    valves(state, procedures, &mut items);
    after_signing::without_effect(state, &mut items);
    after_signing::unknown_kinds(state, &mut items);
    after_signing::late(state, &mut items);
    let settlements = Settlements::of(state);
    for item in &mut items {
        settlements.settle(item);
    }
    items.sort_by_key(|item| (item.weight, item.code));
    items
}

/// The items that still need a person's decision.
pub fn open_items(items: &[Item]) -> impl Iterator<Item = &Item> {
    items.iter().filter(|item| item.needs_decision())
}

/// What the procedure of each valve asks for.
fn valves(state: &JobState, procedures: &Procedures, items: &mut Vec<Item>) {
    let valves = state.opening().map(|opening| opening.valves.as_slice());
    let mut told: BTreeSet<(Code, String)> = BTreeSet::new();
    for valve in valves.unwrap_or_default() {
        let Some(procedure) = procedures.get(&valve.procedure) else {
            items.push(
                Item::new(Code::UnknownProcedure, Vec::new())
                    .of(valve.id)
                    .about(&valve.procedure),
            );
            continue;
        };
        flow::still_as_flowing(state, procedure, valve.id, items);
        let mut of_valve = Vec::new();
        steps::steps(state, procedure, valve.id, &mut of_valve);
        // What belongs to no valve is told once, however many valves there are.
        of_valve.retain(|item| {
            item.valve.is_some() || told.insert((item.code, item.about.clone().unwrap_or_default()))
        });
        items.append(&mut of_valve);
    }
}

/// The entries that count, with their places in fold order.
fn live(state: &JobState) -> impl Iterator<Item = Placed<'_>> {
    state
        .entries
        .iter()
        .enumerate()
        .filter(|(_, folded)| folded.withdrawn_by.is_none() && folded.no_effect.is_none())
}

#[cfg(test)]
mod tests;
