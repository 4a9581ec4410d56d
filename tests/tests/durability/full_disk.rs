//! A full disk: a clear error, nothing said that is not so, and work goes on when there is room again.

use crate::support::{appender, nothing_is_lost, open};
use anyhow::{Context, Result};
use turnwise_core::store::{JournalStore, Seed};
use turnwise_tests::appender::{Appender, Line};
use turnwise_tests::entries::{new_job, note, opening};
use turnwise_tests::mount::Mount;

const DISK_FULL: &str = "disk_full";

#[test]
fn on_a_full_disk_nothing_is_acknowledged_and_with_room_again_the_same_program_goes_on() -> Result<()> {
    let disk = Mount::small(2_048)?;
    let data = disk.path().join("data");
    let job = new_job();
    let full = Some(Line::Error(DISK_FULL.to_owned()));

    let mut running = Appender::start(appender(&data, job, &["--length", "2000"]))?;
    assert_eq!(running.hear()?, Some(Line::Open));
    let mut acknowledged = Vec::new();
    // Some first, so that there is something to lose.
    for _ in 0..20 {
        match running.hear()?.context("it has ended")? {
            Line::Ack(id) => acknowledged.push(id),
            other => anyhow::bail!("it says {other:?}"),
        }
    }
    let ballast = disk.fill()?;
    let (acks, failed) = running.acks()?;
    acknowledged.extend(acks);
    assert_eq!(failed, full);

    // Trying again on a disk that is still full fails again, and says so again.
    running.go()?;
    let (acks, failed) = running.acks()?;
    assert_eq!((acks.len(), failed), (0, full));

    std::fs::remove_file(&ballast)?;
    running.go()?;
    for _ in 0..50 {
        match running.hear()?.context("it has ended")? {
            Line::Ack(id) => acknowledged.push(id),
            other => anyhow::bail!("with room again it says {other:?}"),
        }
    }
    acknowledged.extend(running.kill()?);
    nothing_is_lost(&data, job, &acknowledged)
}

#[test]
fn a_new_store_on_a_full_disk_says_that_the_disk_is_full() -> Result<()> {
    let disk = Mount::small(256)?;
    let data = disk.path().join("data");
    std::fs::create_dir(&data)?;
    disk.fill()?;
    let error = JournalStore::open(&data, Seed::draw()?).expect_err("there is no room for it");
    assert_eq!(error.code(), DISK_FULL);
    Ok(())
}

#[test]
fn on_a_full_disk_the_jobs_can_still_be_opened_and_read() -> Result<()> {
    let disk = Mount::small(2_048)?;
    let data = disk.path().join("data");
    let job = new_job();
    let mut store = open(&data)?;
    store.append(job, &opening(job))?;
    store.append(job, &note(100))?;
    store.close()?;
    disk.fill()?;

    let mut store = open(&data)?;
    assert_eq!(store.state(job)?.entries.len(), 2);
    let error = store
        .append(job, &note(100))
        .expect_err("there is no room for it");
    assert_eq!(error.code(), DISK_FULL);
    assert!(error.to_string().contains("NOT saved"), "{error}");
    assert_eq!(store.state(job)?.entries.len(), 2);
    Ok(())
}
