//! A program that is killed loses nothing that it has acknowledged.

use crate::support::{appender, lost, nothing_is_lost, open};
use anyhow::{Result, ensure};
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Duration;
use turnwise_core::journal::{EntryId, JobId};
use turnwise_tests::appender::{Appender, Line};
use turnwise_tests::dice::Dice;
use turnwise_tests::entries::new_job;

const KILLS: u64 = 200;
/// A job takes the entries of so many kills; then the same file gets the next job. One job would do as well, but
/// reading it again after each kill would be most of the test.
const KILLS_A_JOB: u64 = 20;
/// The kill comes after so many acknowledgements at most, ...
const ACKS: u64 = 25;
/// ... and up to so many microseconds later: in the middle of whatever is being done then.
const LATER_US: u64 = 3_000;
/// Every so many kills, one comes while the program is starting, up to so many microseconds in.
const EARLY: (u64, u64) = (5, 30_000);

/// Starts an appender, kills it at a moment that the dice choose and answers what it had acknowledged.
fn kill_once(dir: &Path, job: JobId, options: &[&str], dice: &mut Dice) -> Result<Vec<EntryId>> {
    let mut running = Appender::start(appender(dir, job, options))?;
    let mut acks = Vec::new();
    if dice.below(EARLY.0) == 0 {
        std::thread::sleep(Duration::from_micros(dice.below(EARLY.1)));
    } else {
        ensure!(running.hear()? == Some(Line::Open), "the file does not open");
        for _ in 0..dice.below(ACKS) {
            match running.hear()? {
                Some(Line::Ack(id)) => acks.push(id),
                other => anyhow::bail!("it says {other:?}"),
            }
        }
        std::thread::sleep(Duration::from_micros(dice.below(LATER_US)));
    }
    acks.extend(running.kill()?);
    Ok(acks)
}

#[test]
fn killed_at_200_random_moments_it_loses_nothing_acknowledged_and_opens_every_time() -> Result<()> {
    let mut dice = Dice::announced()?;
    let dir = tempfile::tempdir()?;
    let mut acknowledged = BTreeMap::<JobId, Vec<EntryId>>::new();
    let mut job = new_job();
    for kill in 0..KILLS {
        if kill % KILLS_A_JOB == 0 {
            job = new_job();
        }
        let acks = acknowledged.entry(job).or_default();
        acks.extend(kill_once(dir.path(), job, &[], &mut dice)?);
        // Opens the file each time, whatever the kill left behind.
        nothing_is_lost(dir.path(), job, acks)?;
    }
    let total: usize = acknowledged.values().map(Vec::len).sum();
    println!("{total} entries were acknowledged over {KILLS} kills");
    ensure!(
        total as u64 > KILLS,
        "too few entries for the kills to mean anything: {total}"
    );
    for (job, acks) in &acknowledged {
        nothing_is_lost(dir.path(), *job, acks)?;
    }
    Ok(())
}

#[test]
fn the_same_kills_find_out_a_program_that_says_saved_too_early() -> Result<()> {
    let mut dice = Dice::announced()?;
    let dir = tempfile::tempdir()?;
    let job = new_job();
    for _ in 0..KILLS {
        let acks = kill_once(dir.path(), job, &["--ack-first"], &mut dice)?;
        if !lost(&mut open(dir.path())?, job, &acks)?.is_empty() {
            return Ok(());
        }
    }
    anyhow::bail!("{KILLS} kills did not notice")
}
