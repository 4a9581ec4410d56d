//! `turnwise calc`: how many requests a second one core answers.

use anyhow::{Context, Result, ensure};
use serde::Serialize;
use std::io::{BufWriter, sink};
use std::time::Instant;

/// How many requests of each kind.
const REQUESTS: usize = 20_000;

/// One request of each kind that is a closed formula.
const SIMPLE: [(&str, &str); 12] = [
    (
        "convert",
        r#"{"do":"convert","value":"60 psi","to":"kPa","id":7}"#,
    ),
    (
        "turn_plan",
        r#"{"do":"turn_plan","from":"60 psi","to":"35 psi","rate":"27 psi/turn","range":["30 psi","300 psi"],"max_move":"5 psi"}"#,
    ),
    (
        "valve_flow",
        r#"{"do":"valve_flow","cv":400,"inlet":"100 psi","outlet":"50 psi","fl":0.9}"#,
    ),
    (
        "required_cv",
        r#"{"do":"required_cv","flow":"2828 gpm","inlet":"100 psi","outlet":"50 psi","fl":0.9}"#,
    ),
    (
        "vapour_pressure",
        r#"{"do":"vapour_pressure","temperature":"15 degC"}"#,
    ),
    (
        "velocity",
        r#"{"do":"velocity","flow":"1000 gpm","diameter":"8 in"}"#,
    ),
    (
        "hydrant_flow",
        r#"{"do":"hydrant_flow","coefficient":0.9,"diameter":"2.5 in","pitot":"40 psi"}"#,
    ),
    (
        "available_flow",
        r#"{"do":"available_flow","test_flow":"1061 gpm","static":"80 psi","residual":"60 psi"}"#,
    ),
    (
        "elevation",
        r#"{"do":"elevation","pressure":"60 psi","from":"100 ft","to":"96.5 ft"}"#,
    ),
    (
        "gauge",
        r#"{"do":"gauge","span":"200 psi","percent":0.5,"resolution":"1 psi"}"#,
    ),
    (
        "agreement",
        r#"{"do":"agreement","a":"62.0 psi","ua":"2.0 psi","b":"60.0 psi","ub":"0.5 psi"}"#,
    ),
    (
        "valve_state",
        r#"{"do":"valve_state","inlet":"131.59 psi","outlet":"55.03 psi","setting":"55 psi","flow":"156.35 gpm"}"#,
    ),
];

/// The aim: simple requests a second on one core.
pub const AIM: f64 = 50_000.0;

/// How fast `calc` answers.
#[derive(Clone, Debug, Serialize)]
pub struct Calc {
    /// Requests a second of each kind.
    pub kinds: Vec<Kind>,
    /// Requests a second over all of them, as many of each.
    pub per_second: f64,
}

/// One kind of request.
#[derive(Clone, Debug, Serialize)]
pub struct Kind {
    /// The command.
    pub command: &'static str,
    /// Requests a second.
    pub per_second: f64,
}

/// Serves each kind of request many times on this one thread, from memory. Where the answers go takes no time: a
/// pipe's flushes are measured with the program that reads them.
///
/// # Errors
/// A request that is refused.
pub fn calc() -> Result<Calc> {
    let mut kinds = Vec::new();
    let mut seconds = 0.0;
    for (command, request) in SIMPLE {
        let mut answer = Vec::new();
        turnwise_cli::calc::run(request.as_bytes(), &mut answer)?;
        let answer: serde_json::Value = serde_json::from_slice(&answer)?;
        ensure!(answer["error"].is_null(), "{command}: {answer}");
        let input = format!("{request}\n").repeat(REQUESTS);
        let begun = Instant::now();
        turnwise_cli::calc::run(input.as_bytes(), BufWriter::new(sink())).context(command)?;
        let took = begun.elapsed().as_secs_f64();
        seconds += took;
        kinds.push(Kind {
            command,
            per_second: per_second(REQUESTS, took),
        });
    }
    Ok(Calc {
        kinds,
        per_second: per_second(REQUESTS * SIMPLE.len(), seconds),
    })
}

#[expect(clippy::cast_precision_loss, reason = "a count far below 2^52")]
fn per_second(count: usize, seconds: f64) -> f64 {
    (count as f64 / seconds).round()
}
