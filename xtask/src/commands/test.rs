//! `cargo xtask test`: every check, in an order in which each finds what it needs.

use crate::run::Counts;
use crate::stages::{STAGES, Stage};
use crate::workspace::Workspace;
use anyhow::{Result, bail};
use std::collections::BTreeSet;
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// Which checks to run.
#[derive(clap::Args)]
pub struct Arguments {
    /// Only these stages, and what they need
    #[arg(long, value_delimiter = ',', value_name = "STAGE")]
    only: Vec<String>,
    /// List the stages and what each checks
    #[arg(long)]
    list: bool,
}

enum Outcome {
    Ran(Counts),
    Broke(String),
    NotRun(&'static str),
}

struct Line {
    stage: &'static Stage,
    outcome: Outcome,
    took: Duration,
}

impl Outcome {
    fn counts(&self) -> Counts {
        match self {
            Self::Ran(counts) => *counts,
            // A stage that could not say how many tests it has counts as one that failed.
            Self::Broke(_) | Self::NotRun(_) => Counts { passed: 0, failed: 1 },
        }
    }

    fn held(&self) -> bool {
        self.counts().failed == 0
    }
}

/// Runs the stages. A stage whose needs failed is not run, and counts as failed; the others still run, so that one
/// run shows everything that is wrong.
pub fn run(workspace: &Workspace, arguments: &Arguments) -> Result<ExitCode> {
    if arguments.list {
        for stage in STAGES {
            println!("{:<10} {}", stage.name, stage.about);
        }
        return Ok(ExitCode::SUCCESS);
    }
    let wanted = wanted(STAGES, &arguments.only)?;
    let mut lines: Vec<Line> = Vec::new();
    for stage in STAGES.iter().filter(|stage| wanted.contains(stage.name)) {
        let line = match broken_need(stage, &lines) {
            Some(need) => Line {
                stage,
                outcome: Outcome::NotRun(need),
                took: Duration::ZERO,
            },
            None => run_stage(workspace, stage),
        };
        lines.push(line);
    }
    Ok(sum_up(&lines))
}

fn run_stage(workspace: &Workspace, stage: &'static Stage) -> Line {
    println!("\n=== {}: {}", stage.name, stage.about);
    let start = Instant::now();
    let outcome = match (stage.run)(workspace) {
        Ok(counts) => Outcome::Ran(counts),
        Err(error) => Outcome::Broke(format!("{error:#}")),
    };
    let took = start.elapsed();
    match &outcome {
        Outcome::Broke(why) => println!("--- {} FAILED: {why}", stage.name),
        outcome if outcome.held() => println!("--- {} ok, {:.1} s", stage.name, took.as_secs_f64()),
        _ => println!("--- {} FAILED", stage.name),
    }
    Line { stage, outcome, took }
}

fn broken_need(stage: &Stage, lines: &[Line]) -> Option<&'static str> {
    lines
        .iter()
        .find(|line| stage.needs.contains(&line.stage.name) && !line.outcome.held())
        .map(|line| line.stage.name)
}

/// The names in `only` and, again and again, what they need; everything if `only` is empty.
fn wanted(stages: &'static [Stage], only: &[String]) -> Result<BTreeSet<&'static str>> {
    if only.is_empty() {
        return Ok(stages.iter().map(|stage| stage.name).collect());
    }
    let mut wanted = BTreeSet::new();
    let mut open: Vec<&str> = only.iter().map(String::as_str).collect();
    while let Some(name) = open.pop() {
        let Some(stage) = stages.iter().find(|stage| stage.name == name) else {
            let known: Vec<&str> = stages.iter().map(|stage| stage.name).collect();
            bail!("there is no stage {name:?}; there are {}", known.join(", "));
        };
        if wanted.insert(stage.name) {
            open.extend(stage.needs);
        }
    }
    Ok(wanted)
}

fn sum_up(lines: &[Line]) -> ExitCode {
    println!("\n=== summary");
    let mut total = Counts::default();
    let mut time = Duration::ZERO;
    for line in lines {
        let counts = line.outcome.counts();
        total.passed += counts.passed;
        total.failed += counts.failed;
        time += line.took;
        let verdict = match &line.outcome {
            outcome if outcome.held() => "ok".to_owned(),
            Outcome::Ran(counts) => {
                format!("FAILED ({} of {})", counts.failed, counts.passed + counts.failed)
            }
            Outcome::Broke(why) => format!("FAILED: {}", why.lines().next().unwrap_or_default()),
            Outcome::NotRun(need) => format!("FAILED: not run, because {need} failed"),
        };
        println!(
            "{:<10} {:>6} passed {:>4} failed {:>8.1} s  {verdict}",
            line.stage.name,
            counts.passed,
            counts.failed,
            line.took.as_secs_f64()
        );
    }
    println!("{:.0} s in all.", time.as_secs_f64());
    println!(
        "Counted: what cargo test, pytest, vitest and Node's runner report; every other check as one. \
         A skipped test or a stage that did not run counts as failed."
    );
    println!("\n{} passed, {} failed", total.passed, total.failed);
    if total.failed == 0 && total.passed > 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stage_brings_what_it_needs_and_what_that_needs() {
        let wanted = wanted(STAGES, &["window".to_owned()]).unwrap();
        for name in ["window", "build", "ui-build", "tools"] {
            assert!(wanted.contains(name), "{name} is missing");
        }
        assert!(!wanted.contains("fuzz"));
    }

    #[test]
    fn an_unknown_stage_is_refused_with_the_names_that_exist() {
        let error = wanted(STAGES, &["widnow".to_owned()]).unwrap_err();
        assert!(error.to_string().contains("window"));
    }

    #[test]
    fn every_need_is_a_stage_that_comes_earlier() {
        for (place, stage) in STAGES.iter().enumerate() {
            for need in stage.needs {
                assert!(
                    STAGES[..place].iter().any(|earlier| earlier.name == *need),
                    "{} needs {need}",
                    stage.name
                );
            }
        }
    }

    #[test]
    fn a_stage_whose_need_failed_is_not_run_and_counts_as_failed() {
        let tools = STAGES.iter().find(|stage| stage.name == "tools").unwrap();
        let build = STAGES.iter().find(|stage| stage.name == "ui-build").unwrap();
        let lines = [Line {
            stage: tools,
            outcome: Outcome::Broke("no network".to_owned()),
            took: Duration::ZERO,
        }];
        assert_eq!(broken_need(build, &lines), Some("tools"));
        assert!(!Outcome::NotRun("tools").held());
    }
}
