//! The `turnwise` command.

use clap::{Parser, Subcommand};
use std::io::{self, BufWriter, ErrorKind, IsTerminal, Write};
use std::process::ExitCode;
use tracing_subscriber::EnvFilter;
use turnwise_cli::{calc, demo, office, print, shell, tablet, verify, vouch};

/// Brings pilot-operated control valves into service and keeps the record.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// A crew member's tablet, in a browser on this machine.
    Tablet(tablet::Options),
    /// The office: hands out jobs and keeps their records.
    Office(office::Options),
    /// An office and two tablets to try, with links that can be cut.
    Demo(demo::Options),
    /// The arithmetic: one JSON request per line in, one JSON answer per line out.
    Calc,
    /// An export as a PDF that carries it.
    Print(print::Options),
    /// Who signed a record, and whether anything was changed since.
    Verify(verify::Options),
    /// The office vouches for the key of a person's tablet.
    Vouch(vouch::Options),
}

fn main() -> ExitCode {
    // What a program says of itself goes to standard error; standard output is for what it was asked for.
    tracing_subscriber::fmt()
        .with_writer(io::stderr)
        .with_ansi(io::stderr().is_terminal())
        .with_env_filter(EnvFilter::try_from_env("TURNWISE_LOG").unwrap_or_else(|_| EnvFilter::new("warn")))
        .init();
    let outcome = match Arguments::parse().command {
        Command::Tablet(options) => in_runtime(serve_tablet(options)),
        Command::Office(options) => in_runtime(serve_office(options)),
        Command::Demo(options) => in_runtime(demo::run(options)),
        Command::Calc => calc_on_standard_streams(),
        Command::Print(options) => print::run(&options).map(|()| ExitCode::SUCCESS),
        Command::Verify(options) => verify_file(&options),
        Command::Vouch(options) => vouch_for(&options),
    };
    match outcome {
        Ok(code) => code,
        Err(error) => {
            eprintln!("turnwise: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn in_runtime(work: impl Future<Output = anyhow::Result<ExitCode>>) -> anyhow::Result<ExitCode> {
    tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?
        .block_on(work)
}

async fn serve_tablet(options: tablet::Options) -> anyhow::Result<ExitCode> {
    let name = options.name.clone();
    let running = tablet::start(options).await?;
    say(&format!("tablet {name}: {}", running.serving.url()))?;
    shell::stop_asked().await?;
    running.stop().await?;
    Ok(ExitCode::SUCCESS)
}

async fn serve_office(options: office::Options) -> anyhow::Result<ExitCode> {
    let running = office::start(options).await?;
    say(&format!("office: {}", running.serving.url()))?;
    shell::stop_asked().await?;
    running.stop().await?;
    Ok(ExitCode::SUCCESS)
}

fn verify_file(options: &verify::Options) -> anyhow::Result<ExitCode> {
    let answer = verify::run(options)?;
    say(&answer.text)?;
    Ok(ExitCode::from(answer.outcome as u8))
}

fn vouch_for(options: &vouch::Options) -> anyhow::Result<ExitCode> {
    say(&vouch::run(options)?)?;
    Ok(ExitCode::SUCCESS)
}

/// One line that whoever started this waits for.
fn say(line: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "{line}")?;
    out.flush()
}

/// Runs the arithmetic between standard input and standard output. A reader who goes away early is no failure.
fn calc_on_standard_streams() -> anyhow::Result<ExitCode> {
    let served = calc::run(io::stdin().lock(), BufWriter::new(io::stdout().lock()));
    match served {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(ExitCode::SUCCESS),
        served => {
            served?;
            Ok(ExitCode::SUCCESS)
        }
    }
}
