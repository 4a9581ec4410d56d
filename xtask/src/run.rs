//! Running other programs, and counting the tests that their closing lines report.

use anyhow::{Context, Result, bail};
use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

/// Tests that ran.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Those that held.
    pub passed: u64,
    /// Those that did not, and those that were skipped: a test that never runs proves nothing.
    pub failed: u64,
}

impl Counts {
    /// One check that held.
    pub const ONE: Self = Self { passed: 1, failed: 0 };

    fn add(&mut self, more: Self) {
        self.passed += more.passed;
        self.failed += more.failed;
    }
}

/// What a runner's line reports, if it is a closing line.
pub type Reader = fn(&str) -> Option<Counts>;

/// Runs a program that either works or does not.
pub fn run(command: &mut Command) -> Result<()> {
    println!("$ {}", shown(command));
    let status = command.status().with_context(|| not_started(command))?;
    if !status.success() {
        bail!("{} ended with {status}", name(command));
    }
    Ok(())
}

/// Runs a program and returns what it printed.
pub fn output(command: &mut Command) -> Result<String> {
    let output = command
        .stderr(Stdio::inherit())
        .output()
        .with_context(|| not_started(command))?;
    if !output.status.success() {
        bail!("{} ended with {}", name(command), output.status);
    }
    Ok(String::from_utf8(output.stdout)?)
}

/// Runs a test runner, shows what it prints, and sums up the closing lines that `reader` knows. An error of the
/// runner that no test accounts for counts as one failure; a runner that ran nothing is an error.
pub fn run_counted(command: &mut Command, reader: Reader) -> Result<Counts> {
    println!("$ {}", shown(command));
    count(command, reader, &mut std::io::stdout())
}

fn count(command: &mut Command, reader: Reader, out: &mut impl Write) -> Result<Counts> {
    let mut child = command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .spawn()
        .with_context(|| not_started(command))?;
    let printed = child.stdout.take().context("the runner has no standard output")?;
    let mut counts = Counts::default();
    for line in BufReader::new(printed).split(b'\n') {
        let line = line?;
        out.write_all(&line)?;
        out.write_all(b"\n")?;
        out.flush()?;
        if let Some(more) = reader(&plain(&String::from_utf8_lossy(&line))) {
            counts.add(more);
        }
    }
    let status = child.wait()?;
    if !status.success() && counts.failed == 0 {
        writeln!(out, "{} ended with {status}", name(command))?;
        counts.failed = 1;
    }
    if counts == Counts::default() {
        bail!("{} ran no test", name(command));
    }
    Ok(counts)
}

/// cargo test: `test result: ok. 12 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out; ...`
pub fn cargo_test(line: &str) -> Option<Counts> {
    let rest = line.trim().strip_prefix("test result: ")?;
    Some(words(rest.split_once(". ")?.1, &["failed", "ignored"]))
}

/// pytest: `3 passed, 1 failed, 1 skipped in 0.12s`, between bars of `=` unless it is quiet
pub fn pytest(line: &str) -> Option<Counts> {
    let (tally, time) = line.trim().trim_matches('=').trim().rsplit_once(" in ")?;
    let timed = time.starts_with(|first: char| first.is_ascii_digit()) && time.contains('s');
    let bad = ["failed", "error", "errors", "skipped", "xfailed", "xpassed"];
    let counts = words(tally, &bad);
    (timed && counts != Counts::default()).then_some(counts)
}

/// vitest: `Tests  1 failed | 11 passed (12)`
pub fn vitest(line: &str) -> Option<Counts> {
    let rest = line.trim().strip_prefix("Tests ")?;
    Some(words(rest, &["failed", "skipped", "todo"]))
}

/// Node's own runner: `# pass 3` with lines of its plain report, `ℹ pass 3` with those for people
pub fn node_test(line: &str) -> Option<Counts> {
    let rest = line.strip_prefix("# ").or_else(|| line.strip_prefix("ℹ "))?;
    let (what, number) = rest.trim().split_once(' ')?;
    let number = number.parse().ok()?;
    match what {
        "pass" => Some(Counts {
            passed: number,
            failed: 0,
        }),
        "fail" | "cancelled" | "skipped" | "todo" => Some(Counts {
            passed: 0,
            failed: number,
        }),
        _ => None,
    }
}

