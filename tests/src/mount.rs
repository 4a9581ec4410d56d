//! File systems of a test's own: a small one to fill, and a read-only view of a folder.

use anyhow::{Context, Result, bail};
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// A mount point that is unmounted when this value goes.
#[derive(Debug)]
pub struct Mount {
    /// Removed after the unmounting: fields are dropped after [`Drop::drop`] has run.
    point: TempDir,
}

impl Mount {
    /// A file system in memory with room for so many KB.
    ///
    /// # Errors
    /// Where mounting is not permitted: the test then cannot show what it is for, and must fail.
    pub fn small(kilobytes: u32) -> Result<Self> {
        Self::new(&["-t", "tmpfs", "-o", &format!("size={kilobytes}k"), "tmpfs"])
    }

    /// A folder seen read-only.
    ///
    /// # Errors
    /// As [`Mount::small`].
    pub fn read_only(folder: &Path) -> Result<Self> {
        let folder = folder.to_str().context("the folder's name is not text")?;
        let mount = Self::new(&["--bind", folder])?;
        run("mount", &["-o", "remount,bind,ro"], mount.path())?;
        Ok(mount)
    }

    fn new(arguments: &[&str]) -> Result<Self> {
        let point = tempfile::tempdir()?;
        run("mount", arguments, point.path())?;
        Ok(Self { point })
    }

    /// Where it is mounted.
    pub fn path(&self) -> &Path {
        self.point.path()
    }

    /// Fills what room is left with a file of its own, which can be removed again.
    ///
    /// # Errors
    /// Where it could not be filled.
    pub fn fill(&self) -> Result<PathBuf> {
        use std::io::{ErrorKind, Write};
        let path = self.path().join("ballast");
        let mut file = std::fs::File::create(&path)?;
        // Large pieces first, then what is left of the last.
        for size in [64 * 1024, 4 * 1024, 1] {
            loop {
                match file.write(&vec![0; size]) {
                    Ok(_) => {}
                    Err(error) if error.kind() == ErrorKind::StorageFull => break,
                    Err(error) => return Err(error.into()),
                }
            }
        }
        Ok(path)
    }
}

impl Drop for Mount {
    fn drop(&mut self) {
        if let Err(error) = run("umount", &[], self.point.path()) {
            eprintln!("{} stays mounted: {error:#}", self.point.path().display());
        }
    }
}

fn run(program: &str, arguments: &[&str], point: &Path) -> Result<()> {
    let output = Command::new(program).args(arguments).arg(point).output()?;
    if !output.status.success() {
        bail!(
            "{program} {}: {} (this test needs the right to mount, as root has it)",
            arguments.join(" "),
            String::from_utf8_lossy(&output.stderr).trim()
        );
    }
    Ok(())
}
