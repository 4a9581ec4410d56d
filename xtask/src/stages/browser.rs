//! The main job in a real browser.

use crate::run::{Counts, node_test, run as start, run_counted};
use crate::workspace::Workspace;
use anyhow::Result;

/// Debian's browser; `CHROMIUM` names another.
const BROWSER: &str = "/usr/bin/chromium";

/// Installs the driver from the lock file and runs the tests.
pub fn run(workspace: &Workspace) -> Result<Counts> {
    start(workspace.npm("tests/browser").arg("ci"))?;
    let mut command = workspace.npm("tests/browser");
    command
        .args(["test"])
        .env("TURNWISE_BIN", workspace.program("turnwise"));
    if std::env::var_os("CHROMIUM").is_none() {
        command.env("CHROMIUM", BROWSER);
    }
    run_counted(&mut command, node_test)
}
