//! Room on the disk. A build that fills it dies far from the cause, with a message of the linker's or the compiler's.

use crate::run::{Counts, output};
use crate::workspace::Workspace;
use anyhow::{Context, Result, ensure};
use std::process::Command;

/// What must be free, in gigabytes, where the build directory holds nothing yet: what a whole run wrote from nothing,
/// and some more.
const FROM_NOTHING: u64 = 14;

/// What must be free for a run that builds only what changed.
const MORE_TO_BUILD: u64 = 4;

/// Fails early, and says what is missing, where a run would fill the disk.
pub fn check(workspace: &Workspace) -> Result<Counts> {
    std::fs::create_dir_all(&workspace.target)?;
    let told = output(Command::new("df").args(["-Pk"]).arg(&workspace.target))?;
    let free = free(&told).with_context(|| format!("df says what was not understood: {told}"))?;
    let built = workspace.target.join("debug").join("deps").is_dir();
    let needed = if built { MORE_TO_BUILD } else { FROM_NOTHING };
    println!(
        "{free} GB free at {}, {needed} GB needed",
        workspace.target.display()
    );
    ensure!(
        free >= needed,
        "{free} GB are free at {}, and {needed} GB are needed: make room, or set CARGO_TARGET_DIR to another disk",
        workspace.target.display()
    );
    Ok(Counts::ONE)
}

/// Whole gigabytes available, out of what `df -Pk` prints for one place.
fn free(told: &str) -> Option<u64> {
    let kilobytes: u64 = told.lines().nth(1)?.split_whitespace().nth(3)?.parse().ok()?;
    Some(kilobytes / (1024 * 1024))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_free_is_read_from_the_fourth_column() {
        let told = "Filesystem 1024-blocks Used Available Capacity Mounted on\n/dev/sda1 100000000 40000000 12582912 40% /\n";
        assert_eq!(free(told), Some(12));
    }

    #[test]
    fn a_table_of_another_shape_is_not_guessed_at() {
        assert_eq!(free("df: no such file\n"), None);
        assert_eq!(free("Filesystem\n/dev/sda1 a b c d /\n"), None);
    }
}
