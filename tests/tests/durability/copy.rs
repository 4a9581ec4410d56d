//! One program a folder; and a folder that was put back from a copy.

use crate::support::{appender, lost, nothing_is_lost, open};
use anyhow::{Context, Result};
use std::path::Path;
use turnwise_core::journal::EntryId;
use turnwise_core::store::{JournalStore, Seed};
use turnwise_tests::appender::{Appender, Line};
use turnwise_tests::entries::{new_job, note};

/// Lets an appender that waits add one entry.
fn step(running: &mut Appender) -> Result<EntryId> {
    running.go()?;
    match running.hear()?.context("it has ended")? {
        Line::Ack(id) => Ok(id),
        other => anyhow::bail!("it says {other:?}"),
    }
}

fn copy(from: &Path, to: &Path) -> Result<()> {
    for file in std::fs::read_dir(from)? {
        let file = file?;
        std::fs::copy(file.path(), to.join(file.file_name()))?;
    }
    Ok(())
}

#[test]
fn a_second_program_is_refused_until_the_first_has_gone_even_by_force() -> Result<()> {
    let data = tempfile::tempdir()?;
    let job = new_job();
    let mut first = Appender::start(appender(data.path(), job, &["--step"]))?;
    assert_eq!(first.hear()?, Some(Line::Open));

    let mut second = Appender::start(appender(data.path(), job, &[]))?;
    assert_eq!(second.hear()?, Some(Line::Error("already_open".to_owned())));
    assert_eq!(second.hear()?, None);
    let error = JournalStore::open(data.path(), Seed::draw()?).expect_err("somebody has it open");
    assert_eq!(error.code(), "already_open");

    let saved = step(&mut first)?;
    first.kill()?;
    nothing_is_lost(data.path(), job, &[saved])
}

#[test]
fn a_copy_made_while_the_program_ran_has_everything_and_meets_the_original_under_another_id() -> Result<()> {
    let (data, copied) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let job = new_job();
    let mut running = Appender::start(appender(data.path(), job, &["--step"]))?;
    assert_eq!(running.hear()?, Some(Line::Open));
    let before = [step(&mut running)?, step(&mut running)?, step(&mut running)?];
    copy(data.path(), copied.path())?;
    let after = step(&mut running)?;
    running.kill()?;

    let mut restored = open(copied.path())?;
    assert_eq!(lost(&mut restored, job, &before)?, []);
    assert_eq!(lost(&mut restored, job, &[after])?, [after]);
    let added = note(10);
    restored.append(job, &added)?;

    let mut original = open(data.path())?;
    for delivery in original.missing(job, &restored.clock(job)?)? {
        restored.intake(job, &delivery)?;
    }
    for delivery in restored.missing(job, &original.clock(job)?)? {
        original.intake(job, &delivery)?;
    }
    assert_eq!(original.clock(job)?, restored.clock(job)?);
    assert_eq!(
        original.clock(job)?.len(),
        2,
        "one id for the program that was copied, one for the copy"
    );
    assert_eq!(lost(&mut original, job, &[added.id])?, []);
    Ok(())
}
