//! No file is longer than a sitting. Comments and empty lines do not count: saying more makes a file shorter to read.

use super::{Finding, Rule, Tree};

pub const RULE: Rule = Rule {
    name: "length",
    reason: "a file that cannot be read in one sitting holds more than one idea; split it by ideas",
    check,
};

const LONGEST: usize = 600;
const CODE: &[&str] = &[".rs", ".ts", ".svelte", ".mjs", ".js", ".py", ".css", ".sql"];

fn check(tree: &Tree) -> Vec<Finding> {
    tree.judged()
        .filter(|text| text.is(CODE))
        .filter_map(|text| {
            let lines = text.text.lines().filter(|line| is_code(line)).count();
            (lines > LONGEST)
                .then(|| text.finding(0, format!("{lines} lines of code, {LONGEST} are the most")))
        })
        .collect()
}

fn is_code(line: &str) -> bool {
    let line = line.trim();
    !line.is_empty()
        && !["//", "/*", "* ", "*/", "#", "--", "<!--"]
            .iter()
            .any(|start| line.starts_with(start) && !line.starts_with("#["))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_program_is_found_and_a_long_list_of_data_is_not() {
        let long = "x\n".repeat(LONGEST + 1);
        let told = "/// Why.\n\n".repeat(LONGEST + 1);
        let tree = Tree::of(&[
            ("a.rs", &long),
            ("b.json", &long),
            ("c.svelte", "x\n"),
            ("d.rs", &told),
        ]);
        let found: Vec<String> = check(&tree).into_iter().map(|finding| finding.path).collect();
        assert_eq!(found, ["a.rs"]);
    }
}
