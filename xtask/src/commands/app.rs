//! `cargo xtask app`: the tablet in its own window.

use crate::run::run as start;
use crate::stages::{tools, ui};
use crate::workspace::Workspace;
use anyhow::Result;
use std::process::{Command, ExitCode};

/// Builds the screens and the native shell, and opens the window. `TURNWISE_DATA` names another data folder.
pub fn run(workspace: &Workspace) -> Result<ExitCode> {
    tools::debian_packages()?;
    ui::build_if_stale(workspace)?;
    start(workspace.cargo().args(["build", "--package", "turnwise-app"]))?;
    start(&mut Command::new(workspace.program("turnwise-app")))?;
    Ok(ExitCode::SUCCESS)
}
