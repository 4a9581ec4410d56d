//! A folder that may not be written to.

use crate::support::{appender, nothing_is_lost};
use anyhow::Result;
use turnwise_core::store::{JournalStore, Seed};
use turnwise_tests::appender::{Appender, Line};
use turnwise_tests::entries::new_job;
use turnwise_tests::mount::Mount;

#[test]
fn a_read_only_folder_is_refused_in_clear_words_and_is_as_it_was_when_it_can_be_written_again() -> Result<()>
{
    let data = tempfile::tempdir()?;
    let job = new_job();
    let mut running = Appender::start(appender(data.path(), job, &["--count", "5"]))?;
    assert_eq!(running.hear()?, Some(Line::Open));
    let (acknowledged, end) = running.acks()?;
    assert_eq!((acknowledged.len(), end), (5, Some(Line::Done)));
    running.finish()?;

    let view = Mount::read_only(data.path())?;
    let error = JournalStore::open(view.path(), Seed::draw()?).expect_err("it cannot be written to");
    assert_eq!(error.code(), "read_only");
    assert!(error.to_string().contains("untouched"), "{error}");

    let mut running = Appender::start(appender(view.path(), job, &[]))?;
    let (acks, said) = running.acks()?;
    assert_eq!((acks.len(), said), (0, Some(Line::Error("read_only".to_owned()))));
    assert_eq!(running.hear()?, None);
    drop(view);

    nothing_is_lost(data.path(), job, &acknowledged)
}

#[test]
fn a_new_store_in_a_read_only_place_is_refused_too() -> Result<()> {
    let folder = tempfile::tempdir()?;
    let view = Mount::read_only(folder.path())?;
    for place in [view.path().to_owned(), view.path().join("deeper/data")] {
        let error = JournalStore::open(&place, Seed::draw()?).expect_err("it cannot be written to");
        assert_eq!(error.code(), "read_only");
    }
    Ok(())
}
