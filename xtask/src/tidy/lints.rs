//! Every crate takes the workspace's lints.

use super::{Finding, Rule, Tree};

pub const RULE: Rule = Rule {
    name: "lints",
    reason: "a crate without `[lints] workspace = true` is checked by no rule of the house, and nobody notices",
    check,
};

fn check(tree: &Tree) -> Vec<Finding> {
    tree.judged()
        .filter(|text| text.path == "Cargo.toml" || text.is(&["/Cargo.toml"]))
        .filter_map(|text| {
            let has = |line: &str| text.text.lines().any(|one| one.trim() == line);
            // A workspace of its own cannot inherit.
            if has("[workspace]") || !has("[package]") {
                return None;
            }
            let mut after = text
                .text
                .lines()
                .skip_while(|line| line.trim() != "[lints]")
                .skip(1);
            let inherits = after.next().is_some_and(|line| line.trim() == "workspace = true");
            (!inherits).then(|| text.finding(0, "does not take the workspace's lints"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crate_without_them_is_found() {
        let tree = Tree::of(&[
            ("a/Cargo.toml", "[package]\nname = \"a\"\n"),
            (
                "b/Cargo.toml",
                "[package]\nname = \"b\"\n\n[lints]\nworkspace = true\n",
            ),
            (
                "tests/fuzz/Cargo.toml",
                "[package]\nname = \"c\"\n\n[workspace]\n",
            ),
        ]);
        let found: Vec<String> = check(&tree).into_iter().map(|finding| finding.path).collect();
        assert_eq!(found, ["a/Cargo.toml"]);
    }
}
