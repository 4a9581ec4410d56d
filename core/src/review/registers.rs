//! Registers on which people disagree or disagreed, and those of which nothing is known any more.

use super::{Code, Item};
use crate::journal::{AssetId, Body, EntryId, Folded, JobState, Register};

/// Every register that is in question, or was until somebody who had both before their eyes said how it stands.
pub(super) fn registers(state: &JobState, items: &mut Vec<Item>) {
    for (register, standing) in &state.registers {
        let folded = |all: &[usize]| -> Vec<&Folded> { all.iter().map(|&at| &state.entries[at]).collect() };
        let of = |code: Code, entries: Vec<EntryId>| {
            let mut item = Item::new(code, entries);
            item.valve = asset(register);
            item.register = Some(register.clone());
            item
        };
        let stands = folded(&standing.stands);
        let gone = folded(&standing.gone);
        settled(state, register, &stands, &gone, items);
        if standing.disagree {
            items.push(of(disagreement(register), ids(&stands)));
        } else if stands.is_empty() && !gone.is_empty() {
            items.push(of(Code::UnknownState, ids(&gone)));
        }
    }
}

/// What was in question and was settled by writing the register, so that it stays readable.
fn settled(
    state: &JobState,
    register: &Register,
    stands: &[&Folded],
    gone: &[&Folded],
    items: &mut Vec<Item>,
) {
    for &by in gone.iter().chain(stands) {
        let body = &by.entry.told.body;
        let had: Vec<&Folded> = body
            .replaces()
            .iter()
            .filter_map(|&id| state.entry(id))
            .filter(|old| old.no_effect.is_none() && by.saw(old))
            .filter(|old| old.entry.told.body.register().as_ref() == Some(register))
            .collect();
        let differed = had.split_first().is_some_and(|(first, rest)| {
            let found = first.entry.told.body.found();
            rest.iter()
                .any(|it| !it.entry.told.body.found().same_value(found))
        });
        let code = match body {
            _ if differed => disagreement(register),
            // Nothing differed: it was taken back, and somebody said how it stands.
            Body::Resolution(_) => Code::UnknownState,
            _ => continue,
        };
        let mut item = Item::new(code, ids(&had));
        item.valve = asset(register);
        item.register = Some(register.clone());
        item.settled_by = Some(by.entry.id);
        items.push(item);
    }
}

fn disagreement(register: &Register) -> Code {
    match register {
        Register::Request { .. } => Code::TwoRequests,
        _ => Code::Disagreement,
    }
}

fn ids(all: &[&Folded]) -> Vec<EntryId> {
    all.iter().map(|folded| folded.entry.id).collect()
}

/// The valve or chamber that a register belongs to.
fn asset(register: &Register) -> Option<AssetId> {
    match register {
        Register::Request { valve: asset }
        | Register::Particular { asset, .. }
        | Register::Position { asset, .. }
        | Register::SpeedControl { asset, .. }
        | Register::Step { asset, .. } => Some(*asset),
        Register::Gauge { .. } | Register::Duty { .. } | Register::Grant { .. } => None,
    }
}
