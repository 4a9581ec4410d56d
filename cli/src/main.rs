//! The `turnwise` command.

use clap::{Parser, Subcommand};
use std::io::{self, BufWriter, ErrorKind};
use std::process::ExitCode;
use turnwise_cli::calc;

/// Brings pilot-operated control valves into service and keeps the record.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// The arithmetic: one JSON request per line in, one JSON answer per line out.
    Calc,
}

fn main() -> ExitCode {
    let outcome = match Arguments::parse().command {
        Command::Calc => calc_on_standard_streams(),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("turnwise: {error}");
            ExitCode::FAILURE
        }
    }
}

/// Runs the arithmetic between standard input and standard output. A reader who goes away early is no failure.
fn calc_on_standard_streams() -> anyhow::Result<()> {
    let served = calc::run(io::stdin().lock(), BufWriter::new(io::stdout().lock()));
    match served {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        served => Ok(served?),
    }
}
