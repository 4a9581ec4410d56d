//! `cargo xtask demo`: the whole job on this machine.

use crate::run::run as start;
use crate::stages::ui;
use crate::workspace::Workspace;
use anyhow::{Context, Result};
use std::process::{Command, ExitCode};

/// What `turnwise demo` is told; see `cargo xtask demo -- --help`.
#[derive(clap::Args)]
pub struct Arguments {
    /// For `turnwise demo`, such as --once
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

/// Builds the screens and the program if they are not up to date, and hands over to it.
pub fn run(workspace: &Workspace, arguments: &Arguments) -> Result<ExitCode> {
    ui::build_if_stale(workspace)?;
    start(
        workspace
            .cargo()
            .args(["build", "--package", "turnwise-cli", "--bin", "turnwise"]),
    )?;
    let status = Command::new(workspace.program("turnwise"))
        .arg("demo")
        .args(&arguments.rest)
        .status()
        .context("turnwise could not be started")?;
    Ok(if status.success() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}
