//! A decision says what it was about and what was not taken.

use super::{Finding, Rule, Tree};

pub const RULE: Rule = Rule {
    name: "decisions",
    reason: "who comes later must see why it is so and what was tried, or they will try it again",
    check,
};

const HEADINGS: &[&str] = &["## Context", "## Choice", "## Rejected"];

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged() {
        if !text.path.starts_with("docs/decisions/") || !text.is(&[".md"]) {
            continue;
        }
        for heading in HEADINGS {
            let mut after = text.text.lines().skip_while(|line| line != heading).skip(1);
            let said = after.find(|line| !line.trim().is_empty());
            if said.is_none_or(|line| line.starts_with("## ")) {
                findings.push(text.finding(0, format!("says nothing under {heading:?}")));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_and_an_empty_part_are_found() {
        let tree = Tree::of(&[(
            "docs/decisions/0001-x.md",
            "# X\n\n## Context\nWhy.\n\n## Choice\n\n## Something\nElse.\n",
        )]);
        assert_eq!(check(&tree).len(), 2);
    }

    #[test]
    fn a_full_one_is_fine() {
        let text = "# X\n\n## Context\nWhy.\n\n## Choice\nThis.\n\n## Rejected\nThat.\n";
        assert_eq!(check(&Tree::of(&[("docs/decisions/0001-x.md", text)])), []);
    }
}
