//! What the checks need besides Rust and Node, installed where that is possible without asking.

use crate::run::{Counts, output, run};
use crate::workspace::Workspace;
use anyhow::{Context, Result, bail, ensure};
use std::collections::BTreeSet;
use std::process::{Command, Stdio};

/// Tools built with cargo. Pinned: a newer one is a change to be looked at.
const CARGO_TOOLS: &[(&str, &str)] = &[("cargo-fuzz", "0.13.2")];

/// The oldest Node that the screens' build tools run on (vite 8 names it in its package file).
const OLDEST_NODE: (u32, u32) = (20, 19);

/// Installs what is missing. Says what to install where it may not.
pub fn install(workspace: &Workspace) -> Result<Counts> {
    node()?;
    debian_packages()?;
    python()?;
    cargo_tools(workspace)?;
    Ok(Counts::ONE)
}

fn node() -> Result<()> {
    let found = output(Command::new("node").arg("--version"))
        .context("Node.js is needed, with npm")?
        .trim()
        .to_owned();
    let version = version(&found).with_context(|| format!("Node.js says it is {found:?}"))?;
    ensure!(
        version >= OLDEST_NODE,
        "Node.js {found} is too old: {}.{} or newer is needed",
        OLDEST_NODE.0,
        OLDEST_NODE.1
    );
    output(Command::new("npm").arg("--version")).context("npm is needed")?;
    Ok(())
}

/// Major and minor version out of `v20.20.2`.
fn version(text: &str) -> Option<(u32, u32)> {
    let mut parts = text.strip_prefix('v')?.split('.');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

/// The packages in `debian-packages.txt`.
pub fn debian_packages() -> Result<()> {
    let wanted = listed(include_str!("../../debian-packages.txt"));
    let known = Command::new("dpkg-query")
        .args(["--show", "--showformat", "${Package} ${db:Status-Status}\n"])
        .args(&wanted)
        .stderr(Stdio::null())
        .output()
        .with_context(|| {
            format!(
                "this is no Debian; install what these packages hold: {}",
                wanted.join(" ")
            )
        })?;
    let missing = missing(&wanted, &String::from_utf8_lossy(&known.stdout));
    install_debian(&missing)
}

fn install_debian(missing: &[&str]) -> Result<()> {
    if missing.is_empty() {
        return Ok(());
    }
    let line = format!(
        "apt-get install --yes --no-install-recommends {}",
        missing.join(" ")
    );
    if output(Command::new("id").arg("-u"))?.trim() != "0" {
        bail!("packages are missing; as root, run: {line}");
    }
    let apt = || {
        let mut command = Command::new("apt-get");
        command
            .env("DEBIAN_FRONTEND", "noninteractive")
            .stdin(Stdio::null());
        command
    };
    run(apt().args(["update", "--quiet"]))?;
    run(apt()
        .args(["install", "--quiet", "--yes", "--no-install-recommends"])
        .args(missing))
    .with_context(|| format!("could not be installed: {line}"))
}

/// Names from the list; `#` starts a comment.
fn listed(text: &str) -> Vec<&str> {
    text.lines()
        .map(|line| line.split('#').next().unwrap_or_default().trim())
        .filter(|name| !name.is_empty())
        .collect()
}

/// Those of `wanted` that dpkg does not call installed.
fn missing<'a>(wanted: &[&'a str], dpkg: &str) -> Vec<&'a str> {
    let installed: BTreeSet<&str> = dpkg
        .lines()
        .filter_map(|line| line.strip_suffix(" installed"))
        .collect();
    wanted
        .iter()
        .copied()
        .filter(|name| !installed.contains(name))
        .collect()
}

/// Debian keeps a part of Python that makes virtual environments in a package of its own.
fn python() -> Result<()> {
    let complete = Command::new("python3")
        .args(["-c", "import ensurepip, venv"])
        .stderr(Stdio::null())
        .status();
    match complete {
        Ok(status) if status.success() => Ok(()),
        _ => install_debian(&["python3", "python3-venv"]),
    }
}

fn cargo_tools(workspace: &Workspace) -> Result<()> {
    let root = workspace.tools();
    std::fs::create_dir_all(&root)?;
    let installed = output(workspace.cargo().args(["install", "--list", "--root"]).arg(&root))?;
    for (name, version) in CARGO_TOOLS {
        if !installed
            .lines()
            .any(|line| line == format!("{name} v{version}:"))
        {
            run(workspace
                .cargo()
                .args(["install", "--locked", "--root"])
                .arg(&root)
                .arg(format!("{name}@{version}")))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_empty_lines_are_no_packages() {
        assert_eq!(listed("# why\n\nstrace\nxvfb # a screen\n"), ["strace", "xvfb"]);
    }

    #[test]
    fn a_package_that_is_only_half_there_is_missing() {
        let dpkg = "strace installed\nxvfb config-files\n";
        assert_eq!(missing(&["strace", "xvfb", "dbus"], dpkg), ["xvfb", "dbus"]);
    }

    #[test]
    fn the_versions_of_node_are_compared_as_numbers() {
        assert_eq!(version("v20.20.2"), Some((20, 20)));
        assert!(version("v20.9.0").unwrap() < OLDEST_NODE);
        assert_eq!(version("twenty"), None);
    }
}
