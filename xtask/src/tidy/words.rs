//! Words that must not be in the project.

use super::{Finding, Rule, Tree, word};

pub const RULE: Rule = Rule {
    name: "words",
    reason: "what is unfinished belongs in an issue, and a name that says nothing hides what a thing is",
    check,
};

/// Unfinished work, and filler.
const UNFINISHED: &[&str] = &[
    "TODO",
    "FIXME",
    "XXX",
    "HACK",
    "WIP",
    "lorem ipsum",
    "Lorem ipsum",
];

/// Endings of type names that say nothing.
const EMPTY_NAMES: &[&str] = &["Manager", "Helper", "Helpers", "Util", "Utils"];

/// File names that say nothing.
const EMPTY_FILES: &[&str] = &["util", "utils", "helper", "helpers", "misc", "manager"];

/// What declares a type, in Rust and TypeScript.
const DECLARES: &[&str] = &["struct ", "enum ", "trait ", "class ", "interface ", "type "];

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged() {
        for part in text.path.split('/') {
            let stem = part.split('.').next().unwrap_or_default();
            if EMPTY_FILES.contains(&stem) {
                findings.push(text.finding(0, format!("{part:?} says nothing about what is in it")));
            }
        }
        // Lock files hold hashes and other people's names.
        if text.is(&["Cargo.lock", "package-lock.json"]) {
            continue;
        }
        for (line, content) in text.lines() {
            for unfinished in UNFINISHED.iter().filter(|one| word(content, one).is_some()) {
                findings.push(text.finding(line, format!("has {unfinished:?}")));
            }
            if let Some(name) = declared(content).filter(|name| is_empty(name)) {
                findings.push(text.finding(line, format!("{name:?} says nothing about what it is")));
            }
        }
    }
    findings
}

/// The type that a line declares, if it does.
fn declared(line: &str) -> Option<&str> {
    let start = DECLARES
        .iter()
        .find_map(|keyword| word(line, keyword.trim_end()).map(|start| start + keyword.len()))?;
    let rest = line.get(start..)?;
    let end = rest
        .find(|char: char| !char.is_alphanumeric() && char != '_')
        .unwrap_or(rest.len());
    Some(&rest[..end])
}

fn is_empty(name: &str) -> bool {
    EMPTY_NAMES.iter().any(|ending| name.ends_with(ending))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unfinished_work_and_empty_names_are_found() {
        let tree = Tree::of(&[
            ("a.rs", "// TODO: later\npub struct JobManager;\n"),
            ("b.ts", "export class ViewHelper {}\n"),
            ("core/src/utils.rs", ""),
        ]);
        assert_eq!(check(&tree).len(), 4);
    }

    #[test]
    fn words_that_only_contain_them_are_fine() {
        let tree = Tree::of(&[
            ("a.rs", "/// Help with a utility hole.\npub struct Utility;\n"),
            ("b.md", "The shackle, not the hack.\n"),
        ]);
        assert_eq!(check(&tree), []);
    }
}
