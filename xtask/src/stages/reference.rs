//! Live cross-checks against libraries of others, in a Python environment of their own.

use crate::run::{Counts, pytest, run as start, run_counted};
use crate::workspace::Workspace;
use anyhow::{Context, Result};
use std::fs;
use std::process::Command;

/// Installs the pinned libraries where that has not been done, and runs pytest.
pub fn run(workspace: &Workspace) -> Result<Counts> {
    let environment = workspace.target.join("reference");
    let pins = fs::read_to_string(workspace.at("tests/reference/requirements.txt"))
        .context("tests/reference/requirements.txt cannot be read")?;
    // Written last, so that an install that was cut off is done again.
    let stamp = environment.join("installed.txt");
    if fs::read_to_string(&stamp).ok().as_deref() != Some(&pins) {
        start(
            Command::new("python3")
                .args(["-m", "venv", "--clear"])
                .arg(&environment),
        )?;
        start(
            Command::new(environment.join("bin/python"))
                .args([
                    "-m",
                    "pip",
                    "install",
                    "--quiet",
                    "--disable-pip-version-check",
                    "--requirement",
                ])
                .arg(workspace.at("tests/reference/requirements.txt")),
        )?;
        fs::write(&stamp, &pins)?;
    }
    let mut command = Command::new(environment.join("bin/python"));
    command
        .args(["-m", "pytest", "-p", "no:cacheprovider", "tests/reference"])
        .current_dir(&workspace.root)
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .env("TURNWISE_BIN", workspace.program("turnwise"));
    run_counted(&mut command, pytest)
}
