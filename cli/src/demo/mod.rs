//! `turnwise demo`: an office and two tablets on one machine, with links that can be cut.

pub mod crew;
pub mod hand;
mod live;
pub mod once;
pub mod proof;
pub mod proxy;
pub mod scenario;
mod valve;
mod walk;

use anyhow::{Context, bail};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use turnwise_core::record::export::Export;
use turnwise_record::pdf::{Lang, Options as PrintOptions, render};

/// How the demo is run.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// Run the whole job by script, print one JSON summary, and succeed only if everything holds.
    #[arg(long)]
    pub once: bool,
    /// Keep the data, the exported job and its printed record in this folder.
    #[arg(long)]
    pub keep: Option<PathBuf>,
}

/// Runs the demo.
pub async fn run(options: Options) -> anyhow::Result<ExitCode> {
    let temporary = tempfile::tempdir().context("there is no room for the demo's data")?;
    let dir = options.keep.as_deref().unwrap_or(temporary.path());
    if options.once {
        if let Some(kept) = &options.keep
            && !is_empty(kept)?
        {
            bail!(
                "{} holds data already; the scripted job starts from nothing",
                kept.display()
            );
        }
        let done = once::main_job(dir).await?;
        if options.keep.is_some() {
            std::fs::write(dir.join("export.json"), &done.export).context("the export cannot be written")?;
            std::fs::write(dir.join("export.csv"), &done.table).context("the table cannot be written")?;
            std::fs::write(dir.join("record.json"), &done.record).context("the record cannot be written")?;
            print(&done.export, dir)?;
        }
        println!("{}", serde_json::to_string(&done.summary)?);
        for (what, _) in done.summary.checked.iter().filter(|(_, held)| !**held) {
            eprintln!("does not hold: {what}");
        }
        return Ok(if done.summary.holds {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        });
    }
    live::run(dir).await
}

/// Leaves the record on paper, in either language.
fn print(export: &str, dir: &Path) -> anyhow::Result<()> {
    let export: Export = serde_json::from_str(export)?;
    for (lang, name) in [(Lang::En, "record.pdf"), (Lang::Es, "record.es.pdf")] {
        let options = PrintOptions {
            lang,
            ..PrintOptions::default()
        };
        // The scripted job takes no photographs.
        let pdf = render(&export, &|_| None, &options)?;
        std::fs::write(dir.join(name), pdf).context("the printed record cannot be written")?;
    }
    Ok(())
}

/// Whether a folder has nothing in it, or is not there yet.
fn is_empty(dir: &Path) -> anyhow::Result<bool> {
    match std::fs::read_dir(dir) {
        Ok(mut entries) => Ok(entries.next().is_none()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(true),
        Err(error) => Err(error).with_context(|| format!("{} cannot be read", dir.display())),
    }
}
