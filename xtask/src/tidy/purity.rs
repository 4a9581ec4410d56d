//! The lower modules of core take time and randomness as arguments.

use super::{Finding, Rule, Tree, rust_text};

pub const RULE: Rule = Rule {
    name: "purity",
    reason: "what a job means must not depend on when or where it is asked: time, randomness, files and sockets \
             come in as arguments, which is also what makes every case testable",
    check,
};

/// Folders of core that are pure. The session of the link is a state machine without a socket.
const PURE: &[&str] = &[
    "core/src/quantity/",
    "core/src/hydraulics/",
    "core/src/gauge/",
    "core/src/setting/",
    "core/src/steady/",
    "core/src/logger/",
    "core/src/diagnosis/",
    "core/src/journal/",
    "core/src/procedure/",
    "core/src/findings/",
    "core/src/review/",
    "core/src/record/",
    "core/src/link/session",
];

/// Paths that begin like this reach outside.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::net",
    "std::process",
    "std::env",
    "std::thread",
    "std::io::stdin",
    "std::time::SystemTime",
    "std::time::Instant",
    "SystemTime::now",
    "Instant::now",
    "jiff::Zoned::now",
    "Zoned::now",
    "jiff::Timestamp::now",
    "Timestamp::now",
    "uuid::Uuid::now_v7",
    "Uuid::now_v7",
    "uuid::Uuid::new_v4",
    "Uuid::new_v4",
    "getrandom",
    "rand",
    "tokio",
    "rusqlite",
    "tokio_tungstenite",
];

fn check(tree: &Tree) -> Vec<Finding> {
    let mut findings = Vec::new();
    for text in tree.judged() {
        let pure = text.is(&[".rs"]) && PURE.iter().any(|folder| text.path.starts_with(folder));
        if !pure || is_test(&text.path) {
            continue;
        }
        for (line, path) in rust_text::paths(&rust_text::code(&text.text)) {
            if OUTSIDE.iter().any(|outside| below(&path, outside)) {
                findings.push(text.finding(line, format!("names {path}")));
            }
        }
    }
    findings
}

/// Tests may read fixtures.
fn is_test(path: &str) -> bool {
    path.ends_with("tests.rs") || path.ends_with("_test.rs") || path.contains("/tests/")
}

/// Whether `path` is `outside` or something in it.
fn below(path: &str, outside: &str) -> bool {
    path.strip_prefix(outside)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with("::"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(path: &str, text: &str) -> usize {
        check(&Tree::of(&[(path, text)])).len()
    }

    #[test]
    fn a_clock_a_file_and_a_socket_are_found() {
        assert_eq!(
            found("core/src/journal/id.rs", "let id = uuid::Uuid::now_v7();"),
            1
        );
        assert_eq!(found("core/src/setting/plan.rs", "use std::{fmt, fs};"), 1);
        assert_eq!(found("core/src/link/session.rs", "use tokio::net::TcpStream;"), 1);
        assert_eq!(found("core/src/review/mod.rs", "let now = Instant::now();"), 1);
    }

    #[test]
    fn a_duration_is_no_clock_and_a_store_may_open_files() {
        assert_eq!(found("core/src/setting/plan.rs", "use std::time::Duration;"), 0);
        assert_eq!(found("core/src/store/open.rs", "use std::fs::File;"), 0);
        assert_eq!(found("core/src/journal/tests.rs", "use std::fs::File;"), 0);
    }
}
