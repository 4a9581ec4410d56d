//! Jobs of a given size to measure with.

use crate::entries::{opening, reading};
use anyhow::Result;
use std::path::Path;
use turnwise_core::journal::{ActorId, Clock, JobId, Journal};
use turnwise_core::store::{JournalStore, Seed};

/// How many entries each of two people writes before they hear of each other, where a job is made by two.
const TURN: usize = 50;

/// Opens a store in a folder with a seed of its own.
pub fn store(dir: &Path) -> Result<JournalStore> {
    Ok(JournalStore::open(dir, Seed::draw()?)?)
}

/// A journal with nothing in it and a writer's id of its own.
pub fn journal(job: JobId) -> Result<Journal> {
    let ActorId(actor) = Seed::draw()?.actor;
    Ok(Journal::new(job, ActorId(actor)))
}

/// A journal with so many entries, the opening among them, written in turns by two people.
pub fn crew(job: JobId, entries: usize) -> Result<Journal> {
    let mut one = journal(job)?;
    let mut other = journal(job)?;
    one.append(&opening(job))?;
    let mut written = 1;
    while written < entries {
        for writer in [&mut one, &mut other] {
            let turn = TURN.min(entries - written);
            write(writer, turn)?;
            written += turn;
        }
        tell(&one, &mut other)?;
        tell(&other, &mut one)?;
    }
    Ok(one)
}

/// Adds so many readings.
pub fn write(journal: &mut Journal, entries: usize) -> Result<()> {
    for number in 0..entries {
        journal.append(&reading(&format!("{}.{}", 50 + number % 40, number % 10)))?;
    }
    Ok(())
}

/// Gives a store everything that a journal holds.
pub fn give(from: &Journal, to: &mut JournalStore) -> Result<()> {
    for delivery in from.missing(&Clock::new()) {
        to.intake(from.job(), &delivery)?;
    }
    Ok(())
}

fn tell(from: &Journal, to: &mut Journal) -> Result<()> {
    for delivery in from.missing(&to.clock().clone()) {
        to.intake(&delivery)?;
    }
    Ok(())
}
