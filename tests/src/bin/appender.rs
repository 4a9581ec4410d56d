//! A program that adds entries to a job and says of each, once it may, that it is saved: what the durability tests
//! watch, kill and starve.
//!
//! It prints one line for everything that happens, each in one write:
//! `open`, `ack ID`, `error CODE`, `done`. After an error it waits for a line on its input and tries the same entry
//! again.

use anyhow::{Context, Result, bail};
use std::io::{BufRead, Write, stdin, stdout};
use std::path::PathBuf;
use turnwise_core::journal::{ActorId, Entry, EntryId, JobId, Journal};
use turnwise_core::store::{IntakeError, JournalStore, Seed, StoreError};
use turnwise_tests::entries;

/// How the program was started.
struct Arguments {
    dir: PathBuf,
    job: JobId,
    /// How many entries to add. None: for ever.
    count: Option<u64>,
    /// How long the notes are, in characters.
    length: usize,
    /// Whether commits wait for the disk.
    durable: bool,
    /// When to say that an entry is saved.
    say: Say,
    /// Where the entries come from.
    writer: Writer,
    /// Whether to wait for a line on the input before each entry.
    step: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Say {
    WhenSaved,
    /// Before it is: a lie, to see that it is noticed.
    Before,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Writer {
    Here,
    Peer,
}

impl Arguments {
    fn read() -> Result<Self> {
        let (mut dir, mut job) = (None, None);
        let mut rest = Self {
            dir: PathBuf::new(),
            job: entries::new_job(),
            count: None,
            length: 100,
            durable: true,
            say: Say::WhenSaved,
            writer: Writer::Here,
            step: false,
        };
        let mut arguments = std::env::args().skip(1);
        while let Some(argument) = arguments.next() {
            let mut value = || {
                arguments
                    .next()
                    .with_context(|| format!("{argument} wants a value"))
            };
            match argument.as_str() {
                "--dir" => dir = Some(PathBuf::from(value()?)),
                "--job" => job = Some(value()?.parse()?),
                "--count" => rest.count = Some(value()?.parse()?),
                "--length" => rest.length = value()?.parse()?,
                "--not-durable" => rest.durable = false,
                "--ack-first" => rest.say = Say::Before,
                "--from-peer" => rest.writer = Writer::Peer,
                "--step" => rest.step = true,
                other => bail!("{other} is not known here"),
            }
        }
        rest.dir = dir.context("--dir is missing")?;
        rest.job = job.context("--job is missing")?;
        Ok(rest)
    }
}

fn main() -> Result<()> {
    let arguments = Arguments::read()?;
    let seed = Seed::draw()?;
    let opened = if arguments.durable {
        JournalStore::open(&arguments.dir, seed)
    } else {
        JournalStore::open_not_durable(&arguments.dir, seed)
    };
    let mut store = match opened {
        Ok(store) => store,
        Err(error) => {
            say(&format!("error {}", error.code()))?;
            bail!(error);
        }
    };
    say("open")?;
    let mut peer = (arguments.writer == Writer::Peer)
        .then(|| Peer::new(arguments.job))
        .transpose()?;
    let is_new = !store.jobs()?.contains(&arguments.job);
    for number in 0..arguments.count.unwrap_or(u64::MAX) {
        let entry = if number == 0 && is_new {
            entries::opening(arguments.job)
        } else {
            entries::note(arguments.length)
        };
        if arguments.step {
            wait()?;
        }
        if arguments.say == Say::Before {
            say(&format!("ack {}", entry.id))?;
        }
        let bundle = peer.as_mut().map(|peer| peer.write(&entry)).transpose()?;
        loop {
            let saved = match &bundle {
                None => store.append(arguments.job, &entry).map(drop),
                Some(bundle) => match store.intake(arguments.job, bundle) {
                    Ok(1) => Ok(()),
                    Ok(other) => bail!("{other} changes were new where one was sent"),
                    Err(IntakeError::Store(error)) => Err(error),
                    Err(IntakeError::Refused(refusal)) => bail!(refusal),
                },
            };
            match saved {
                Ok(()) => break,
                Err(error) => {
                    say(&format!("error {}", error.code()))?;
                    must_be_absent(&mut store, arguments.job, entry.id)?;
                    wait()?;
                }
            }
        }
        if arguments.say == Say::WhenSaved {
            say(&format!("ack {}", entry.id))?;
        }
    }
    say("done")
}

/// What was not saved is not shown either.
fn must_be_absent(store: &mut JournalStore, job: JobId, entry: EntryId) -> Result<()> {
    match store.state(job) {
        Ok(state) if state.entry(entry).is_some() => bail!("entry {entry} was not saved and is shown"),
        Ok(_) | Err(StoreError::UnknownJob(_)) => Ok(()),
        Err(error) => bail!("the job cannot be read after a failed write: {error}"),
    }
}

/// Somebody else who writes to the same job.
struct Peer(Journal);

impl Peer {
    fn new(job: JobId) -> Result<Self> {
        let ActorId(actor) = Seed::draw()?.actor;
        Ok(Self(Journal::new(job, ActorId(actor))))
    }

    fn write(&mut self, entry: &Entry) -> Result<Vec<u8>> {
        Ok(self.0.append(entry)?.bytes)
    }
}

/// One line, in one write, so that a kill leaves whole lines only.
fn say(line: &str) -> Result<()> {
    let mut out = stdout().lock();
    out.write_all(format!("{line}\n").as_bytes())?;
    out.flush()?;
    Ok(())
}

/// Waits for a line on the input. Without one to come there is nobody to go on for.
fn wait() -> Result<()> {
    if stdin().lock().read_line(&mut String::new())? == 0 {
        bail!("the input has ended");
    }
    Ok(())
}
