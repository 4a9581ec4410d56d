//! The Rust code. All stages build the whole workspace at once: building one package alone would unify features
//! differently and build its dependencies a second time.

use crate::run::{Counts, cargo_test, run, run_counted};
use crate::workspace::Workspace;
use anyhow::Result;

/// `cargo fmt --check`
pub fn format(workspace: &Workspace) -> Result<Counts> {
    run(workspace.cargo().args(["fmt", "--all", "--check"]))?;
    Ok(Counts::ONE)
}

/// `cargo clippy`, where a warning is an error
pub fn lint(workspace: &Workspace) -> Result<Counts> {
    run(workspace.cargo().args([
        "clippy",
        "--locked",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]))?;
    Ok(Counts::ONE)
}

/// Libraries, programs, tests and examples.
pub fn build(workspace: &Workspace) -> Result<Counts> {
    run(workspace
        .cargo()
        .args(["build", "--locked", "--workspace", "--all-targets"]))?;
    Ok(Counts::ONE)
}

/// Unit tests, integration tests and the examples in the documentation.
pub fn test(workspace: &Workspace) -> Result<Counts> {
    let mut command = workspace.cargo();
    command
        .args(["test", "--locked", "--workspace", "--no-fail-fast"])
        .env("TURNWISE_BIN", workspace.program("turnwise"));
    run_counted(&mut command, cargo_test)
}
