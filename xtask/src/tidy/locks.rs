//! Dependencies come from the registries that a machine is set up for, and from nowhere else.

use super::{Finding, Rule, Text, Tree};

pub const RULE: Rule = Rule {
    name: "locks",
    reason: "versions are pinned and registries are the machine's own setting: an address in a lock file or a \
             pointer to a repository breaks every machine with a mirror and every reader's trust",
    check,
};

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged() {
        let name = text.path.rsplit('/').next().unwrap_or_default();
        match name {
            "package-lock.json" => lines(text, &mut findings, |line| {
                line.trim_start().starts_with("\"resolved\"").then_some(
                    "an address; `npm install` with omit-lockfile-registry-resolved=true leaves it out",
                )
            }),
            "Cargo.lock" => lines(text, &mut findings, |line| {
                (line.starts_with("source = ") && !line.starts_with("source = \"registry+"))
                    .then_some("a crate that is not from the registry")
            }),
            "Cargo.toml" => lines(text, &mut findings, |line| {
                ["git = ", "registry = ", "registry-index = "]
                    .iter()
                    .any(|key| line.contains(key))
                    .then_some("a crate that is not from the registry")
            }),
            ".npmrc" | "config.toml" | "pip.conf" => lines(text, &mut findings, |line| {
                (line.contains("://") || line.contains("[registries") || line.contains("[source"))
                    .then_some("a registry's address")
            }),
            _ if name.starts_with("requirements") && text.is(&[".txt"]) => {
                requirements(text, &mut findings);
            }
            _ => {}
        }
    }
    findings
}

fn requirements(text: &Text, findings: &mut Vec<Finding>) {
    lines(text, findings, |line| {
        let line = line.split('#').next().unwrap_or_default().trim();
        if line.contains("://")
            || line.starts_with("-i")
            || line.starts_with("--") && !line.starts_with("--hash")
        {
            Some("an address or an option; only names and versions belong here")
        } else if !line.is_empty() && !line.contains("==") && !line.starts_with("--hash") {
            Some("a package without its exact version")
        } else {
            None
        }
    });
}

fn lines(text: &Text, findings: &mut Vec<Finding>, wrong: fn(&str) -> Option<&'static str>) {
    for (line, content) in text.lines() {
        if let Some(what) = wrong(content) {
            findings.push(text.finding(line, what));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_repositories_and_loose_versions_are_found() {
        let tree = Tree::of(&[
            (
                "ui/package-lock.json",
                "      \"resolved\": \"https://registry.example/x.tgz\",\n",
            ),
            ("Cargo.lock", "source = \"git+https://example.org/x#1\"\n"),
            ("core/Cargo.toml", "x = { git = \"https://example.org/x\" }\n"),
            (".npmrc", "registry=https://registry.example\n"),
            (
                "tests/reference/requirements.txt",
                "--index-url https://registry.example\npint>=0.2\n",
            ),
        ]);
        assert_eq!(check(&tree).len(), 6);
    }

    #[test]
    fn pinned_names_are_fine() {
        let tree = Tree::of(&[
            ("Cargo.lock", "source = \"registry+https://example.org/index\"\n"),
            ("tests/reference/requirements.txt", "# units\npint==0.25  # why\n"),
            (".cargo/config.toml", "[alias]\nxtask = \"run\"\n"),
        ]);
        assert_eq!(check(&tree), []);
    }
}
