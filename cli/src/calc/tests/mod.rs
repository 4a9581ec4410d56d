//! Requests in, answers out.

mod any_request;
mod published;

use proptest::prelude::*;
use serde_json::{Value, json};

/// The answers to these lines, in order.
fn answers(input: &[u8]) -> Vec<Value> {
    let mut output = Vec::new();
    super::run(input, &mut output).unwrap();
    let text = String::from_utf8(output).unwrap();
    assert!(text.is_empty() || text.ends_with('\n'));
    text.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn ask(request: &Value) -> Value {
    let mut all = answers(request.to_string().as_bytes());
    assert_eq!(all.len(), 1);
    all.remove(0)
}

/// The code of the error that this line gets.
fn refused(line: &str) -> String {
    let all = answers(line.as_bytes());
    assert_eq!(all.len(), 1, "{line}");
    let error = &all[0]["error"];
    assert!(
        error["message"]
            .as_str()
            .is_some_and(|message| !message.is_empty()),
        "{line}"
    );
    error["code"]
        .as_str()
        .unwrap_or_else(|| panic!("{line} was served: {}", all[0]))
        .to_owned()
}

fn close(value: &Value, expected: f64, within: f64) -> bool {
    value
        .as_f64()
        .is_some_and(|value| (value - expected).abs() <= within)
}

/// Source: NIST SP 811, appendix B.
#[test]
fn convert_answers_in_the_unit_asked_for() {
    let answer = ask(&json!({"do": "convert", "value": "60 psi", "to": "kPa", "id": 7}));
    assert!(close(&answer["value"], 413.685_437_59, 1e-8), "{answer}");
    assert_eq!(answer["id"], 7);
    assert_eq!(
        ask(&json!({"do": "convert", "value": "59 degF", "to": "degC"}))["value"],
        15.0
    );
    assert_eq!(
        ask(&json!({"do": "convert", "value": "-0 psi", "to": "kPa"})).to_string(),
        r#"{"value":0.0,"warnings":[]}"#
    );
}

/// Common practice, no source: plain arithmetic on a 30-300 psi spring of 27 psi per turn.
#[test]
fn turn_plan_answers_turns_degrees_direction_and_moves() {
    let answer = ask(&json!({
        "do": "turn_plan", "from": "40 psi", "to": "35 psi", "rate": "27 psi/turn", "range": ["30 psi", "300 psi"],
    }));
    assert!(close(&answer["turns"], -5.0 / 27.0, 1e-12), "{answer}");
    assert!(close(&answer["degrees"], -200.0 / 3.0, 1e-9), "{answer}");
    assert_eq!(answer["direction"], "counter-clockwise");
    assert_eq!(answer["moves"], json!([answer["turns"]]));
    assert_eq!(answer["warnings"], json!(["near_end"]));
}

#[test]
fn the_limits_may_be_a_number_of_turns_a_text_or_a_pressure() {
    let moves = |key: &str, limit: Value| {
        let mut request = json!({"do": "turn_plan", "from": "70 psi", "to": "52 psi", "rate": "15 psi/turn"});
        request[key] = limit;
        ask(&request)["moves"].as_array().unwrap().len()
    };
    assert_eq!(moves("max_move_turns", json!(0.5)), 3);
    assert_eq!(moves("max_move_turns", json!(1)), 2);
    assert_eq!(moves("max_move_turns", json!("1/2 turn")), 3);
    assert_eq!(moves("max_move_turns", json!("3 flats")), 3);
    assert_eq!(moves("max_move", json!("5 psi")), 4);
    assert_eq!(moves("max_move", json!(null)), 1);
}

#[test]
fn units_mix_and_absolute_pressures_are_told_by_their_key() {
    let plain = ask(&json!({"do": "turn_plan", "from": "60 psi", "to": "35 psi", "rate": "27 psi/turn"}));
    let mixed = ask(&json!({
        "do": "turn_plan", "from": "413.685437590 kPa", "to_abs": "49.696 psi", "rate": "1.86158446907 bar/turn",
    }));
    assert!(
        close(&mixed["turns"], plain["turns"].as_f64().unwrap(), 1e-9),
        "{mixed} {plain}"
    );
    let high = ask(&json!({
        "do": "turn_plan", "from": "60 psi", "to_abs": "47 psi", "atmosphere_abs": "12 psi", "rate": "27 psi/turn",
    }));
    assert!(
        close(&high["turns"], plain["turns"].as_f64().unwrap(), 1e-9),
        "{high}"
    );
}

#[test]
fn a_request_that_makes_no_sense_is_refused_by_a_stable_code() {
    for (line, code) in [
        (" ", "bad_json"),
        ("{", "bad_json"),
        ("{} {}", "bad_json"),
        (r#"{"do":"convert","value":NaN}"#, "bad_json"),
        ("[]", "not_an_object"),
        ("\"convert\"", "not_an_object"),
        (r#"{"do":"convert","do":"convert"}"#, "duplicate_key"),
        ("{}", "missing_key"),
        (r#"{"do":null}"#, "missing_key"),
        (r#"{"do":1}"#, "wrong_type"),
        (r#"{"do":"valve_float"}"#, "unknown_do"),
        (r#"{"do":"convert","to":"psi"}"#, "missing_key"),
        (r#"{"do":"convert","value":"1 psi"}"#, "missing_key"),
        (r#"{"do":"convert","value":1,"to":"psi"}"#, "wrong_type"),
        (
            r#"{"do":"convert","value":"1 furlong","to":"psi"}"#,
            "unknown_unit",
        ),
        (
            r#"{"do":"convert","value":"1 psi","to":"furlong"}"#,
            "unknown_unit",
        ),
        (
            r#"{"do":"convert","value":"1 psi","to":"gpm"}"#,
            "wrong_dimension",
        ),
        (r#"{"do":"convert","value":"1","to":"psi"}"#, "no_unit"),
        (
            r#"{"do":"convert","value":"1,5 bar","to":"psi"}"#,
            "decimal_comma",
        ),
        (r#"{"do":"convert","value":"inf psi","to":"kPa"}"#, "not_finite"),
        (r#"{"do":"convert","value":"1e308 GPa","to":"Pa"}"#, "not_finite"),
        (
            r#"{"do":"convert","value":"-300 degC","to":"degF"}"#,
            "below_absolute_zero",
        ),
        (
            r#"{"do":"convert","value":"1 psi","to":"kPa","temperature":"15 degC"}"#,
            "unknown_key",
        ),
    ] {
        assert_eq!(refused(line), code, "{line}");
    }
}

#[test]
fn a_plan_that_makes_no_sense_is_refused_by_a_stable_code() {
    for (key, value, code) in [
        ("from", json!("-15 psi"), "negative_absolute_pressure"),
        ("from", json!("1 1/2 psi"), "fraction_not_taken"),
        ("from_abs", json!("60 psi"), "given_twice"),
        ("to", json!("35 psi/turn"), "wrong_dimension"),
        ("rate", json!("0 psi/turn"), "rate_not_positive"),
        ("rate", json!("27 psi"), "wrong_dimension"),
        ("rate", json!("1e-320 psi/turn"), "not_finite"),
        ("range", json!(["30 psi"]), "wrong_type"),
        ("range", json!("30-300 psi"), "wrong_type"),
        ("range", json!(["300 psi", "30 psi"]), "empty_range"),
        ("inlet", json!("-1 bar/turn"), "wrong_dimension"),
        ("min_differential", json!("-5 psi"), "negative_differential"),
        ("max_move_turns", json!(0), "limit_not_positive"),
        ("max_move_turns", json!(1e-7), "too_many_moves"),
        ("max_move_turns", json!("1/0 turn"), "zero_denominator"),
        ("max_move_turns", json!(true), "wrong_type"),
        ("max_move", json!("-1 psi"), "limit_not_positive"),
        ("max_moves_turns", json!(0.5), "unknown_key"),
    ] {
        let mut request = json!({"do": "turn_plan", "from": "60 psi", "to": "35 psi", "rate": "27 psi/turn"});
        request[key] = value;
        assert_eq!(refused(&request.to_string()), code, "{request}");
    }
}

#[test]
fn steady_answers_state_mean_and_when() {
    let samples: Vec<_> = (0..60)
        .map(|second| json!([second, 60.0 + 8.0 * (-f64::from(second) / 5.0).exp()]))
        .collect();
    let answer = ask(&json!({"do": "steady", "samples": samples}));
    assert_eq!(answer["state"], "steady", "{answer}");
    // 5 s times the logarithm of 8 psi over the 0.6 psi band is 12.95 s.
    assert_eq!(answer["settled_at_s"], 13.0);
    assert!(answer["period_s"].is_null() && answer["warnings"] == json!([]));
    let ramp = ask(&json!({"do": "steady", "samples": [[60, 57], [0, 60], [120, 54]], "band": "5 kPa"}));
    assert_eq!(ramp["state"], "drifting");
    assert!(close(&ramp["slope_psi_per_min"], -3.0, 1e-12), "{ramp}");
    assert_eq!(ramp["warnings"], json!(["unordered"]));
    let two = ask(&json!({"do": "steady", "samples": [[0, 60], [60, 60]]}));
    assert_eq!(
        (&two["state"], &two["mean_psi"]),
        (&json!("too_short"), &json!(60.0))
    );
}

#[test]
fn samples_that_make_no_sense_are_refused_by_a_stable_code() {
    for (line, code) in [
        (r#"{"do":"steady"}"#, "missing_key"),
        (r#"{"do":"steady","samples":[]}"#, "no_samples"),
        (r#"{"do":"steady","samples":[[0]]}"#, "wrong_type"),
        (r#"{"do":"steady","samples":[[0,"60 psi"]]}"#, "wrong_type"),
        (r#"{"do":"steady","samples":[[0,null]]}"#, "wrong_type"),
        (r#"{"do":"steady","samples":[[0,1e300]]}"#, "not_finite"),
        (
            r#"{"do":"steady","samples":[[0,1]],"band":"0 psi"}"#,
            "band_not_positive",
        ),
        (
            r#"{"do":"steady","samples":[[0,1]],"bands":"1 psi"}"#,
            "unknown_key",
        ),
    ] {
        assert_eq!(refused(line), code, "{line}");
    }
}

#[test]
fn an_id_comes_back_word_for_word_with_an_error_as_well() {
    let mut output = Vec::new();
    let lines = br#"{"id": 12345678901234567890123.10 , "do": "x"}
{"do": "convert", "id": {"a": [1, null]}, "value": "1 psi", "to": "psi"}"#;
    super::run(&lines[..], &mut output).unwrap();
    let text = String::from_utf8(output).unwrap();
    let lines: Vec<_> = text.lines().collect();
    assert!(
        lines[0].starts_with(r#"{"id":12345678901234567890123.10,"error":{"code":"unknown_do""#),
        "{text}"
    );
    assert_eq!(lines[1], r#"{"id":{"a": [1, null]},"value":1.0,"warnings":[]}"#);
}

#[test]
fn an_id_that_no_reader_could_read_back_is_refused() {
    let deep = "[".repeat(500) + &"]".repeat(500);
    for id in ["1e999", "-1e999", r#"{"a": [1e400]}"#, deep.as_str()] {
        let line = format!(r#"{{"do": "convert", "value": "1 psi", "to": "psi", "id": {id}}}"#);
        assert!(
            ["bad_id", "bad_json"].contains(&refused(&line).as_str()),
            "{line}"
        );
    }
}

#[test]
fn after_a_line_that_cannot_be_read_the_next_one_is_served() {
    let good = br#"{"do":"convert","value":"1 ft","to":"in"}"#;
    let huge = [b"{\"do\":\"".as_slice(), &vec![b'x'; 10_000_000], b"\"}"].concat();
    let deep = "[".repeat(100_000);
    let input = [huge.as_slice(), good, b"\xff\xfe", good, deep.as_bytes(), good].join(&b'\n');
    let all = answers(&input);
    let codes: Vec<_> = all
        .iter()
        .map(|answer| answer["error"]["code"].as_str())
        .collect();
    assert_eq!(
        codes,
        [
            Some("line_too_long"),
            None,
            Some("not_utf8"),
            None,
            Some("not_an_object"),
            None
        ]
    );
    for answer in [&all[1], &all[3], &all[5]] {
        assert!(close(&answer["value"], 12.0, 1e-12));
    }
}

/// A writer that remembers what was written at each flush.
#[derive(Default)]
struct Flushed {
    written: Vec<u8>,
    lines_at_flush: Vec<usize>,
}

impl std::io::Write for &mut Flushed {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.written.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.lines_at_flush
            .push(String::from_utf8_lossy(&self.written).lines().count());
        Ok(())
    }
}

#[test]
fn each_answer_is_flushed_before_the_next_line_is_read() {
    let mut output = Flushed::default();
    super::run(&b"{}\n{}\n{}\n"[..], &mut output).unwrap();
    assert_eq!(output.lines_at_flush, [1, 2, 3]);
}

fn no_number_is_infinite(value: &Value) -> bool {
    match value {
        // A number that is not finite would have been written as null.
        Value::Null => false,
        Value::Array(items) => items.iter().all(no_number_is_infinite),
        Value::Object(fields) => fields
            .iter()
            .all(|(key, value)| key == "id" || no_number_is_infinite(value)),
        _ => true,
    }
}

proptest! {
    #[test]
    fn any_bytes_get_as_many_answers_as_they_have_lines(lines in proptest::collection::vec("[^\n]{0,60}", 1..8)) {
        let mut input = lines.join("\n");
        input.push('\n');
        prop_assert_eq!(answers(input.as_bytes()).len(), lines.len());
    }

    #[test]
    fn near_requests_get_an_answer_with_finite_numbers(
        command in "convert|turn_plan|surge",
        texts in proptest::collection::vec("-?[0-9]{1,4}(\\.[0-9]{1,3})?(e[0-9]{1,3})? (psi|kPa|bar|psi/turn|gpm|degF)", 4),
        unit in "psi|kPa|bar|degC|L/s",
        limit in proptest::option::of(-1.0_f64..2.0),
    ) {
        let request = json!({
            "do": command, "from": texts[0], "to": texts[1], "rate": texts[2], "inlet": texts[3],
            "max_move_turns": limit,
        });
        let convert = json!({"do": command, "value": texts[0], "to": unit});
        for request in [request, convert] {
            let answer = ask(&request);
            prop_assert!(no_number_is_infinite(&answer), "{} {}", request, answer);
        }
    }
}
