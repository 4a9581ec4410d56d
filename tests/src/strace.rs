//! Reads what strace saw of an appender, and judges every acknowledgement by it.
//!
//! An acknowledgement is honest if, since the one before, at least one flush of the database's files has been
//! completed, if the entry that it names was among what was written and flushed since then, and if nothing was written
//! to the write-ahead log after its last completed flush.

use anyhow::{Context, Result, bail};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// The calls that the judgement needs.
const CALLS: &str = "trace=fsync,fdatasync,write,pwrite64,writev,pwritev,pwritev2";

/// What strace saw.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Judgement {
    /// How many acknowledgements were written.
    pub acks: usize,
    /// How many flushes of the database's files were completed before one of them.
    pub flushes: usize,
    /// What is wrong with which acknowledgement.
    pub dishonest: Vec<String>,
}

/// The same command under strace, which writes what it sees to `log`. `inject`: calls that are made to fail, in
/// strace's own words.
pub fn watched(command: &Command, log: &Path, inject: Option<&str>) -> Command {
    let mut watched = Command::new("strace");
    watched
        .args(["-f", "-y", "-s", "8192", "-e", CALLS])
        .arg("-o")
        .arg(log);
    if let Some(inject) = inject {
        watched.args(["-e", inject]);
    }
    watched.arg(command.get_program()).args(command.get_args());
    watched
}

/// Judges the acknowledgements in what strace wrote about a database.
///
/// # Errors
/// For text that is not strace's.
pub fn judge(log: &str, database: &Path) -> Result<Judgement> {
    let database = database.to_str().context("the database's name is not text")?;
    let wal = format!("{database}-wal");
    let mut judgement = Judgement::default();
    // What was written to the log since the acknowledgement before: not flushed yet, and flushed.
    let (mut written, mut on_disk) = (String::new(), String::new());
    let mut flushes = 0;
    let mut unfinished = BTreeMap::new();
    for line in log.lines() {
        let Some(call) = finished(line, &mut unfinished)? else {
            continue;
        };
        let is_flush = call.name == "fsync" || call.name == "fdatasync";
        if is_flush && call.result == 0 && (call.file == database || call.file == wal) {
            flushes += 1;
            if call.file == wal {
                on_disk.push_str(&std::mem::take(&mut written));
            }
        } else if !is_flush && call.result > 0 && call.file == wal {
            written.push_str(&call.text);
        } else if let Some(id) = call
            .text
            .strip_prefix("\"ack ")
            .and_then(|rest| rest.split('\\').next())
        {
            judgement.acks += 1;
            judgement.flushes += flushes;
            let wrong = if flushes == 0 {
                Some("no flush since the one before")
            } else if !written.is_empty() {
                Some("the log has been written to since its last flush")
            } else if !on_disk.contains(id) {
                Some("the entry is not in what was flushed")
            } else {
                None
            };
            judgement
                .dishonest
                .extend(wrong.map(|wrong| format!("{id}: {wrong}")));
            flushes = 0;
            on_disk.clear();
        }
    }
    Ok(judgement)
}

/// A call that has returned.
struct Call {
    name: String,
    /// The file that it was about.
    file: String,
    /// The rest of its arguments, as strace prints them.
    text: String,
    result: i64,
}

/// Reads one line such as `812  fdatasync(5</a/b.db-wal>) = 0`. Where another process came between, the line is in two
/// halves, the first of which waits in `unfinished`.
fn finished(line: &str, unfinished: &mut BTreeMap<String, String>) -> Result<Option<Call>> {
    let (process, rest) = line
        .split_once(' ')
        .with_context(|| format!("no process in {line:?}"))?;
    let rest = rest.trim_start();
    if rest.starts_with("+++") || rest.starts_with("---") {
        return Ok(None);
    }
    if let Some(half) = rest.strip_suffix("<unfinished ...>") {
        unfinished.insert(process.to_owned(), half.trim_end().to_owned());
        return Ok(None);
    }
    if let Some(resumed) = rest.strip_prefix("<... ") {
        let (_, tail) = resumed
            .split_once("resumed>")
            .context("a call that was not resumed")?;
        let head = unfinished.remove(process).context("a call that was not begun")?;
        return call(&format!("{head}{tail}"));
    }
    call(rest)
}

