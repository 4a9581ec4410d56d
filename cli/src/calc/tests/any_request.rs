//! Requests of every command with whatever one may put in: an answer for each line, and no number that is not finite.

use super::{answers, no_number_is_infinite};
use proptest::prelude::*;
use serde_json::{Map, Value, json};

/// Every command with the keys that it knows, those it needs first.
pub const COMMANDS: &[(&str, &[&str])] = &[
    ("convert", &["value", "to"]),
    (
        "turn_plan",
        &[
            "from",
            "to",
            "rate",
            "range",
            "inlet",
            "min_differential",
            "max_move_turns",
            "max_move",
        ],
    ),
    (
        "valve_flow",
        &[
            "cv",
            "inlet",
            "outlet",
            "fl",
            "temperature",
            "atmosphere_abs",
            "kv",
        ],
    ),
    ("required_cv", &["flow", "inlet", "outlet", "fl", "temperature"]),
    ("vapour_pressure", &["temperature"]),
    ("velocity", &["flow", "diameter"]),
    ("hydrant_flow", &["coefficient", "diameter", "pitot"]),
    ("available_flow", &["test_flow", "static", "residual", "at"]),
    (
        "wave_speed",
        &[
            "diameter",
            "wall",
            "youngs_modulus",
            "bulk_modulus",
            "density",
            "c1",
        ],
    ),
    ("surge", &["wave_speed", "velocity_change", "length"]),
    ("elevation", &["pressure", "from", "to", "temperature"]),
    ("gauge", &["span", "grade", "resolution", "percent", "at"]),
    ("agreement", &["a", "ua", "b", "ub"]),
    ("learn_rate", &["printed", "moves"]),
    ("steady", &["samples", "band"]),
    (
        "valve_state",
        &[
            "inlet",
            "outlet",
            "setting",
            "flow",
            "min_differential",
            "uncertainty",
        ],
    ),
];

/// A number as somebody may write it.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => (-200.0_f64..400.0).prop_map(|number| format!("{number:.2}")),
        1 => any::<f64>().prop_map(|number| format!("{number:e}")),
        1 => "-?[0-9]{1,3}( [0-9]/[0-9])?|0|-0|1e-320|1e308|NaN|inf|1,5|",
    ]
}

/// A value of the kind that the key wants, most of the time.
fn value(key: &'static str) -> BoxedStrategy<Value> {
    let units = match key {
        "rate" | "printed" => "psi/turn|kPa/turn|bar/turn|psi",
        "flow" | "test_flow" => "gpm|L/s|m3/h|cfs|psi",
        "diameter" | "wall" | "length" => "in|mm|m|ft|psi",
        "temperature" => "degC|degF|psi",
        "wave_speed" | "velocity_change" => "ft/s|m/s|psi",
        "youngs_modulus" | "bulk_modulus" => "GPa|MPa|psi|gpm",
        "density" => "kg/m3|psi",
        _ => "psi|kPa|bar|m H2O|ft H2O|gpm|furlong",
    };
    let text = (number(), units).prop_map(|(number, unit)| json!(format!("{number} {unit}")));
    let pressure = || number().prop_map(|number| format!("{number} psi"));
    let bare = number().prop_map(|number| number.parse::<f64>().map_or(Value::Null, |number| json!(number)));
    let odd = prop_oneof![
        Just(Value::Null),
        Just(json!(true)),
        Just(json!([])),
        Just(json!({})),
        "[a-z ]{0,6}".prop_map(Value::from),
    ];
    match key {
        "cv" | "kv" | "fl" | "coefficient" | "c1" | "percent" | "max_move_turns" => {
            prop_oneof![6 => (0.01_f64..2.0).prop_map(|number| json!(number)), 2 => bare, 1 => odd].boxed()
        }
        "to" => prop_oneof![6 => "psi|kPa|bar|gpm|in|Kv".prop_map(Value::from), 2 => text, 1 => odd].boxed(),
        "grade" => prop_oneof![6 => "4A|1A|B|D|grade C|0.5 %".prop_map(Value::from), 1 => odd].boxed(),
        "range" => {
            prop_oneof![6 => (pressure(), pressure()).prop_map(|(low, high)| json!([low, high])), 1 => odd]
                .boxed()
        }
        "samples" => {
            let sample = (0.0_f64..600.0, -50.0_f64..300.0).prop_map(|(at, psi)| json!([at, psi]));
            let wild = (any::<f64>(), any::<f64>()).prop_map(|(at, psi)| json!([at, psi]));
            let each = prop_oneof![20 => sample, 1 => wild, 1 => bare];
            prop_oneof![6 => proptest::collection::vec(each, 0..60).prop_map(Value::from), 1 => odd].boxed()
        }
        "moves" => {
            let moved = (bare, pressure(), pressure(), any::<Option<bool>>()).prop_map(
                |(turns, before, after, flow)| json!({"turns": turns, "before": before, "after": after, "flow": flow}),
            );
            prop_oneof![6 => proptest::collection::vec(moved, 0..6).prop_map(Value::from), 1 => odd].boxed()
        }
        _ => prop_oneof![8 => text, 1 => bare, 1 => odd].boxed(),
    }
}

/// A request of one command: any of its keys given, the first ones most of the time.
fn request() -> impl Strategy<Value = Value> {
    prop::sample::select(COMMANDS).prop_flat_map(|(command, keys)| {
        let given: Vec<_> = keys
            .iter()
            .enumerate()
            .map(|(at, key)| {
                let likely = if at < 4 { 0.97 } else { 0.3 };
                (Just(*key), prop::option::weighted(likely, value(key)))
            })
            .collect();
        given.prop_map(move |given| {
            let mut request: Map<String, Value> = given
                .into_iter()
                .filter_map(|(key, value)| Some((key.to_owned(), value?)))
                .collect();
            request.insert("do".to_owned(), json!(command));
            Value::Object(request)
        })
    })
}

/// Nulls that an answer may hold: a figure that does not exist, never one that is not finite.
const MAY_BE_NULL: [&str; 3] = ["dead_band_turns", "sigma_isa", "sigma_downstream"];

fn finite(mut answer: Value) -> bool {
    if let Some(fields) = answer.as_object_mut() {
        for key in MAY_BE_NULL {
            if fields.get(key).is_some_and(Value::is_null) {
                fields.remove(key);
            }
        }
    }
    no_number_is_infinite(&answer)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn every_request_gets_one_answer_with_finite_numbers(requests in proptest::collection::vec(request(), 1..4)) {
        let lines: Vec<String> = requests.iter().map(Value::to_string).collect();
        let all = answers(lines.join("\n").as_bytes());
        prop_assert_eq!(all.len(), requests.len());
        for (request, answer) in requests.iter().zip(all) {
            let refused = answer["error"]["code"].as_str().is_some_and(|code| !code.is_empty());
            prop_assert!(refused || answer["warnings"].is_array(), "{} {}", request, answer);
            prop_assert!(finite(answer.clone()), "{} {}", request, answer);
        }
    }
}

/// The list above holds commands that there are, each of which wants something.
#[test]
fn every_command_tried_is_known() {
    for (command, keys) in COMMANDS {
        let answer = super::ask(&json!({"do": command}));
        let code = &answer["error"]["code"];
        assert_ne!(code, "unknown_do", "{command}");
        assert_eq!(code, "missing_key", "{command}");
        assert!(!keys.is_empty());
    }
}
