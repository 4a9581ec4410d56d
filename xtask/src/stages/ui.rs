//! The screens.

use crate::run::{Counts, run, run_counted, vitest};
use crate::workspace::Workspace;
use anyhow::{Context, Result, ensure};
use std::fs;
use std::path::Path;
use std::time::SystemTime;

const BUILT: &str = "ui/dist/index.html";
const INSTALLED: &str = "ui/node_modules/.package-lock.json";

/// Installs from the lock file and builds.
pub fn build(workspace: &Workspace) -> Result<Counts> {
    run(workspace.npm("ui").arg("ci"))?;
    run(workspace.npm("ui").args(["run", "build"]))?;
    ensure!(
        workspace.at(BUILT).is_file(),
        "the build of the screens left no {BUILT}"
    );
    Ok(Counts::ONE)
}

/// For people in a hurry: installs and builds only if something changed since.
pub fn build_if_stale(workspace: &Workspace) -> Result<()> {
    let lock = newest(&workspace.at("ui/package-lock.json"))?;
    if changed(&workspace.at(INSTALLED))?.is_none_or(|installed| installed < lock) {
        run(workspace.npm("ui").arg("ci"))?;
    }
    let mut sources = lock;
    for entry in fs::read_dir(workspace.at("ui"))? {
        let path = entry?.path();
        let name = path
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or_default();
        if name != "dist" && name != "node_modules" {
            sources = sources.max(newest(&path)?);
        }
    }
    if changed(&workspace.at(BUILT))?.is_none_or(|built| built < sources) {
        run(workspace.npm("ui").args(["run", "build"]))?;
    }
    Ok(())
}

/// svelte-check: the types of scripts and templates.
pub fn check(workspace: &Workspace) -> Result<Counts> {
    run(workspace.npm("ui").args(["run", "check"]))?;
    Ok(Counts::ONE)
}

/// The tests of the screens' parts.
pub fn test(workspace: &Workspace) -> Result<Counts> {
    run_counted(workspace.npm("ui").args(["run", "test"]), vitest)
}

/// When a file last changed, if it is there.
fn changed(path: &Path) -> Result<Option<SystemTime>> {
    match fs::metadata(path) {
        Ok(file) => Ok(Some(file.modified()?)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error).with_context(|| format!("{} cannot be read", path.display())),
    }
}

/// The newest change in a file or folder. A folder's own time counts too: that is where a deletion shows.
fn newest(path: &Path) -> Result<SystemTime> {
    let mut newest = changed(path)?.with_context(|| format!("{} is missing", path.display()))?;
    if path.is_dir() {
        for entry in fs::read_dir(path)? {
            newest = newest.max(self::newest(&entry?.path())?);
        }
    }
    Ok(newest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn the_newest_change_is_found_in_the_depth_of_a_folder() {
        let dir = tempfile::tempdir().unwrap();
        let deep = dir.path().join("a/b");
        fs::create_dir_all(&deep).unwrap();
        fs::write(deep.join("c.ts"), "").unwrap();
        let later = SystemTime::now() + Duration::from_hours(1);
        fs::File::options()
            .write(true)
            .open(deep.join("c.ts"))
            .unwrap()
            .set_modified(later)
            .unwrap();
        assert_eq!(newest(dir.path()).unwrap(), later);
    }

    #[test]
    fn a_file_that_is_not_there_has_no_time() {
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(changed(&dir.path().join("none")).unwrap(), None);
        assert!(newest(&dir.path().join("none")).is_err());
    }
}
