//! A bounded run of every fuzz target. No sanitizer, so that the one toolchain the project uses is enough: what is
//! looked for is a panic or a hang, and there is no unsafe code of ours for a sanitizer to watch.

use crate::run::{Counts, output, run as start};
use crate::workspace::Workspace;
use anyhow::{Result, ensure};
use std::ffi::OsString;
use std::fs;
use std::process::Command;

/// Whichever comes first ends a target's run.
const RUNS: u32 = 20_000;
const SECONDS: u32 = 60;
/// An input that takes longer is a finding.
const SECONDS_PER_INPUT: u32 = 10;

/// Runs each target from its committed seeds, with the same random numbers every time.
pub fn run(workspace: &Workspace) -> Result<Counts> {
    let targets = output(cargo_fuzz(workspace)?.arg("list"))?;
    let targets: Vec<&str> = targets.split_whitespace().collect();
    ensure!(!targets.is_empty(), "tests/fuzz has no target");
    let mut counts = Counts::default();
    for target in targets {
        match run_target(workspace, target) {
            Ok(()) => counts.passed += 1,
            Err(error) => {
                println!("{target}: {error:#}");
                counts.failed += 1;
            }
        }
    }
    Ok(counts)
}

fn run_target(workspace: &Workspace, target: &str) -> Result<()> {
    // A corpus of its own, emptied first: yesterday's finds must not decide whether today's run finds anything.
    let corpus = workspace.target.join("fuzz-corpus").join(target);
    if corpus.exists() {
        fs::remove_dir_all(&corpus)?;
    }
    fs::create_dir_all(&corpus)?;
    let seeds = workspace.at("tests/fuzz/seeds").join(target);
    let mut command = cargo_fuzz(workspace)?;
    command
        .args(["run", "--sanitizer", "none", "--target-dir"])
        .arg(workspace.target.join("fuzz"))
        .arg(target)
        .arg(&corpus);
    if seeds.is_dir() {
        command.arg(seeds);
    }
    command
        .arg("--")
        .arg(format!("-runs={RUNS}"))
        .arg(format!("-max_total_time={SECONDS}"))
        .arg(format!("-timeout={SECONDS_PER_INPUT}"))
        .args(["-seed=1", "-print_final_stats=1"]);
    start(&mut command)
}

/// cargo-fuzz where `tools` put it. Its instrumentation flags are unstable; the variable lets the stable compiler
/// take them.
fn cargo_fuzz(workspace: &Workspace) -> Result<Command> {
    let mut path = OsString::from(workspace.tools().join("bin"));
    path.push(":");
    path.push(std::env::var_os("PATH").unwrap_or_default());
    let mut command = workspace.cargo();
    command
        .arg("fuzz")
        .current_dir(workspace.at("tests/fuzz"))
        .env_remove("CARGO_TARGET_DIR")
        .env("PATH", path)
        .env("RUSTC_BOOTSTRAP", "1");
    ensure!(
        workspace.at("tests/fuzz/Cargo.toml").is_file(),
        "tests/fuzz is not there"
    );
    Ok(command)
}
