//! The owner's folder of procedure files.

use crate::procedure::{FoundFile, OWNER_MAX_BYTES};
use std::fs;
use std::io::Read;
use std::path::Path;

/// The most files of a folder that are looked at. An owner has a handful; a folder given by mistake may have
/// thousands.
const MOST_FILES: usize = 200;

/// The procedure files in a folder (`*.toml`), by name. A folder that is not there has none. Whatever cannot be read
/// is among them with the reason, so that somebody is told.
pub fn procedure_files(folder: &Path) -> Vec<FoundFile> {
    let listed = match fs::read_dir(folder) {
        Ok(listed) => listed,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Vec::new(),
        Err(error) => {
            tracing::warn!(folder = %folder.display(), %error, "the procedure folder cannot be read");
            return vec![FoundFile {
                name: folder.display().to_string(),
                text: Err("unreadable"),
            }];
        }
    };
    let mut found: Vec<FoundFile> = listed
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml") && !path.is_dir())
        .map(|path| FoundFile {
            name: path
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default(),
            text: text(&path),
        })
        .collect();
    found.sort_by(|a, b| a.name.cmp(&b.name));
    found.truncate(MOST_FILES);
    found
}

/// A file's text. Never more of it than may be used is read.
fn text(path: &Path) -> Result<String, &'static str> {
    let limit = OWNER_MAX_BYTES as u64 + 1;
    let mut bytes = Vec::new();
    fs::File::open(path)
        .and_then(|file| file.take(limit).read_to_end(&mut bytes))
        .map_err(|error| {
            tracing::warn!(file = %path.display(), %error, "a procedure file cannot be read");
            "unreadable"
        })?;
    if bytes.len() > OWNER_MAX_BYTES {
        return Err("too_large");
    }
    String::from_utf8(bytes).map_err(|_| "not_text")
}
