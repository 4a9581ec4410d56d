//! The TypeScript types are written from the Rust ones and committed, so that a change of them is seen in review.

use crate::run::{Counts, run};
use crate::workspace::Workspace;
use anyhow::{Context, Result, bail};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

/// Where the committed ones are.
pub const COMMITTED: &str = "ui/src/generated";

/// Fails if the committed types are not what the Rust code says now.
pub fn check(workspace: &Workspace) -> Result<Counts> {
    let fresh = workspace.target.join("types");
    export(workspace, &fresh)?;
    let differing = differing(&read(&fresh)?, &read(&workspace.at(COMMITTED))?);
    if !differing.is_empty() {
        bail!(
            "{COMMITTED} is not what the Rust code says; run `cargo xtask types` and commit: {}",
            differing.join(", ")
        );
    }
    Ok(Counts::ONE)
}

/// Empties a folder and writes the types into it. Wants the exporter built.
pub fn export(workspace: &Workspace, into: &Path) -> Result<()> {
    if into.exists() {
        fs::remove_dir_all(into).with_context(|| format!("{} cannot be emptied", into.display()))?;
    }
    fs::create_dir_all(into)?;
    run(Command::new(workspace.program("examples/export_types")).arg(into))
}

fn read(dir: &Path) -> Result<BTreeMap<String, String>> {
    let mut files = BTreeMap::new();
    read_into(dir, "", &mut files).with_context(|| format!("{} cannot be read", dir.display()))?;
    Ok(files)
}

fn read_into(dir: &Path, prefix: &str, files: &mut BTreeMap<String, String>) -> Result<()> {
    for entry in fs::read_dir(dir)? {
        let entry = entry?;
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            read_into(&entry.path(), &format!("{name}/"), files)?;
        } else {
            files.insert(name, fs::read_to_string(entry.path())?);
        }
    }
    Ok(())
}

/// Files that are in one and not the other, or not the same in both.
fn differing(fresh: &BTreeMap<String, String>, committed: &BTreeMap<String, String>) -> Vec<String> {
    let mut names: Vec<String> = fresh.keys().chain(committed.keys()).cloned().collect();
    names.sort();
    names.dedup();
    names.retain(|name| fresh.get(name) != committed.get(name));
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(list: &[(&str, &str)]) -> BTreeMap<String, String> {
        list.iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect()
    }

    #[test]
    fn a_changed_a_new_and_a_forgotten_file_all_differ() {
        let fresh = files(&[("same.ts", "1"), ("changed.ts", "2"), ("new.ts", "3")]);
        let committed = files(&[("same.ts", "1"), ("changed.ts", "1"), ("forgotten.ts", "4")]);
        assert_eq!(
            differing(&fresh, &committed),
            ["changed.ts", "forgotten.ts", "new.ts"]
        );
    }
}
