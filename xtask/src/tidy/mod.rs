//! House rules that a program can check. Each is one file with its reason and its tests: a sample that breaks the
//! rule must be found, one that keeps it must not.

mod arrows;
mod decisions;
mod length;
mod links;
mod lints;
mod locks;
mod paths;
mod purity;
mod rust_text;
mod skipped;
mod words;

use crate::run::output;
use crate::workspace::Workspace;
use anyhow::Result;
use std::collections::BTreeSet;
use std::fmt;
use std::process::Command;

/// One rule.
struct Rule {
    /// Its name, for the message.
    name: &'static str,
    /// Why we have it, for the message.
    reason: &'static str,
    /// What breaks it.
    check: fn(&Tree) -> Vec<Finding>,
}

const RULES: &[Rule] = &[
    arrows::RULE,
    purity::RULE,
    length::RULE,
    skipped::RULE,
    paths::RULE,
    locks::RULE,
    decisions::RULE,
    lints::RULE,
    words::RULE,
    links::RULE,
];

/// The project's files as git knows them.
struct Tree {
    /// Every file's path from the root, with `/`.
    paths: BTreeSet<String>,
    /// Those that are text.
    texts: Vec<Text>,
}

/// A text file.
struct Text {
    path: String,
    text: String,
}

/// A place that breaks a rule.
#[derive(Debug, PartialEq, Eq)]
struct Finding {
    path: String,
    /// From 1; 0 where the whole file is meant.
    line: usize,
    what: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line == 0 {
            write!(out, "{}: {}", self.path, self.what)
        } else {
            write!(out, "{}:{}: {}", self.path, self.line, self.what)
        }
    }
}

impl Text {
    /// Whether the name ends in one of these.
    fn is(&self, endings: &[&str]) -> bool {
        endings.iter().any(|ending| self.path.ends_with(ending))
    }

    /// Lines with their numbers from 1.
    fn lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.text
            .lines()
            .enumerate()
            .map(|(index, line)| (index + 1, line))
    }

    fn finding(&self, line: usize, what: impl Into<String>) -> Finding {
        Finding {
            path: self.path.clone(),
            line,
            what: what.into(),
        }
    }
}

impl Tree {
    /// What is committed or could be: ignored files are nobody's business.
    fn read(workspace: &Workspace) -> Result<Self> {
        let listed = output(
            Command::new("git")
                .args(["ls-files", "--cached", "--others", "--exclude-standard", "-z"])
                .current_dir(&workspace.root),
        )?;
        let mut tree = Self {
            paths: BTreeSet::new(),
            texts: Vec::new(),
        };
        for path in listed.split('\0').filter(|path| !path.is_empty()) {
            // A file that git knows and that is gone from the work tree is a deletion not yet committed.
            let Ok(bytes) = std::fs::read(workspace.at(path)) else {
                continue;
            };
            tree.paths.insert(path.to_owned());
            if let Ok(text) = String::from_utf8(bytes) {
                tree.texts.push(Text {
                    path: path.to_owned(),
                    text,
                });
            }
        }
        Ok(tree)
    }

    /// Text files but for the rules themselves, which have to name what they forbid.
    fn judged(&self) -> impl Iterator<Item = &Text> {
        self.texts
            .iter()
            .filter(|text| !text.path.starts_with("xtask/src/tidy/"))
    }

    #[cfg(test)]
    fn of(files: &[(&str, &str)]) -> Self {
        Self {
            paths: files.iter().map(|(path, _)| (*path).to_owned()).collect(),
            texts: files
                .iter()
                .map(|(path, text)| Text {
                    path: (*path).to_owned(),
                    text: (*text).to_owned(),
                })
                .collect(),
        }
    }
}

/// Prints every finding with its rule's reason. Returns how many rules are broken.
pub fn check(workspace: &Workspace) -> Result<usize> {
    let tree = Tree::read(workspace)?;
    let mut broken = 0;
    for rule in RULES {
        let findings = (rule.check)(&tree);
        if findings.is_empty() {
            continue;
        }
        broken += 1;
        println!("{}: {}", rule.name, rule.reason);
        for finding in findings {
            println!("  {finding}");
        }
    }
    Ok(broken)
}

/// Where `needle` begins in `line` as a word of its own, if it does.
fn word(line: &str, needle: &str) -> Option<usize> {
    let inside = |char: Option<char>| char.is_some_and(|char| char.is_alphanumeric() || char == '_');
    line.match_indices(needle).map(|(start, _)| start).find(|&start| {
        !inside(line[..start].chars().next_back()) && !inside(line[start + needle.len()..].chars().next())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_not_found_inside_another() {
        assert_eq!(word("see todo", "todo"), Some(4));
        assert_eq!(word("mastodon", "todo"), None);
        assert_eq!(word("todo_list", "todo"), None);
    }
}
