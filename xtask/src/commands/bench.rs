//! `cargo xtask bench`: how fast, measured on optimized code.

use crate::run::run as start;
use crate::workspace::Workspace;
use anyhow::Result;
use std::process::ExitCode;

/// What the bench program is told.
#[derive(clap::Args)]
pub struct Arguments {
    /// For the bench program
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

/// Builds the bench program and runs it: it prints a table and writes its figures to `bench.json` in cargo's
/// build directory.
pub fn run(workspace: &Workspace, arguments: &Arguments) -> Result<ExitCode> {
    let figures = workspace.target.join("bench.json");
    start(
        workspace
            .cargo()
            .args([
                "run",
                "--release",
                "--package",
                "turnwise-tests",
                "--bin",
                "bench",
                "--",
            ])
            .arg("--out")
            .arg(&figures)
            .args(&arguments.rest),
    )?;
    println!("The figures are in {}", figures.display());
    Ok(ExitCode::SUCCESS)
}
