//! A damaged file: what is damaged is set aside and kept, the rest is read.

use crate::support::open;
use anyhow::{Context, Result};
use turnwise_core::journal::JobId;
use turnwise_core::store::{DATABASE_FILE, JournalStore};
use turnwise_tests::entries::{new_job, opening, reading};

const FIGURE: &str = "71.25";
/// The same with the lowest bit of its first digit flipped.
const FLIPPED: &str = "61.25";

/// A folder with two jobs, in one of which one reading has a byte flipped in the file itself.
fn damaged(dir: &std::path::Path) -> Result<(JobId, JobId)> {
    let (hit, other) = (new_job(), new_job());
    let mut store = open(dir)?;
    for job in [hit, other] {
        store.append(job, &opening(job))?;
        store.append(job, &reading("60.0"))?;
    }
    store.append(hit, &reading(FIGURE))?;
    store.close()?;

    let path = dir.join(DATABASE_FILE);
    let mut bytes = std::fs::read(&path)?;
    let at = bytes
        .windows(FIGURE.len())
        .position(|window| window == FIGURE.as_bytes())
        .context("the figure stands nowhere in the file")?;
    bytes[at] ^= 0x01;
    std::fs::write(&path, bytes)?;
    Ok((hit, other))
}

fn figures(store: &mut JournalStore, job: JobId) -> Result<usize> {
    Ok(store.state(job)?.entries.len())
}

#[test]
fn a_reading_whose_digits_changed_on_the_disk_is_set_aside_and_never_shown() -> Result<()> {
    let dir = tempfile::tempdir()?;
    let (hit, other) = damaged(dir.path())?;
    let mut store = open(dir.path())?;
    assert_eq!(figures(&mut store, hit)?, 2);
    assert_eq!(figures(&mut store, other)?, 2);
    let bad = store.store().bad_changes(hit)?;
    assert_eq!(bad.len(), 1);
    assert!(
        bad[0]
            .bytes
            .windows(FLIPPED.len())
            .any(|window| window == FLIPPED.as_bytes())
    );
    assert!(store.store().bad_changes(other)?.is_empty());
    // Work goes on in the damaged job too.
    store.append(hit, &reading("61.0"))?;
    assert_eq!(figures(&mut store, hit)?, 3);
    Ok(())
}

#[test]
fn a_crew_mate_who_has_the_reading_brings_it_back() -> Result<()> {
    let (here, there) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let (hit, _) = damaged(here.path())?;
    // The crew mate took the job in before the damage: from the bytes that were set aside, put right again.
    let mut store = open(here.path())?;
    let mut mate = open(there.path())?;
    store.state(hit)?;
    for delivery in store.missing(hit, &mate.clock(hit)?)? {
        mate.intake(hit, &delivery)?;
    }
    let mut change = store.store().bad_changes(hit)?.remove(0).bytes;
    let at = change
        .windows(4)
        .position(|window| window == &FIGURE.as_bytes()[1..])
        .context("the figure stands nowhere in what was set aside")?;
    change[at - 1] ^= 0x01;
    assert_eq!(mate.intake(hit, &change)?, 1);

    for delivery in mate.missing(hit, &store.clock(hit)?)? {
        store.intake(hit, &delivery)?;
    }
    assert_eq!(figures(&mut store, hit)?, 3);
    store.close()?;
    assert_eq!(figures(&mut open(here.path())?, hit)?, 3);
    Ok(())
}

#[test]
fn a_file_cut_short_is_called_damaged_and_left_as_it_is() -> Result<()> {
    let dir = tempfile::tempdir()?;
    damaged(dir.path())?;
    let path = dir.path().join(DATABASE_FILE);
    let bytes = std::fs::read(&path)?;
    let short = &bytes[..3 * 4_096];
    std::fs::write(&path, short)?;
    let error = open(dir.path())
        .and_then(|mut store| {
            Ok(store
                .jobs()?
                .into_iter()
                .try_for_each(|job| store.state(job).map(drop))?)
        })
        .expect_err("most of the file is gone");
    let error = error.downcast::<turnwise_core::store::StoreError>()?;
    assert_eq!(error.code(), "corrupt");
    assert_eq!(std::fs::read(&path)?, short);
    Ok(())
}
