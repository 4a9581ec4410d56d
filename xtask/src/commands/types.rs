//! `cargo xtask types`: what the screens know of the core's types comes from the core.

use crate::run::run as start;
use crate::stages::types::{COMMITTED, export};
use crate::workspace::Workspace;
use anyhow::Result;
use std::process::ExitCode;

/// Writes `ui/src/generated` anew: types that are gone leave no file behind.
pub fn run(workspace: &Workspace) -> Result<ExitCode> {
    start(workspace.cargo().args([
        "build",
        "--package",
        "turnwise-office",
        "--example",
        "export_types",
    ]))?;
    export(workspace, &workspace.at(COMMITTED))?;
    println!("{COMMITTED} is up to date");
    Ok(ExitCode::SUCCESS)
}
