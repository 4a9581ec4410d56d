//! A disk that fails now and then: calls of the program are made to fail under strace.

use crate::support::{appender, nothing_is_lost};
use anyhow::{Context, Result, ensure};
use turnwise_core::store::DATABASE_FILE;
use turnwise_tests::appender::{Appender, Line};
use turnwise_tests::entries::new_job;
use turnwise_tests::strace::{judge, watched};

const ENTRIES: usize = 40;

/// Adds entries while calls fail as `inject` says, trying each again until it is saved. Answers the errors.
fn errors_under(inject: &str) -> Result<Vec<String>> {
    let dir = tempfile::tempdir()?;
    let data = dir.path().canonicalize()?.join("data");
    let log = dir.path().join("strace.log");
    let job = new_job();
    // The file is set up in peace: what fails is the work.
    let mut running = Appender::start(appender(&data, job, &["--count", "1"]))?;
    let mut acknowledged = Vec::new();
    while let Some(line) = running.hear()? {
        if let Line::Ack(id) = line {
            acknowledged.push(id);
        }
    }
    running.finish()?;

    let count = ENTRIES.to_string();
    let command = appender(&data, job, &["--count", &count]);
    let mut running = Appender::start(watched(&command, &log, Some(inject)))?;
    ensure!(running.hear()? == Some(Line::Open), "it does not open");
    let mut errors = Vec::new();
    loop {
        match running.hear()?.context("it has ended")? {
            Line::Ack(id) => acknowledged.push(id),
            Line::Error(code) => {
                errors.push(code);
                running.go()?;
            }
            Line::Done => break,
            Line::Open => anyhow::bail!("it opens twice"),
        }
    }
    running.finish()?;
    ensure!(
        acknowledged.len() == ENTRIES + 1,
        "{} entries were acknowledged",
        acknowledged.len()
    );
    let judgement = judge(&std::fs::read_to_string(&log)?, &data.join(DATABASE_FILE))?;
    ensure!(
        judgement.dishonest.is_empty(),
        "under {inject}: {:?}",
        judgement.dishonest
    );
    nothing_is_lost(&data, job, &acknowledged)?;
    Ok(errors)
}

#[test]
fn a_flush_that_fails_is_an_error_and_no_acknowledgement() -> Result<()> {
    let errors = errors_under("inject=fsync,fdatasync:error=EIO:when=5+7")?;
    assert!(errors.len() >= 3, "{errors:?}");
    assert!(errors.iter().all(|code| code == "io"), "{errors:?}");
    Ok(())
}

#[test]
fn a_write_that_fails_is_an_error_and_no_acknowledgement() -> Result<()> {
    let errors = errors_under("inject=pwrite64:error=EIO:when=9+23")?;
    assert!(errors.len() >= 3, "{errors:?}");
    assert!(errors.iter().all(|code| code == "io"), "{errors:?}");
    Ok(())
}

#[test]
fn a_write_without_room_is_called_a_full_disk() -> Result<()> {
    let errors = errors_under("inject=pwrite64:error=ENOSPC:when=9+23")?;
    assert!(errors.len() >= 3, "{errors:?}");
    assert!(errors.iter().all(|code| code == "disk_full"), "{errors:?}");
    Ok(())
}
