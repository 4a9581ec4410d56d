//! The native window on a screen without a monitor.

use crate::run::{Counts, node_test, run_counted};
use crate::workspace::Workspace;
use anyhow::Result;

/// The tests need nothing from npm: the W3C protocol is a handful of HTTP calls.
pub fn run(workspace: &Workspace) -> Result<Counts> {
    let mut command = workspace.npm("tests/window");
    command
        .arg("test")
        .env("TURNWISE_APP", workspace.program("turnwise-app"))
        .env("TURNWISE_BIN", workspace.program("turnwise"));
    run_counted(&mut command, node_test)
}
