//! The demo with people in it: three addresses to open, and a lid to close over the links.

use super::crew::Crew;
use super::scenario::{LEAD, MATE, Network, job};
use crate::shell::stop_asked;
use std::io::BufRead;
use std::path::Path;
use std::process::ExitCode;
use tokio::sync::mpsc;

/// Starts all three, says where they are, and follows what is typed until it ends.
pub async fn run(dir: &Path) -> anyhow::Result<ExitCode> {
    let network = Network::read()?;
    let crew = Crew::start(dir).await?;
    let places = [
        ("office", &crew.office.serving),
        (LEAD, &crew.lead.serving),
        (MATE, &crew.mate.serving),
    ];
    for (place, serving) in places {
        println!("{place:<10} {}", serving.url());
    }
    println!();
    println!("{}", what_to_do(&network));
    let mut typed = typed();
    loop {
        tokio::select! {
            line = typed.recv() => match line.as_deref().map(str::trim) {
                Some("cut") => {
                    crew.cut().await;
                    println!("Both tablets are out of reach.");
                }
                Some("join") => {
                    crew.join();
                    println!("Everybody is in reach again.");
                }
                Some("status") => println!("{}", status(&crew)),
                Some("quit") => break,
                Some("") => {}
                Some(other) => println!("`{other}` is not a command. There are: cut, join, status, quit."),
                // Nobody types: it goes on until it is told to stop.
                None => {
                    stop_asked().await?;
                    break;
                }
            },
            stop = stop_asked() => {
                stop?;
                break;
            }
        }
    }
    crew.stop().await?;
    Ok(ExitCode::SUCCESS)
}

/// The five lines that a newcomer needs.
fn what_to_do(network: &Network) -> String {
    let handed_out = job(network);
    let inlet = network.hours.first().map_or("", |hour| hour.inlet_psi.as_str());
    format!(
        "1. Office: hand out a job ({customer}, {site}, {station}, valve {valve}, {size} in, {set} psi), \
         crew {LEAD} as lead tech and {MATE} as technician.\n\
         2. Tablets: the job appears on both. Type `cut` here: both are out of reach of everything.\n\
         3. Work the valve on one tablet, read topside on the other; change the request at the office.\n\
         4. Type `join`. Settle what you disagree on, set what changed, close out, initial, sign.\n\
         5. Office: the record is there. Also here: status, quit.\n\
         People, places and the spring are invented. Inlet ({inlet} psi), set point, size and flow are those of \
         {valve} in {source}.",
        customer = handed_out.customer,
        site = handed_out.site,
        station = handed_out.station,
        valve = network.valve,
        size = network.size_in,
        set = network.set_point_psi,
        source = network.source.network,
    )
}

fn status(crew: &Crew) -> String {
    let names = [
        "Ana's tablet to the office",
        "Ben's tablet to the office",
        "tablet to tablet",
    ];
    let lines = names.iter().zip(crew.stretches()).map(|(name, stretch)| {
        let reach = if stretch.in_reach() { "in reach" } else { "cut" };
        format!("{name}: {reach}, {} bytes so far", stretch.carried())
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// Lines of standard input. Reading them blocks, so they come from a thread of their own.
fn typed() -> mpsc::Receiver<String> {
    let (lines, typed) = mpsc::channel(8);
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().lines() {
            // Unreadable, or nobody follows any more.
            let Ok(line) = line else { return };
            if lines.blocking_send(line).is_err() {
                return;
            }
        }
    });
    typed
}
