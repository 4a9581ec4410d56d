//! `turnwise verify`: who signed a record, and whether anything was changed since.

mod words;

use anyhow::Context;
use std::io::Read;
use std::path::PathBuf;
use turnwise_record::verify::{Report, verify};
use words::Words;

/// The most bytes of a file that are read.
const FILE_LIMIT: u64 = 256 * 1024 * 1024;

/// Exit codes: 0 signed and unchanged, 1 changed or a signature does not hold, 2 cannot be read, 3 unchanged as far as
/// can be told, but nobody signed it with a key, 4 signed or vouched for by another key than was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Somebody signed this very record, and nothing in the file was changed.
    Good = 0,
    /// Something was changed, or a signature is not what it says.
    Changed = 1,
    /// It is no record, or cannot be read.
    Unreadable = 2,
    /// Nobody signed it.
    NotSigned = 3,
    /// Signed, but not by the key that was asked for.
    OtherKey = 4,
}

/// What is verified, and how it is said.
#[derive(Clone, Debug, clap::Args)]
#[command(
    after_help = "Exit codes: 0 signed and unchanged; 1 changed, or a signature does not hold; 2 cannot be read; \
                  3 nobody signed it with a key; 4 signed by another key than --key, or not vouched for by --office-key."
)]
pub struct Options {
    /// An export or a record as JSON, or a PDF that carries one.
    pub file: PathBuf,
    /// The language of the answer.
    #[arg(long, default_value = "en", value_parser = ["en", "es"])]
    pub lang: String,
    /// The public key (hex) that must have signed it, known from elsewhere.
    #[arg(long)]
    pub key: Option<String>,
    /// The public key (hex) of the office that must vouch for the signer, known from elsewhere.
    #[arg(long)]
    pub office_key: Option<String>,
    /// Answer as one JSON object instead of words.
    #[arg(long)]
    pub json: bool,
}

/// An answer: what to print, and how it came out.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What to print.
    pub text: String,
    /// How it came out.
    pub outcome: Outcome,
}

/// Verifies a file.
///
/// # Errors
/// Only where the answer itself cannot be written.
pub fn run(options: &Options) -> anyhow::Result<Answer> {
    let words = Words::of(&options.lang);
    let read = read(options);
    let bytes = match read {
        Ok(bytes) => bytes,
        Err(error) => return unreadable(options, words, "not_read", &format!("{error:#}")),
    };
    match verify(&bytes) {
        Ok(report) => {
            let outcome = outcome(&report, options.key.as_deref(), options.office_key.as_deref());
            let text = if options.json {
                let mut value = serde_json::to_value(&report)?;
                value["exit"] = (outcome as u8).into();
                value.to_string()
            } else {
                words.report(&report, outcome)
            };
            Ok(Answer { text, outcome })
        }
        Err(error) => unreadable(options, words, error.code(), &error.to_string()),
    }
}

/// How a report comes out.
fn outcome(report: &Report, key: Option<&str>, office: Option<&str>) -> Outcome {
    if !report.faults.is_empty() {
        return Outcome::Changed;
    }
    if !report.is_signed() {
        return Outcome::NotSigned;
    }
    let by_key = |key: &str| {
        report
            .signatures
            .iter()
            .any(|signature| signature.holds && signature.key.as_deref() == Some(key))
    };
    let by_office = |office: &str| {
        report
            .signatures
            .iter()
            .any(|signature| signature.holds && signature.office.as_deref() == Some(office))
    };
    if key.is_none_or(by_key) && office.is_none_or(by_office) {
        Outcome::Good
    } else {
        Outcome::OtherKey
    }
}

fn read(options: &Options) -> anyhow::Result<Vec<u8>> {
    let name = options.file.display();
    let file = std::fs::File::open(&options.file).with_context(|| format!("{name}"))?;
    let mut bytes = Vec::new();
    file.take(FILE_LIMIT + 1)
        .read_to_end(&mut bytes)
        .with_context(|| format!("{name}"))?;
    if bytes.len() as u64 > FILE_LIMIT {
        anyhow::bail!("{name}: larger than {FILE_LIMIT} bytes");
    }
    Ok(bytes)
}

fn unreadable(options: &Options, words: Words, code: &str, why: &str) -> anyhow::Result<Answer> {
    let outcome = Outcome::Unreadable;
    let text = if options.json {
        serde_json::to_string(&serde_json::json!({ "exit": outcome as u8, "code": code, "message": why }))?
    } else {
        words.unreadable(why)
    };
    Ok(Answer { text, outcome })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(name: &str, content: &[u8], lang: &str) -> Answer {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join(name);
        std::fs::write(&file, content).unwrap();
        let options = Options {
            file,
            lang: lang.to_owned(),
            key: None,
            office_key: None,
            json: false,
        };
        run(&options).unwrap()
    }

    #[test]
    fn a_file_that_is_none_of_ours_is_said_to_be_unreadable_in_both_languages() {
        let english = asked("a.json", b"{}", "en");
        assert_eq!(english.outcome, Outcome::Unreadable);
        assert!(english.text.starts_with("CANNOT BE READ"));
        assert!(asked("a.json", b"{}", "es").text.starts_with("NO SE PUEDE LEER"));
    }

    #[test]
    fn a_file_that_is_not_there_is_unreadable_and_no_crash() {
        let options = Options {
            file: PathBuf::from("no-such-file.json"),
            lang: "en".to_owned(),
            key: None,
            office_key: None,
            json: true,
        };
        let answer = run(&options).unwrap();
        assert_eq!(answer.outcome as u8, 2);
        assert!(answer.text.contains("\"code\":\"not_read\""));
    }
}
