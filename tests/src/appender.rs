//! The appender program, as a test holds it: started, listened to, prompted and killed.

use anyhow::{Context, Result, bail};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use turnwise_core::journal::{EntryId, JobId};

/// What the appender says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Line {
    /// The store is open.
    Open,
    /// This entry is saved.
    Ack(EntryId),
    /// Something failed, by this code.
    Error(String),
    /// All entries are saved.
    Done,
}

/// The appender, running. It is killed when this value goes.
#[derive(Debug)]
pub struct Appender {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
}

/// The command that starts an appender; `program` is the path that cargo built it at.
pub fn command(program: &str, dir: &Path, job: JobId) -> Command {
    let mut command = Command::new(program);
    command.arg("--dir").arg(dir).arg("--job").arg(job.to_string());
    command
}

impl Appender {
    /// Starts a command made by [`command`], perhaps under another program.
    ///
    /// # Errors
    /// Where it cannot be started.
    pub fn start(mut command: Command) -> Result<Self> {
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .with_context(|| format!("cannot start {command:?}"))?;
        let input = child.stdin.take().context("no input")?;
        let output = BufReader::new(child.stdout.take().context("no output")?);
        Ok(Self { child, input, output })
    }

    /// The next line, or none once the program has ended.
    ///
    /// # Errors
    /// For a line that the appender does not say.
    pub fn hear(&mut self) -> Result<Option<Line>> {
        let mut text = String::new();
        if self.output.read_line(&mut text)? == 0 {
            return Ok(None);
        }
        let Some(text) = text.strip_suffix('\n') else {
            bail!("half a line: {text}");
        };
        Ok(Some(match text.split_once(' ') {
            Some(("ack", id)) => Line::Ack(id.parse()?),
            Some(("error", code)) => Line::Error(code.to_owned()),
            None if text == "open" => Line::Open,
            None if text == "done" => Line::Done,
            _ => bail!("an appender does not say {text:?}"),
        }))
    }

    /// The acknowledgements up to the next line of another kind, and that line.
    ///
    /// # Errors
    /// As [`Appender::hear`].
    pub fn acks(&mut self) -> Result<(Vec<EntryId>, Option<Line>)> {
        let mut acks = Vec::new();
        loop {
            match self.hear()? {
                Some(Line::Ack(id)) => acks.push(id),
                other => return Ok((acks, other)),
            }
        }
    }

    /// Lets it go on where it waits.
    ///
    /// # Errors
    /// Where it has ended.
    pub fn go(&mut self) -> Result<()> {
        self.input.write_all(b"go\n")?;
        Ok(())
    }

    /// Kills it as nothing can prevent (SIGKILL) and answers what it had still acknowledged.
    ///
    /// # Errors
    /// As [`Appender::hear`].
    pub fn kill(mut self) -> Result<Vec<EntryId>> {
        self.child.kill()?;
        let mut acks = Vec::new();
        while let Some(line) = self.hear()? {
            if let Line::Ack(id) = line {
                acks.push(id);
            }
        }
        self.child.wait()?;
        Ok(acks)
    }

    /// Waits for its end, which must be a good one.
    ///
    /// # Errors
    /// Where it ended otherwise.
    pub fn finish(mut self) -> Result<()> {
        let status = self.child.wait()?;
        if status.success() {
            Ok(())
        } else {
            bail!("the appender ended with {status}")
        }
    }
}

impl Drop for Appender {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to kill.
        if let Ok(None) = self.child.try_wait() {
            let _ = self.child.kill();
            let _ = self.child.wait();
        }
    }
}
