//! Where things are.

use anyhow::{Context, Result};
use std::ffi::OsString;
use std::path::PathBuf;
use std::process::Command;

/// The checked-out project and its build directory.
pub struct Workspace {
    /// The folder with the top `Cargo.toml`.
    pub root: PathBuf,
    /// Where cargo builds to.
    pub target: PathBuf,
}

impl Workspace {
    /// Asks cargo, which knows every way to set the build directory.
    pub fn find() -> Result<Self> {
        // Cargo says it to what it runs. What was compiled in may name another clone that shared the build directory.
        let here = std::env::var_os("CARGO_MANIFEST_DIR")
            .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
        let output = Command::new(cargo())
            .args(["metadata", "--no-deps", "--format-version", "1"])
            .current_dir(here)
            .output()
            .context("cargo could not be started")?;
        anyhow::ensure!(
            output.status.success(),
            "cargo metadata failed: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let metadata: serde_json::Value = serde_json::from_slice(&output.stdout)?;
        let path = |key: &str| metadata[key].as_str().map(PathBuf::from);
        Ok(Self {
            root: path("workspace_root").context("cargo metadata names no workspace")?,
            target: path("target_directory").context("cargo metadata names no build directory")?,
        })
    }

    /// A path inside the project.
    pub fn at(&self, path: &str) -> PathBuf {
        self.root.join(path)
    }

    /// A program of ours, built for development.
    pub fn program(&self, name: &str) -> PathBuf {
        self.target.join("debug").join(name)
    }

    /// Where the tools are that `cargo install` builds for the checks.
    pub fn tools(&self) -> PathBuf {
        self.target.join("tools")
    }

    /// A cargo that runs in the project's root.
    pub fn cargo(&self) -> Command {
        let mut command = Command::new(cargo());
        command
            .current_dir(&self.root)
            .env("CARGO_TARGET_DIR", &self.target);
        command
    }

    /// An npm that runs in one of the project's folders.
    pub fn npm(&self, folder: &str) -> Command {
        let mut command = Command::new("npm");
        command.current_dir(self.at(folder));
        command
    }
}

fn cargo() -> OsString {
    std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into())
}
