//! No test is switched off, and nothing is left to be written.

use super::{Finding, Rule, Tree};

pub const RULE: Rule = Rule {
    name: "skipped",
    reason: "a test that does not run proves nothing and looks as if it did; fix it or delete it",
    check,
};

const RUST: &[&str] = &["#[ignore", "todo!(", "unimplemented!("];
const SCRIPT: &[&str] = &[
    "test.skip",
    "it.skip",
    "describe.skip",
    "suite.skip",
    "test.only",
    "it.only",
    "describe.only",
    "suite.only",
    "test.todo",
    "it.todo",
    "describe.todo",
    "test.fails",
    "it.fails",
    "skip: true",
    "only: true",
    "xit(",
    "xdescribe(",
    ".skipIf(",
    ".runIf(",
];
const PYTHON: &[&str] = &[
    "mark.skip",
    "mark.xfail",
    "pytest.skip",
    "pytest.xfail",
    "importorskip",
    "unittest.skip",
];

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged() {
        let needles = if text.is(&[".rs"]) {
            RUST
        } else if text.is(&[".ts", ".mjs", ".js", ".svelte"]) {
            SCRIPT
        } else if text.is(&[".py"]) {
            PYTHON
        } else {
            continue;
        };
        for (line, content) in text.lines() {
            for needle in needles.iter().filter(|needle| content.contains(**needle)) {
                findings.push(text.finding(line, format!("has {needle}")));
            }
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_way_to_switch_a_test_off_is_found() {
        let tree = Tree::of(&[
            ("a.rs", "#[ignore = \"slow\"]\n"),
            ("b.test.ts", "test.skip(\"later\", () => {});\n"),
            ("c.test.mjs", "test(\"d\", { skip: true }, () => {});\n"),
            ("e.py", "@pytest.mark.skipif(True)\n"),
        ]);
        assert_eq!(check(&tree).len(), 4);
    }

    #[test]
    fn an_iterator_that_skips_is_no_test() {
        let tree = Tree::of(&[("a.rs", "rows.iter().skip(1)\n"), ("b.ts", "limit(3).skip(2)\n")]);
        assert_eq!(check(&tree), []);
    }
}
