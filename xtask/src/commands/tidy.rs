//! `cargo xtask tidy`: the house rules alone.

use crate::tidy;
use crate::workspace::Workspace;
use anyhow::Result;
use std::process::ExitCode;

/// Prints what breaks a rule, with the rule's reason.
pub fn run(workspace: &Workspace) -> Result<ExitCode> {
    let broken = tidy::check(workspace)?;
    if broken == 0 {
        println!("tidy");
        return Ok(ExitCode::SUCCESS);
    }
    println!("{broken} rules are broken");
    Ok(ExitCode::FAILURE)
}