fn call(text: &str) -> Result<Option<Call>> {
    let parts = || {
        let (name, rest) = text.split_once('(')?;
        let (_, rest) = rest.split_once('<')?;
        let (file, rest) = rest.split_once('>')?;
        let (arguments, result) = rest.rsplit_once(" = ")?;
        let arguments = arguments.trim_end().strip_suffix(')')?;
        Some((name, file, arguments.trim_start_matches(", "), result))
    };
    let Some((name, file, arguments, result)) = parts() else {
        bail!("strace does not write {text:?}");
    };
    let number = result.split(' ').next().unwrap_or_default();
    if number == "?" {
        // The process ended in the middle of it.
        return Ok(None);
    }
    Ok(Some(Call {
        name: name.to_owned(),
        file: file.to_owned(),
        text: arguments.to_owned(),
        result: number
            .parse()
            .with_context(|| format!("the result in {text:?}"))?,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WRITE: &str = r#"7 write(4</d/t.db-wal>, "page with id-1"..., 4096) = 4096"#;
    const FLUSH: &str = "7 fdatasync(4</d/t.db-wal>) = 0";
    const ACK: &str = r#"7 write(1<pipe:[9]>, "ack id-1\n", 9)    = 9"#;

    fn judged(lines: &[&str]) -> Judgement {
        judge(&lines.join("\n"), Path::new("/d/t.db")).unwrap()
    }

    #[test]
    fn written_flushed_and_then_said_is_honest() {
        let judgement = judged(&[WRITE, FLUSH, ACK, WRITE, FLUSH, ACK, "7 +++ exited with 0 +++"]);
        assert_eq!((judgement.acks, judgement.flushes), (2, 2));
        assert_eq!(judgement.dishonest, [""; 0]);
    }

    #[test]
    fn said_before_the_flush_is_not() {
        assert_eq!(judged(&[WRITE, ACK, FLUSH]).dishonest.len(), 1);
    }

    #[test]
    fn one_flush_does_not_stand_for_two_acknowledgements() {
        assert_eq!(judged(&[WRITE, FLUSH, ACK, ACK]).dishonest.len(), 1);
    }

    #[test]
    fn what_was_written_after_the_flush_does_not_count_as_flushed() {
        assert_eq!(judged(&[WRITE, FLUSH, WRITE, ACK]).dishonest.len(), 1);
    }

    #[test]
    fn a_flush_of_other_entries_does_not_stand_for_this_one() {
        let other = WRITE.replace("id-1", "id-2");
        assert_eq!(judged(&[&other, FLUSH, ACK]).dishonest.len(), 1);
    }

    #[test]
    fn a_flush_that_failed_or_was_of_another_file_is_none() {
        let failed = "7 fdatasync(4</d/t.db-wal>) = -1 EIO (Input/output error)";
        let other = "7 fsync(5</d/other>) = 0";
        assert_eq!(judged(&[WRITE, failed, ACK]).dishonest.len(), 1);
        assert_eq!(judged(&[WRITE, other, ACK]).dishonest.len(), 1);
    }

    #[test]
    fn a_flush_counts_from_when_it_has_returned() {
        let (begun, resumed) = (
            "7 fdatasync(4</d/t.db-wal> <unfinished ...>",
            "7 <... fdatasync resumed>) = 0",
        );
        let other = ACK.replace("7 ", "8 ");
        assert_eq!(judged(&[WRITE, begun, &other, resumed]).dishonest.len(), 1);
        assert_eq!(judged(&[WRITE, begun, resumed, &other]).dishonest, [""; 0]);
    }

    #[test]
    fn what_strace_does_not_write_is_not_judged() {
        assert!(judge("7 nonsense", Path::new("/d/t.db")).is_err());
    }
}
