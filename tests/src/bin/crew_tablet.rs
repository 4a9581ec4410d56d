//! A tablet without a screen, to be started where a test wants it: in a network of its own, as a process that can be
//! killed.
//!
//! It takes one command a line on its input, as JSON, and answers each with one line: `{"done": reply}` or
//! `{"refused": code}`. Whenever what its first screen shows may have changed, it prints `{"shown": view}`. It ends with
//! its input.

use anyhow::{Context, Result};
use serde_json::json;
use std::io::{BufRead, Write};
use std::net::SocketAddr;
use tokio::sync::mpsc;
use turnwise_core::link::secure::CrewOptions;
use turnwise_core::store::Seed;
use turnwise_core::tablet::{CREW_PORT, Command, Options, Query, TabletHandle, View};

#[tokio::main]
async fn main() -> Result<()> {
    let mut arguments = std::env::args().skip(1);
    let data = arguments.next().context("the data folder is missing")?;
    let name = arguments.next().context("the tablet's name is missing")?;
    let tablet = TabletHandle::open(Options::new(data, name), Seed::draw()?)?;
    let options = CrewOptions {
        listen: SocketAddr::from(([0, 0, 0, 0], CREW_PORT)),
        discover: true,
    };
    let mut key = [0; 32];
    getrandom::fill(&mut key)?;
    let _crew = tablet.start_crew(options, key).await?;
    let mut changes = tablet.changes();
    let mut lines = lines();
    show(&tablet).await?;
    loop {
        tokio::select! {
            line = lines.recv() => {
                let Some(line) = line else { return Ok(()) };
                let command: Command = serde_json::from_str(&line)?;
                say(&match tablet.command(command).await {
                    Ok(reply) => json!({ "done": reply }),
                    Err(error) => json!({ "refused": error.code }),
                })?;
                show(&tablet).await?;
            }
            moved = changes.changed() => {
                moved?;
                show(&tablet).await?;
            }
        }
    }
}

async fn show(tablet: &TabletHandle) -> Result<()> {
    let View::Home(view) = tablet.view(Query::Home).await? else {
        anyhow::bail!("the first screen is another one");
    };
    say(&json!({ "shown": view }))
}

fn say(line: &serde_json::Value) -> Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}")?;
    Ok(out.flush()?)
}

/// Lines of the input. Reading them blocks, so they come from a thread of their own.
fn lines() -> mpsc::Receiver<String> {
    let (lines, read) = mpsc::channel(8);
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().lines() {
            // Unreadable, or nobody follows any more.
            let Ok(line) = line else { return };
            if lines.blocking_send(line).is_err() {
                return;
            }
        }
    });
    read
}
