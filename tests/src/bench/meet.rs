//! Two devices that know the same job and have each written 5,000 entries to it out of reach of the other, until both
//! hold everything on their disks.

use super::{Spread, scene};
use crate::entries::{new_job, opening};
use anyhow::{Result, ensure};
use serde::Serialize;
use std::time::Instant;
use turnwise_core::journal::JobId;
use turnwise_core::store::JournalStore;

const ENTRIES: usize = 5_000;
const TIMES: usize = 5;

/// What was measured, without a network: the deliveries go from hand to hand.
#[derive(Debug, Serialize)]
pub struct Meet {
    /// How many entries each has written.
    pub entries_each: usize,
    /// Bytes of the deliveries, each way.
    pub bytes: [usize; 2],
    /// How many deliveries, each way.
    pub deliveries: [usize; 2],
    /// From the clocks being known until both hold everything durably.
    pub exchange: Spread,
    /// From there until both have the folded state.
    pub fold: Spread,
}

/// Measures.
///
/// # Errors
/// Where the disk or the journal fails.
pub fn meet() -> Result<Meet> {
    let (mut exchange, mut fold) = (Vec::new(), Vec::new());
    let (mut bytes, mut deliveries) = ([0; 2], [0; 2]);
    for _ in 0..TIMES {
        let dir = tempfile::tempdir()?;
        let job = new_job();
        let mut start = scene::journal(job)?;
        start.append(&opening(job))?;
        let mut sides = Vec::new();
        for name in ["one", "other"] {
            let mut journal = scene::journal(job)?;
            for delivery in start.missing(journal.clock()) {
                journal.intake(&delivery)?;
            }
            scene::write(&mut journal, ENTRIES)?;
            let mut store = scene::store(&dir.path().join(name))?;
            scene::give(&journal, &mut store)?;
            sides.push(store);
        }
        let [one, other] = sides.as_mut_slice() else {
            anyhow::bail!("two sides were made");
        };
        let begun = Instant::now();
        let (clock, their_clock) = (one.clock(job)?, other.clock(job)?);
        let there = one.missing(job, &their_clock)?;
        let back = other.missing(job, &clock)?;
        take_in(other, job, &there)?;
        take_in(one, job, &back)?;
        exchange.push(begun.elapsed());
        let met = Instant::now();
        for side in [&mut *one, other] {
            let state = side.state(job)?;
            ensure!(
                state.entries.len() == 2 * ENTRIES + 1,
                "{} entries",
                state.entries.len()
            );
        }
        fold.push(met.elapsed());
        ensure!(one.clock(job)? == other.clock(job)?, "they do not agree");
        bytes = [&there, &back].map(|all| all.iter().map(Vec::len).sum());
        deliveries = [there.len(), back.len()];
    }
    Ok(Meet {
        entries_each: ENTRIES,
        bytes,
        deliveries,
        exchange: Spread::of(exchange),
        fold: Spread::of(fold),
    })
}

fn take_in(store: &mut JournalStore, job: JobId, deliveries: &[Vec<u8>]) -> Result<()> {
    for delivery in deliveries {
        store.intake(job, delivery)?;
    }
    Ok(())
}
