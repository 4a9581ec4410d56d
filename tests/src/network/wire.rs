//! A cable that delays and loses.

use super::Place;
use anyhow::{Context, Result, ensure};
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};

/// What carries the frames: between interfaces of one place, as they are on the wire.
const PROGRAM: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/network/wire.py");

/// Carries frames between the interfaces of a place. Cut when dropped.
#[derive(Debug)]
pub struct Wire {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
}

impl Wire {
    /// Between these interfaces of a place; nothing is delayed or lost yet.
    pub fn between(place: &Place, plugs: &[&str]) -> Result<Self> {
        let mut child = place
            .command("python3")
            .arg(PROGRAM)
            .args(plugs)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .context("python3 could not be started")?;
        let input = child.stdin.take().context("the wire has no input")?;
        let output = BufReader::new(child.stdout.take().context("the wire has no output")?);
        let mut wire = Self { child, input, output };
        wire.heard("open")?;
        Ok(wire)
    }

    /// Has an interface send whole frames with their checksums: nothing behind it would finish them.
    pub fn makes_plain(place: &Place, plug: &str) -> Result<()> {
        let done = place
            .command("python3")
            .args([PROGRAM, "--plain", plug])
            .output()?;
        ensure!(
            done.status.success(),
            "{plug} goes on leaving its frames unfinished: {}",
            String::from_utf8_lossy(&done.stderr)
        );
        Ok(())
    }

    /// From now on so many percent of all frames are lost, and the others are held back so long, each way.
    pub fn loses(&mut self, percent: u32, delay_ms: u32) -> Result<()> {
        writeln!(self.input, "loss {percent} delay {delay_ms}")?;
        self.heard("set")
    }

    fn heard(&mut self, word: &str) -> Result<()> {
        let mut line = String::new();
        self.output.read_line(&mut line)?;
        ensure!(line.trim() == word, "the wire said {line:?} and not {word}");
        Ok(())
    }
}

impl Drop for Wire {
    fn drop(&mut self) {
        end(&mut self.child);
    }
}

/// Ends a process of a test, whatever it is doing.
pub(super) fn end(child: &mut Child) {
    if let Err(error) = child.kill().and_then(|()| child.wait().map(drop)) {
        eprintln!("a process of the test is left behind: {error}");
    }
}
