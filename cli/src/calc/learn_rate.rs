//! `learn_rate`: what a screw's moves teach about its rate and its dead band.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::quantity::{AbsolutePressure, GaugePressure, PressureDifference, Rate, Turns, Unit};
use turnwise_core::setting::ClockwiseEffect;
use turnwise_core::setting::learn::{
    ASSUMED_RESOLUTION, AtStart, History, LearnWarning, Move, Read, Seen, learn,
};

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    psi_per_turn: Finite,
    low: Finite,
    high: Finite,
    dead_band_turns: Option<Finite>,
    warnings: Vec<LearnWarning>,
}

/// Answers the rate's mean and 95 % interval after `moves`, with `printed` as the rate believed beforehand. A
/// move without flow is left out altogether. Before the first move the play counts as taken up.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let atmosphere = request.atmosphere()?;
    let printed: Rate = request.need_quantity("printed")?;
    let moves = request
        .need_objects("moves")?
        .into_iter()
        .enumerate()
        .map(|(at, each)| one(each, atmosphere).map_err(|error| error.at(&format!("moves[{at}]"))))
        .collect::<Result<Vec<_>, _>>()?;
    request.finish()?;
    let moves: Vec<Move> = moves.into_iter().flatten().collect();
    let estimate = learn(&History {
        printed,
        clockwise: ClockwiseEffect::Raises,
        start: AtStart::TakenUp,
        moves: &moves,
        now: None,
    })?;
    let [low, high] = estimate.interval();
    let turns = |band: Turns| Finite::try_from(band.in_turns());
    Ok(Answer {
        psi_per_turn: estimate.rate().in_psi_per_turn().try_into()?,
        low: low.in_psi_per_turn().try_into()?,
        high: high.in_psi_per_turn().try_into()?,
        dead_band_turns: estimate.dead_band().map(|band| turns(band.mean)).transpose()?,
        warnings: estimate.warnings().to_vec(),
    })
}

/// One move, if water moved.
fn one(mut each: Request, atmosphere: AbsolutePressure) -> Result<Option<Move>, CalcError> {
    let turns = each
        .quantity_in::<Turns>("turns", Unit::Turn)?
        .ok_or_else(|| CalcError::new("missing_key", "no `turns`"))?;
    let before = each.need_gauge("before", atmosphere)?;
    let after = each.need_gauge("after", atmosphere)?;
    let resolution = each
        .quantity::<PressureDifference>("resolution")?
        .unwrap_or(ASSUMED_RESOLUTION);
    if resolution < PressureDifference::ZERO {
        return Err(CalcError::new(
            "negative_resolution",
            "the resolution is below zero",
        ));
    }
    let flow = each.flag("flow")?.unwrap_or(true);
    each.finish()?;
    let read = |pressure: GaugePressure| Read::of(pressure, resolution);
    Ok(flow.then(|| Move {
        turns,
        seen: Some(Seen {
            before: read(before),
            after: read(after),
        }),
    }))
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    fn ask(moves: &Value) -> Value {
        let request = json!({"do": "learn_rate", "printed": "15 psi/turn", "moves": moves});
        let mut output = Vec::new();
        super::super::run(request.to_string().as_bytes(), &mut output).unwrap();
        serde_json::from_slice(&output).unwrap()
    }

    fn close(value: &Value, expected: f64, within: f64) -> bool {
        value
            .as_f64()
            .is_some_and(|value| (value - expected).abs() <= within)
    }

    #[test]
    fn without_moves_the_printed_rate_comes_back_with_its_interval() {
        let answer = ask(&json!([]));
        assert!(close(&answer["psi_per_turn"], 15.0, 1e-9), "{answer}");
        assert!(close(&answer["low"], 15.0 - 5.879_892, 1e-4), "{answer}");
        assert!(close(&answer["high"], 15.0 + 5.879_892, 1e-4), "{answer}");
        assert_eq!(answer["dead_band_turns"], Value::Null);
        assert_eq!(answer["warnings"], json!([]));
    }

    #[test]
    fn a_move_without_flow_changes_nothing_in_the_answer() {
        let down = json!({"turns": -0.5, "before": "70 psi", "after": "61 psi"});
        let up = json!({"turns": 0.5, "before": "61 psi", "after": "68 psi", "resolution": "0.5 psi"});
        let still = json!({"turns": 1.0, "before": "61 psi", "after": "61 psi", "flow": false});
        let answer = ask(&json!([down, still, up, still]));
        assert_eq!(answer, ask(&json!([down, up])));
        assert!(answer["dead_band_turns"].is_number(), "{answer}");
        assert_eq!(
            ask(&json!([still]))["psi_per_turn"],
            ask(&json!([]))["psi_per_turn"]
        );
    }

    #[test]
    fn turns_and_pressures_may_be_in_any_unit() {
        let plain =
            ask(&json!([{"turns": -0.5, "before": "70 psi", "after": "61 psi", "resolution": "1 psi"}]));
        let metric =
            ask(&json!([{"turns": "-3 flat", "before": "482.63301051 kPa", "after": "420.58019487 kPa"}]));
        for key in ["psi_per_turn", "low", "high"] {
            assert!(
                close(&metric[key], plain[key].as_f64().unwrap(), 1e-6),
                "{metric} {plain}"
            );
        }
    }

    #[test]
    fn what_makes_no_sense_is_refused_by_a_stable_code() {
        let code = |moves: Value| ask(&moves)["error"]["code"].clone();
        let whole = json!({"turns": 0.5, "before": "60 psi", "after": "67 psi"});
        let with = |key: &str, value: Value| {
            let mut moved = whole.clone();
            moved[key] = value;
            json!([moved])
        };
        assert_eq!(code(json!("none")), "wrong_type");
        assert_eq!(code(json!([3])), "not_an_object");
        assert_eq!(code(json!([{"turns": 0.5, "before": "60 psi"}])), "missing_key");
        assert_eq!(code(with("turns", json!("5 psi"))), "wrong_dimension");
        assert_eq!(code(with("flow", json!("yes"))), "wrong_type");
        assert_eq!(code(with("resolution", json!("-1 psi"))), "negative_resolution");
        assert_eq!(
            code(with("before", json!("-20 psi"))),
            "negative_absolute_pressure"
        );
        assert_eq!(code(with("colour", json!(1))), "unknown_key");
        let many = vec![whole.clone(); 501];
        assert_eq!(code(json!(many)), "too_many_moves");
    }
}
