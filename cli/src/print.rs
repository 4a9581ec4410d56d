//! `turnwise print`: an export as a PDF.

use anyhow::Context;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use turnwise_record::pdf::{Options as PrintOptions, Wanted, render};
use turnwise_record::verify::export_in;

/// What is printed, and how.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// An export as JSON, or a PDF that carries one.
    pub file: PathBuf,
    /// Where the PDF goes; it must not be there yet.
    #[arg(long, default_value = "record.pdf")]
    pub out: PathBuf,
    /// The language of everything that was not typed by people: en or es.
    #[arg(long)]
    pub lang: Option<String>,
    /// A unit of pressure to show beside each pressure as it was read, such as kPa.
    #[arg(long)]
    pub pressure: Option<String>,
    /// A unit of flow likewise, such as L/s.
    #[arg(long)]
    pub flow: Option<String>,
    /// A folder with the photographs, under any name: each is known by its SHA-256.
    #[arg(long)]
    pub photographs: Option<PathBuf>,
}

/// Prints.
///
/// # Errors
/// Where there is no export, an option is none, or a file cannot be read or written.
pub fn run(options: &Options) -> anyhow::Result<()> {
    let wanted = Wanted {
        lang: options.lang.clone(),
        pressure: options.pressure.clone(),
        flow: options.flow.clone(),
    };
    let how = PrintOptions::try_from(&wanted)?;
    let name = options.file.display();
    let file = std::fs::read(&options.file).with_context(|| format!("{name} cannot be read"))?;
    let export = export_in(&file).with_context(|| format!("{name}"))?;
    let photographs = match &options.photographs {
        Some(folder) => photographs(folder).with_context(|| folder.display().to_string())?,
        None => BTreeMap::new(),
    };
    let pdf = render(&export, &|hash| photographs.get(hash).cloned(), &how)?;
    let out = options.out.display();
    let mut made =
        std::fs::File::create_new(&options.out).with_context(|| format!("{out} cannot be made"))?;
    std::io::Write::write_all(&mut made, &pdf).with_context(|| format!("{out} cannot be written"))
}

/// Every file of a folder by its hash.
fn photographs(folder: &Path) -> anyhow::Result<BTreeMap<String, Vec<u8>>> {
    let mut all = BTreeMap::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_file() {
            let bytes = std::fs::read(&path)?;
            all.insert(turnwise_core::record::digest(&bytes), bytes);
        }
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_export_is_not_printed_and_leaves_no_file() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("a.json");
        std::fs::write(&file, b"{}").unwrap();
        let out = dir.path().join("a.pdf");
        let options = Options {
            file,
            out: out.clone(),
            lang: None,
            pressure: None,
            flow: None,
            photographs: None,
        };
        assert!(run(&options).is_err());
        assert!(!out.exists());
    }
}
