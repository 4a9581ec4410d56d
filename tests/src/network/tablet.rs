//! A tablet as a process in a place of its own.

use super::Place;
use super::wire::end;
use anyhow::{Context, Result, bail, ensure};
use serde_json::Value;
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, ChildStdout, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::{Duration, Instant};
use turnwise_core::journal::{Asset, AssetId, Body, DeviceId, JobId, Note, ValveOnJob};
use turnwise_core::tablet::view::HomeView;
use turnwise_core::tablet::{Command, CrewCommand, NewJob, RecordEntry, Reply};
use uuid::Uuid;

/// What is waited for comes within this time, or never.
const AT_MOST: Duration = Duration::from_mins(2);

/// A tablet that runs. Killed when dropped, without a word to anybody.
#[derive(Debug)]
pub struct Tablet {
    name: String,
    child: Child,
    input: ChildStdin,
    answers: Receiver<Value>,
    shown: Arc<Shown>,
}

#[derive(Debug, Default)]
struct Shown {
    view: Mutex<Option<HomeView>>,
    changed: Condvar,
}

impl Tablet {
    /// Starts `program` in a place, with its data in a folder.
    pub fn start(program: &str, place: &Place, data: PathBuf, name: &str) -> Result<Self> {
        let mut child = place
            .command(program)
            .arg(data)
            .arg(format!("{name}'s tablet"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .context("a tablet could not be started")?;
        let input = child.stdin.take().context("the tablet has no input")?;
        let output = child.stdout.take().context("the tablet has no output")?;
        let shown = Arc::new(Shown::default());
        let (answered, answers) = channel();
        let follows = Arc::clone(&shown);
        std::thread::spawn(move || follow(output, &follows, &answered));
        let mut tablet = Self {
            name: name.to_owned(),
            child,
            input,
            answers,
            shown,
        };
        tablet.until("the link is on", |view| view.links.crew.on)?;
        tablet.does(&Command::SetMe {
            name: name.to_owned(),
        })?;
        Ok(tablet)
    }

    /// Kills this one, without a word to anybody, and starts it anew with the same data.
    pub fn start_again(&mut self, program: &str, place: &Place, data: PathBuf) -> Result<Self> {
        end(&mut self.child);
        Self::start(program, place, data, &self.name)
    }

    /// Gives a command and waits until it is done.
    pub fn does(&mut self, command: &Command) -> Result<Reply> {
        writeln!(self.input, "{}", serde_json::to_string(command)?)?;
        let answer = self.answers.recv_timeout(AT_MOST)?;
        match answer.get("done") {
            Some(reply) => Ok(serde_json::from_value(reply.clone())?),
            None => bail!("{}: {answer}", self.name),
        }
    }

    /// Waits until what is shown is so; how long that took.
    pub fn until(&self, what: &str, holds: impl Fn(&HomeView) -> bool) -> Result<Duration> {
        let began = Instant::now();
        let view = self.shown.view.lock().unwrap_or_else(PoisonError::into_inner);
        let (view, waited) = self
            .shown
            .changed
            .wait_timeout_while(view, AT_MOST, |view| !view.as_ref().is_some_and(&holds))
            .unwrap_or_else(PoisonError::into_inner);
        ensure!(
            !waited.timed_out(),
            "{}: not in time: {what}; it shows {view:#?}",
            self.name
        );
        Ok(began.elapsed())
    }

    /// Opens a job here.
    pub fn opens_a_job(&mut self) -> Result<JobId> {
        let asset = |name: &str| Asset {
            id: AssetId(Uuid::now_v7()),
            name: name.to_owned(),
        };
        let valve = asset("6 in reducing valve");
        let reply = self.does(&Command::OpenJob(NewJob {
            number: "2026-0117".to_owned(),
            customer: "Water works".to_owned(),
            site: "Mill Street".to_owned(),
            station: asset("Mill Street vault"),
            valves: vec![ValveOnJob {
                id: valve.id,
                name: valve.name,
                procedure: "reducing".to_owned(),
                size: None,
            }],
        }))?;
        reply.job.context("no job was opened")
    }

    /// Writes a note into a job.
    pub fn notes(&mut self, job: JobId, text: &str) -> Result<()> {
        let body = Body::Note(Note {
            text: text.to_owned(),
            about: None,
        });
        self.does(&Command::Record(RecordEntry {
            job,
            called_by: None,
            body,
        }))?;
        Ok(())
    }

    /// How many entries of a job it shows.
    pub fn entries(&self, job: JobId) -> u32 {
        let view = self.shown.view.lock().unwrap_or_else(PoisonError::into_inner);
        view.as_ref().map_or(0, |view| entries(view, job))
    }

    /// Waits until it shows so many entries of a job, or more: the tablets write down on their own how their clocks
    /// differ. How long that took.
    pub fn until_it_has(&self, job: JobId, count: u32) -> Result<Duration> {
        self.until(&format!("{count} entries"), |view| entries(view, job) >= count)
    }

    /// Pairs with another, which shows a code, by finding it by its name.
    pub fn pairs_with(&mut self, other: &mut Self) -> Result<DeviceId> {
        other.does(&Command::Crew(CrewCommand::ShowCode))?;
        other.until("a code is shown", |view| view.links.crew.code.is_some())?;
        let code = {
            let view = other.shown.view.lock().unwrap_or_else(PoisonError::into_inner);
            let code = view.as_ref().and_then(|view| view.links.crew.code.clone());
            code.context("no code is shown")?.digits
        };
        let called = format!("{}'s tablet", other.name);
        let found = |view: &HomeView| {
            let found = view.links.crew.found.iter().find(|found| found.name == called);
            found.map(|found| found.address.clone())
        };
        self.until("the other is found", |view| found(view).is_some())?;
        let address = {
            let view = self.shown.view.lock().unwrap_or_else(PoisonError::into_inner);
            view.as_ref().and_then(found).context("the other is gone")?
        };
        self.does(&Command::Crew(CrewCommand::Pair { code, address }))?;
        self.until("the other is linked", |view| linked(view, &called))?;
        let view = self.shown.view.lock().unwrap_or_else(PoisonError::into_inner);
        let paired = view
            .iter()
            .flat_map(|view| &view.links.crew.paired)
            .find(|paired| paired.name == called);
        Ok(paired.context("the other is not paired")?.device)
    }

    /// Waits until it shows another as linked, or as not linked.
    pub fn until_linked(&self, other: &Self, is: bool) -> Result<Duration> {
        let called = format!("{}'s tablet", other.name);
        self.until(if is { "linked" } else { "not linked" }, |view| {
            linked(view, &called) == is
        })
    }
}

impl Drop for Tablet {
    fn drop(&mut self) {
        end(&mut self.child);
    }
}

fn follow(output: ChildStdout, shown: &Shown, answered: &Sender<Value>) {
    for line in BufReader::new(output).lines() {
        let read = line
            .ok()
            .and_then(|line| serde_json::from_str::<Value>(&line).ok());
        let Some(mut read) = read else { return };
        match read.get_mut("shown").map(Value::take) {
            Some(view) => {
                let view = serde_json::from_value(view).ok();
                *shown.view.lock().unwrap_or_else(PoisonError::into_inner) = view;
                shown.changed.notify_all();
            }
            None => drop(answered.send(read)),
        }
    }
}

fn entries(view: &HomeView, job: JobId) -> u32 {
    view.jobs.iter().find(|card| card.job == job).map_or(0, |card| {
        card.custody.only_here + card.custody.with_mate + card.custody.at_office
    })
}

fn linked(view: &HomeView, called: &str) -> bool {
    let mut paired = view.links.crew.paired.iter();
    paired.any(|paired| paired.name == called && paired.linked)
}
