//! The project's own commands. `cargo xtask help` lists them; each is one file in `commands/`.

mod commands;
mod run;
mod stages;
mod tidy;
mod workspace;

use clap::{Parser, Subcommand};
use commands::{app, bench, demo, test, tidy as tidy_command, types};
use std::process::ExitCode;
use workspace::Workspace;

#[derive(Parser)]
#[command(name = "cargo xtask", about = "Check, try and measure Turnwise")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Run every check, as CI does, and sum them up
    Test(test::Arguments),
    /// Check the house rules
    Tidy,
    /// Write the TypeScript types anew from the Rust ones
    Types,
    /// Two tablets and an office on this machine
    Demo(demo::Arguments),
    /// Open the tablet in its own window
    App,
    /// Measure, and write target/bench.json
    Bench(bench::Arguments),
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let outcome = Workspace::find().and_then(|workspace| match &arguments.command {
        Command::Test(arguments) => test::run(&workspace, arguments),
        Command::Tidy => tidy_command::run(&workspace),
        Command::Types => types::run(&workspace),
        Command::Demo(arguments) => demo::run(&workspace, arguments),
        Command::App => app::run(&workspace),
        Command::Bench(arguments) => bench::run(&workspace, arguments),
    });
    match outcome {
        Ok(code) => code,
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    }
}