/// Sums `N word` pairs: `passed` and the words that are bad.
fn words(text: &str, bad: &[&str]) -> Counts {
    let mut counts = Counts::default();
    let mut number = None;
    for word in text
        .split([' ', ',', ';', '|', '\t'])
        .filter(|word| !word.is_empty())
    {
        if let Ok(parsed) = word.parse::<u64>() {
            number = Some(parsed);
        } else if let Some(tests) = number.take() {
            if word == "passed" {
                counts.passed += tests;
            } else if bad.contains(&word) {
                counts.failed += tests;
            }
        }
    }
    counts
}

/// The line without terminal colours (ECMA-48 control sequences).
fn plain(line: &str) -> String {
    let mut out = String::with_capacity(line.len());
    let mut chars = line.chars();
    while let Some(next) = chars.next() {
        if next != '\u{1b}' {
            out.push(next);
        } else if chars.next() == Some('[') {
            let _ = chars.by_ref().find(|end| ('@'..='~').contains(end));
        }
    }
    out
}

fn name(command: &Command) -> String {
    std::path::Path::new(command.get_program())
        .file_name()
        .unwrap_or(command.get_program())
        .to_string_lossy()
        .into_owned()
}

fn shown(command: &Command) -> String {
    let mut words = vec![name(command)];
    words.extend(command.get_args().map(|word| word.to_string_lossy().into_owned()));
    words.join(" ")
}

fn not_started(command: &Command) -> String {
    format!("{} could not be started", name(command))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn counts(passed: u64, failed: u64) -> Counts {
        Counts { passed, failed }
    }

    #[test]
    fn the_closing_lines_of_cargo_test_are_summed_and_ignored_tests_count_as_failed() {
        let line =
            "test result: ok. 12 passed; 0 failed; 2 ignored; 0 measured; 3 filtered out; finished in 0.2s";
        assert_eq!(cargo_test(line), Some(counts(12, 2)));
        let line = "test result: FAILED. 1 passed; 4 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.2s";
        assert_eq!(cargo_test(line), Some(counts(1, 4)));
        assert_eq!(cargo_test("test journal::it_works ... ok"), None);
    }

    #[test]
    fn the_closing_line_of_pytest_counts_skips_and_errors_as_failed() {
        let line = "==== 1 failed, 7 passed, 2 skipped, 1 error in 1.20s ====";
        assert_eq!(pytest(line), Some(counts(7, 4)));
        assert_eq!(pytest("7 passed in 0.03s"), Some(counts(7, 0)));
        assert_eq!(pytest("3 passed in review"), None);
        assert_eq!(pytest("collected 7 items"), None);
    }

    #[test]
    fn the_closing_line_of_vitest_is_read_and_the_one_for_files_is_not() {
        assert_eq!(
            vitest("      Tests  1 failed | 11 passed (12)"),
            Some(counts(11, 1))
        );
        assert_eq!(vitest(" Test Files  3 passed (3)"), None);
    }

    #[test]
    fn both_reports_of_node_are_read() {
        assert_eq!(node_test("# pass 3"), Some(counts(3, 0)));
        assert_eq!(node_test("ℹ fail 2"), Some(counts(0, 2)));
        assert_eq!(node_test("# skipped 1"), Some(counts(0, 1)));
        assert_eq!(node_test("# tests 5"), None);
    }

    #[test]
    fn colours_do_not_hide_a_closing_line() {
        assert_eq!(
            plain("\u{1b}[2m Tests \u{1b}[22m \u{1b}[32m9 passed\u{1b}[39m"),
            " Tests  9 passed"
        );
    }

    #[test]
    fn a_runner_that_ran_nothing_is_an_error_and_one_that_broke_is_a_failure() {
        let of = |script| {
            count(
                Command::new("sh").args(["-c", script]),
                node_test,
                &mut Vec::new(),
            )
        };
        assert!(of("true").is_err());
        assert_eq!(of("echo '# pass 2'; exit 3").unwrap(), counts(2, 1));
        assert_eq!(of("echo '# pass 2'").unwrap(), counts(2, 0));
    }
}
