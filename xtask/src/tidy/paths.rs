//! No file names a place that only one machine has.

use super::{Finding, Rule, Text, Tree};

pub const RULE: Rule = Rule {
    name: "paths",
    reason: "an absolute path of somebody's machine works there and nowhere else; take it from an argument, the \
             environment or a temporary folder made for the purpose",
    check,
};

const PLACES: &[&str] = &["/work/", "/root/", "/home/", "/Users/", "/tmp/"];

fn check(tree: &Tree) -> Vec<Finding> {
    tree.judged().flat_map(in_text).collect()
}

fn in_text(text: &Text) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (line, content) in text.lines() {
        for place in PLACES {
            let named = content.match_indices(place).any(|(start, _)| {
                // Inside a longer path or an address it is something else.
                !content[..start]
                    .ends_with(|before: char| before.is_alphanumeric() || "._-/}~)".contains(before))
            });
            if named {
                findings.push(text.finding(line, format!("names {place}")));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_home_folder_is_found_and_a_path_of_the_project_is_not() {
        let tree = Tree::of(&[
            ("a.md", "run it in `/home/ana/turnwise`\n"),
            ("b.rs", "let path = \"/tmp/x\";\n"),
            (
                "c.md",
                "see docs/work/plan.md and https://example.org/home/page\n",
            ),
            ("d.sh", "cd \"$HOME/work/x\"; ls ${CACHE}/tmp/y\n"),
        ]);
        let found: Vec<String> = check(&tree).into_iter().map(|finding| finding.path).collect();
        assert_eq!(found, ["a.md", "b.rs"]);
    }
}
