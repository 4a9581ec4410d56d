//! What a page points at is there.

use super::{Finding, Rule, Tree};
use std::path::{Component, Path, PathBuf};

pub const RULE: Rule = Rule {
    name: "links",
    reason: "a page that points at a file that moved sends its reader nowhere",
    check,
};

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged().filter(|text| text.is(&[".md"])) {
        for (line, content) in text.lines() {
            for target in targets(content) {
                let there = resolve(&text.path, target).is_some_and(|path| is_there(tree, &path));
                if !there {
                    findings.push(text.finding(line, format!("points at {target:?}, which is not there")));
                }
            }
        }
    }
    findings
}

/// The files that `](...)` points at; addresses and headings are left out.
fn targets(line: &str) -> impl Iterator<Item = &str> {
    line.split("](")
        .skip(1)
        .filter_map(|rest| rest.split([')', '#', ' ']).next())
        .filter(|target| !target.is_empty() && !target.contains("://") && !target.starts_with("mailto:"))
}

/// The path from the root, if it stays inside.
fn resolve(page: &str, target: &str) -> Option<String> {
    let mut path = PathBuf::from(page);
    path.pop();
    for part in Path::new(target).components() {
        match part {
            Component::Normal(name) => path.push(name),
            Component::CurDir => {}
            Component::ParentDir => {
                if !path.pop() {
                    return None;
                }
            }
            Component::RootDir | Component::Prefix(_) => return None,
        }
    }
    path.to_str().map(str::to_owned)
}

fn is_there(tree: &Tree, path: &str) -> bool {
    let folder = format!("{path}/");
    path.is_empty()
        || tree.paths.contains(path)
        || tree
            .paths
            .range(folder.clone()..)
            .next()
            .is_some_and(|next| next.starts_with(&folder))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dead_and_outside_links_are_found_and_live_ones_are_not() {
        let page = "[a](b.md) [c](../README.md#top) [d](../core) [e](https://example.org) [f](gone.md) [g](../../x.md)";
        let tree = Tree::of(&[
            ("docs/a.md", page),
            ("docs/b.md", ""),
            ("README.md", ""),
            ("core/src/lib.rs", ""),
        ]);
        let found: Vec<String> = check(&tree).into_iter().map(|finding| finding.what).collect();
        assert_eq!(
            found,
            [
                "points at \"gone.md\", which is not there",
                "points at \"../../x.md\", which is not there"
            ]
        );
    }
}
