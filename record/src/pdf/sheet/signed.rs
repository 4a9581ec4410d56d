//! Who signed, what that is worth, and what came after.

use super::eye::{Eye, printable};
use super::job::said_value;
use super::tables::columns;
use super::{Pair, Table, Verdict};
use crate::verify::{Report, SignatureReport};
use serde::Serialize;
use turnwise_core::record::content::EntryLine;

/// A signature as the page shows it.
#[derive(Serialize)]
pub(in crate::pdf) struct Signed {
    pub name: String,
    pub at: String,
    pub revision: String,
    /// Whether it is of this very record.
    pub of_this: bool,
    /// The shape beside it.
    pub shape: &'static str,
    /// What is known of the signer's key.
    pub key: String,
    /// The public key in groups; empty for a signature by name only.
    pub key_hex: String,
    /// The digest that was signed, where it is another record's.
    pub digest: String,
    /// Why the job was opened again after it.
    pub re_opened: Vec<String>,
}

/// Whether somebody stands by this record: for the top of the first page.
pub(super) fn state(eye: &Eye<'_>, report: &Report) -> Verdict {
    let by_name = report.signatures.iter().any(|one| one.key.is_none());
    let (shape, code) = if !report.faults.is_empty() {
        ("outside", "changed")
    } else if report.is_signed() {
        ("good", "signed")
    } else if by_name {
        ("look", "by_name")
    } else {
        ("not_known", "draft")
    };
    Verdict {
        title: format!("{} {}", eye.page("revision"), report.revision),
        shape,
        word: eye.code("state", code),
        text: eye.code("state_long", code),
    }
}

/// What does not hold, in words.
pub(super) fn faults(eye: &Eye<'_>, report: &Report) -> Vec<Pair> {
    report
        .faults
        .iter()
        .map(|fault| Pair::new(eye.code("fault", fault.code), printable(&fault.what)))
        .collect()
}

/// The signatures of this record, then those of earlier revisions.
pub(super) fn signatures(eye: &Eye<'_>, report: &Report) -> Vec<Signed> {
    let own = report.signatures.iter().map(|one| signature(eye, one, true));
    let earlier = report
        .earlier
        .iter()
        .zip(&eye.document.signatures)
        .map(|(one, line)| {
            let again = line.re_opened.iter().map(|again| {
                format!(
                    "{} {}: {}",
                    eye.page("re_opened"),
                    eye.said(&again.said),
                    printable(&again.reason)
                )
            });
            Signed {
                digest: hex(&line.digest),
                re_opened: again.collect(),
                ..signature(eye, one, false)
            }
        });
    own.chain(earlier).collect()
}

fn signature(eye: &Eye<'_>, one: &SignatureReport, of_this: bool) -> Signed {
    let key = match (&one.key, one.holds, one.vouched_for) {
        (None, ..) => "by_name",
        (Some(_), false, _) => "bad",
        (Some(_), true, false) => "not_vouched",
        (Some(_), true, true) => "vouched",
    };
    Signed {
        name: printable(&one.name),
        at: eye.when(&one.at),
        revision: one.revision.to_string(),
        of_this,
        shape: match key {
            "bad" => "outside",
            "by_name" => "look",
            _ if of_this => "good",
            _ => "not_known",
        },
        key: eye.code("key", key),
        key_hex: one.key.as_deref().map(hex).unwrap_or_default(),
        digest: String::new(),
        re_opened: Vec::new(),
    }
}

/// Hex of 32 bytes in one piece, so that it can be copied; whatever else it may be may break.
fn hex(text: &str) -> String {
    let is_hex = text.len() == 64 && text.bytes().all(|digit| digit.is_ascii_hexdigit());
    if is_hex { text.to_owned() } else { printable(text) }
}

/// How many entries came after the signature, in words.
pub(super) fn after(eye: &Eye<'_>, count: usize) -> String {
    match count {
        0 => String::new(),
        1 => eye.page("after_one"),
        many => format!("{many} {}", eye.page("after_many")),
    }
}

/// What came after the signature.
pub(super) fn addendum(eye: &Eye<'_>, entries: &[EntryLine]) -> Table {
    let name = |entry: &EntryLine| {
        let known = eye.document.people.get(&entry.by);
        printable(&known.cloned().unwrap_or_else(|| entry.by.to_string()))
    };
    let rows = (1..).zip(entries).map(|(number, entry): (usize, _)| {
        let kind = entry.body["kind"].as_str().unwrap_or_default();
        vec![
            format!("+{number}"),
            eye.when(&entry.at),
            eye.code("kind", kind),
            said_value(eye, &entry.body),
            name(entry),
        ]
    });
    columns(eye).table(
        "addendum",
        &[("no", 0), ("when", 0), ("what", 2), ("words", 5), ("who", 2)],
        rows.collect(),
    )
}
