//! The scripted job, without a browser.

use crate::run::{Counts, output};
use crate::workspace::Workspace;
use anyhow::{Context, Result};
use std::process::Command;

/// `turnwise demo --once` exits 0 only if everything it says holds; what it says must be one JSON value.
pub fn run(workspace: &Workspace) -> Result<Counts> {
    let printed = output(Command::new(workspace.program("turnwise")).args(["demo", "--once"]))?;
    println!("{}", printed.trim_end());
    serde_json::from_str::<serde_json::Value>(&printed).context("the summary is not one JSON value")?;
    Ok(Counts::ONE)
}
