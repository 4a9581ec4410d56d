//! Every acknowledgement waits for a flush, as strace counts them.

use crate::support::appender;
use anyhow::{Context, Result};
use std::path::Path;
use turnwise_core::store::DATABASE_FILE;
use turnwise_tests::appender::{Appender, Line};
use turnwise_tests::entries::new_job;
use turnwise_tests::strace::{Judgement, judge, watched};

const ENTRIES: usize = 60;

/// Runs an appender under strace and judges what it acknowledged.
fn judged(options: &[&str]) -> Result<Judgement> {
    let dir = tempfile::tempdir()?;
    // As the kernel knows the folder, which is how strace names files.
    let data = dir.path().canonicalize()?.join("data");
    let log = dir.path().join("strace.log");
    let count = ENTRIES.to_string();
    let mut command = appender(&data, new_job(), &["--count", &count]);
    command.args(options);
    let mut running = Appender::start(watched(&command, &log, None))?;
    assert_eq!(running.hear()?, Some(Line::Open));
    let (acks, end) = running.acks()?;
    assert_eq!((acks.len(), end), (ENTRIES, Some(Line::Done)));
    running.finish()?;
    let log = std::fs::read_to_string(&log).context("strace wrote nothing")?;
    judge(&log, &data.join(DATABASE_FILE))
}

#[test]
fn an_own_entry_is_acknowledged_only_after_a_completed_flush() -> Result<()> {
    let judgement = judged(&[])?;
    assert_eq!(judgement.acks, ENTRIES);
    assert_eq!(judgement.dishonest, Vec::<String>::new());
    assert!(judgement.flushes >= ENTRIES);
    Ok(())
}

#[test]
fn a_peers_entry_is_acknowledged_only_after_a_completed_flush() -> Result<()> {
    let judgement = judged(&["--from-peer"])?;
    assert_eq!(judgement.acks, ENTRIES);
    assert_eq!(judgement.dishonest, Vec::<String>::new());
    Ok(())
}

#[test]
fn the_count_notices_a_store_whose_commits_do_not_wait() -> Result<()> {
    for options in [["--not-durable"].as_slice(), &["--not-durable", "--from-peer"]] {
        let judgement = judged(options)?;
        assert_eq!(judgement.acks, ENTRIES);
        // The first may follow a flush made while the file was being set up.
        assert!(judgement.dishonest.len() >= ENTRIES - 1, "{judgement:?}");
    }
    Ok(())
}

#[test]
fn the_count_notices_a_program_that_says_saved_too_early() -> Result<()> {
    let judgement = judged(&["--ack-first"])?;
    assert_eq!((judgement.acks, judgement.dishonest.len()), (ENTRIES, ENTRIES));
    Ok(())
}

#[test]
fn no_program_that_people_run_can_ask_for_a_store_that_does_not_wait() -> Result<()> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for package in ["cli", "office", "record", "src-tauri"] {
        let mut files = vec![root.join(package).join("Cargo.toml")];
        rust_files(&root.join(package).join("src"), &mut files)?;
        for file in files {
            let text = std::fs::read_to_string(&file)?;
            assert!(
                !text.contains("not-durable") && !text.contains("not_durable"),
                "{} asks for it",
                file.display()
            );
        }
    }
    Ok(())
}

fn rust_files(folder: &Path, into: &mut Vec<std::path::PathBuf>) -> Result<()> {
    for entry in std::fs::read_dir(folder).with_context(|| folder.display().to_string())? {
        let path = entry?.path();
        if path.is_dir() {
            rust_files(&path, into)?;
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            into.push(path);
        }
    }
    Ok(())
}
