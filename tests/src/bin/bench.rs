//! Measures, prints a table and writes the figures as JSON: `bench [--out PATH]`.

use anyhow::{Context, Result, bail};
use std::path::PathBuf;
use turnwise_tests::bench::{
    CALC_AIM, Calc, Learning, Report, Spread, append, calc, learning, meet, open, paper, reviewed,
};

fn main() -> Result<()> {
    let mut out = PathBuf::from("target/bench.json");
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--out" => out = arguments.next().context("--out wants a path")?.into(),
            other => bail!("{other} is not known here"),
        }
    }
    if cfg!(debug_assertions) {
        eprintln!("This is not optimized code: the figures mean little.");
    }
    let report = Report {
        append: append().context("append")?,
        open: open().context("open")?,
        meet: meet().context("meet")?,
        review: reviewed().context("review")?,
        learning: learning().context("learning")?,
        paper: paper().context("paper")?,
        calc: calc().context("calc")?,
    };
    print(&report);
    if let Some(folder) = out.parent() {
        std::fs::create_dir_all(folder)?;
    }
    let text = serde_json::to_string_pretty(&report)?;
    std::fs::write(&out, text + "\n").with_context(|| out.display().to_string())
}

fn print(report: &Report) {
    let Report {
        append,
        open,
        meet,
        review,
        learning,
        paper,
        calc,
    } = report;
    println!("{:<58}{:>12}{:>12}", "", "p50", "p95");
    row(
        &format!("append one entry to {}, durably", append.entries),
        append.append,
    );
    row("bare insert of the same bytes, same pragmas", append.bare_insert);
    println!(
        "{:<58}{:>12.2}",
        "  ratio of the medians (aim: 1.5 at most)", append.ratio
    );
    row(
        &format!("open a job of {} to its first state", open.entries),
        open.total,
    );
    row("  open the store", open.store);
    row("  read the job", open.load);
    row("  fold it", open.fold);
    row("  only how far each writer has come", open.clock);
    row(
        &format!("two devices {} entries apart each way", meet.entries_each),
        meet.exchange,
    );
    row("  and fold on both", meet.fold);
    println!(
        "{:<58}{:>12}{:>12}",
        format!(
            "  bytes there and back ({} and {} deliveries)",
            meet.deliveries[0], meet.deliveries[1]
        ),
        meet.bytes[0],
        meet.bytes[1]
    );
    row(
        &format!("export a job of {} entries, {} cores", paper.entries, paper.cores),
        paper.export,
    );
    println!(
        "{:<58}{:>9.1} ms",
        "  print it for the first time",
        paper.first_us / 1_000.0
    );
    row(
        &format!(
            "  again after another entry, {} KiB (aim: 300 ms on one core)",
            paper.bytes / 1024
        ),
        paper.print,
    );
    row(
        &format!(
            "review of {} entries as a crew writes them (aim: 50 ms)",
            review.entries
        ),
        review.of_a_crew,
    );
    row("  of as many readings and nothing else", review.of_readings);
    row(
        "  of as many that nobody heard of until the end",
        review.of_strangers,
    );
    print_learning(learning);
    print_calc(calc);
}

fn print_calc(calc: &Calc) {
    println!(
        "{:<58}{:>12.0}",
        format!("calc: simple requests a second, one core (aim: {CALC_AIM:.0} at least)"),
        calc.per_second
    );
    for kind in &calc.kinds {
        println!("{:<58}{:>12.0}", format!("  {}", kind.command), kind.per_second);
    }
}

fn print_learning(learning: &Learning) {
    let Learning {
        policies,
        as_believed,
        evenly_off,
        all_low,
        all_high,
    } = learning;
    let (printed, engine) = (policies.printed, policies.engine);
    println!(
        "\n{:<58}{:>12}{:>12}",
        format!("{} simulated screws to their targets", policies.screws),
        "printed",
        "engine"
    );
    for (what, printed, engine) in [
        ("moves, mean", printed.mean_moves, engine.mean_moves),
        ("moves, 95 of 100 at most", printed.p95_moves, engine.p95_moves),
        (
            "overshoot, mean, psi",
            printed.mean_overshoot_psi,
            engine.mean_overshoot_psi,
        ),
        (
            "overshoot, 95 of 100 at most, psi",
            printed.p95_overshoot_psi,
            engine.p95_overshoot_psi,
        ),
        (
            "overshoot, worst, psi",
            printed.worst_overshoot_psi,
            engine.worst_overshoot_psi,
        ),
        (
            "largest change of a move, 95 of 100 at most, psi",
            printed.p95_largest_change_psi,
            engine.p95_largest_change_psi,
        ),
        (
            "left within tolerance, %",
            printed.within * 100.0,
            engine.within * 100.0,
        ),
        ("given up, %", printed.given_up * 100.0, engine.given_up * 100.0),
    ] {
        println!("  {what:<56}{printed:>12.2}{engine:>12.2}");
    }
    println!(
        "{:<58}{:>12}{:>12}{:>12}",
        format!(
            "95 % intervals that hold the truth, % (chance alone {:.2})",
            as_believed.binomial_sd * 100.0
        ),
        "rate",
        "dead band",
        "reading"
    );
    for (what, found) in [
        ("screws as believed", as_believed),
        ("rates evenly within 40 %", evenly_off),
        ("every rate 40 % low", all_low),
        ("every rate 40 % high", all_high),
    ] {
        println!(
            "  {what:<56}{:>12.1}{:>12.1}{:>12.1}",
            found.rate * 100.0,
            found.dead_band * 100.0,
            found.next_reading * 100.0
        );
    }
}

fn row(what: &str, spread: Spread) {
    let show = |us: f64| {
        if us < 10_000.0 {
            format!("{us:.0} us")
        } else {
            format!("{:.1} ms", us / 1_000.0)
        }
    };
    println!("{what:<58}{:>12}{:>12}", show(spread.p50_us), show(spread.p95_us));
}
