//! In core, imports run only downward.

use super::{Finding, Rule, Tree, rust_text};

pub const RULE: Rule = Rule {
    name: "arrows",
    reason: "a module of core may use those below it and none above or beside it, so that each can be read, \
             tested and changed knowing only what is below",
    check,
};

/// From the bottom up. Modules in one row do not know each other.
const ROWS: &[&[&str]] = &[
    &["quantity"],
    &["hydraulics", "gauge"],
    &["setting", "steady"],
    &["logger"],
    &["diagnosis"],
    &["journal"],
    &["procedure"],
    &["findings"],
    &["review"],
    &["record"],
    &["store", "link"],
    &["tablet"],
];

fn row(module: &str) -> Option<usize> {
    ROWS.iter().position(|row| row.contains(&module))
}

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged() {
        let Some(inside) = text.path.strip_prefix("core/src/") else {
            continue;
        };
        if inside == "lib.rs" || !text.is(&[".rs"]) {
            continue;
        }
        let own = inside.split(['/', '.']).next().unwrap_or_default();
        let Some(own_row) = row(own) else {
            findings.push(text.finding(
                0,
                format!("{own} has no place in the rows of xtask/src/tidy/arrows.rs"),
            ));
            continue;
        };
        for (line, path) in rust_text::paths(&rust_text::code(&text.text)) {
            let Some(used) = path
                .strip_prefix("crate::")
                .and_then(|rest| rest.split("::").next())
            else {
                continue;
            };
            if used != own && row(used).is_some_and(|used| used >= own_row) {
                findings.push(text.finding(line, format!("{own} uses {used}, which is not below it")));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looking_down_is_allowed() {
        let tree = Tree::of(&[
            (
                "core/src/review/mod.rs",
                "use crate::journal::Entry;\nuse crate::review::item::Item;\n",
            ),
            (
                "core/src/tablet/mod.rs",
                "use crate::{link::Session, store::Store};\n",
            ),
        ]);
        assert_eq!(check(&tree), []);
    }

    #[test]
    fn looking_up_or_sideways_is_found_through_braces_too() {
        let tree = Tree::of(&[
            (
                "core/src/journal/fold.rs",
                "use crate::{quantity::Figure, tablet::View};\n",
            ),
            ("core/src/link/driver.rs", "fn f() { crate::store::open(); }\n"),
        ]);
        let found: Vec<String> = check(&tree).iter().map(ToString::to_string).collect();
        assert_eq!(
            found,
            [
                "core/src/journal/fold.rs:1: journal uses tablet, which is not below it",
                "core/src/link/driver.rs:1: link uses store, which is not below it",
            ]
        );
    }

    #[test]
    fn a_module_nobody_has_placed_is_found() {
        let tree = Tree::of(&[("core/src/extras.rs", "")]);
        assert_eq!(check(&tree).len(), 1);
    }
}
