//! Anything at all on the input of `turnwise calc`: bytes as they come, and requests put together from the words that it
//! knows. Every line gets one answer, and no answer holds a number that is not finite.

#![no_main]

#[path = "../../../cli/src/calc/mod.rs"]
#[allow(dead_code, reason = "a fuzz target uses its entry alone")]
mod calc;

use libfuzzer_sys::fuzz_target;
use serde_json::Value;

const COMMANDS: [&str; 16] = [
    "convert", "learn_rate", "turn_plan", "steady", "valve_flow", "required_cv", "vapour_pressure", "velocity",
    "hydrant_flow", "available_flow", "wave_speed", "surge", "elevation", "gauge", "agreement", "valve_state",
];

const KEYS: [&str; 52] = [
    "id", "value", "to", "from", "rate", "range", "inlet", "outlet", "min_differential", "max_move_turns", "max_move",
    "cv", "kv", "fl", "temperature", "atmosphere_abs", "flow", "diameter", "coefficient", "pitot", "test_flow",
    "static", "residual", "at", "wall", "youngs_modulus", "bulk_modulus", "density", "c1", "wave_speed",
    "velocity_change", "length", "pressure", "span", "grade", "percent", "resolution", "a", "ua", "b", "ub",
    "printed", "moves", "samples", "band", "setting", "uncertainty", "turns", "before", "after", "inlet_abs",
    "outlet_abs",
];

const UNITS: [&str; 20] = [
    "psi", "kPa", "bar", "m H2O", "ft H2O", "psi/turn", "gpm", "L/s", "in", "mm", "m", "ft", "ft/s", "degC", "degF",
    "GPa", "kg/m3", "turn", "%", "furlong",
];

/// Bytes used up from the front.
struct Input<'a>(&'a [u8]);

impl Input<'_> {
    fn byte(&mut self) -> u8 {
        let Some((&byte, rest)) = self.0.split_first() else {
            return 0;
        };
        self.0 = rest;
        byte
    }

    fn one<'w>(&mut self, words: &[&'w str]) -> &'w str {
        words[usize::from(self.byte()) % words.len()]
    }

    /// A number of any size, or what is none.
    fn number(&mut self) -> String {
        match self.byte() % 8 {
            0 => {
                let bytes = std::array::from_fn(|_| self.byte());
                format!("{:e}", f64::from_le_bytes(bytes))
            }
            1 => format!("{} {}/{}", self.byte(), self.byte() % 8, self.byte() % 9),
            2 => format!("-{}.{}", self.byte(), self.byte()),
            _ => format!("{}.{}", u16::from(self.byte()) * 2, self.byte()),
        }
    }

    fn value(&mut self, depth: u8) -> String {
        match self.byte() % 10 {
            0 => self.number(),
            1 => self.one(&["null", "true", "false", "\"2A\"", "\"\"", "[]", "{}", "1e400"]).to_owned(),
            2 if depth < 2 => {
                let items: Vec<_> = (0..self.byte() % 6).map(|_| self.value(depth + 1)).collect();
                format!("[{}]", items.join(","))
            }
            3 if depth < 2 => {
                let pairs: Vec<_> = (0..self.byte() % 12)
                    .map(|_| format!("[{},{}]", self.byte(), self.number()))
                    .collect();
                format!("[{}]", pairs.join(","))
            }
            4 if depth < 2 => format!("[{}]", self.object(depth + 1)),
            _ => format!("\"{} {}\"", self.number(), self.one(&UNITS)),
        }
    }

    fn object(&mut self, depth: u8) -> String {
        let fields: Vec<_> = (0..self.byte() % 9)
            .map(|_| format!("\"{}\":{}", self.one(&KEYS), self.value(depth)))
            .collect();
        format!("{{{}}}", fields.join(","))
    }

    fn request(&mut self) -> String {
        let body = self.object(0);
        let command = self.one(&COMMANDS);
        let comma = if body == "{}" { "" } else { "," };
        format!("{{\"do\":\"{command}\"{comma}{}", &body[1..])
    }
}

/// Nulls stand where a figure does not exist. A number that is not finite would be written as null anywhere else.
const MAY_BE_NULL: [&str; 4] = ["id", "dead_band_turns", "sigma_isa", "sigma_downstream"];

fn finite(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Array(items) => items.iter().all(finite),
        Value::Object(fields) => fields
            .iter()
            .all(|(key, value)| MAY_BE_NULL.contains(&key.as_str()) || finite(value)),
        _ => true,
    }
}

fuzz_target!(|data: &[u8]| {
    let mut input = Input(data);
    let lines = match input.byte() % 3 {
        0 => input.0.to_vec(),
        _ => (0..=input.byte() % 3).map(|_| input.request() + "\n").collect::<String>().into_bytes(),
    };
    let mut output = Vec::new();
    calc::run(&lines[..], &mut output).expect("reading and writing memory cannot fail");
    let asked = lines.split_inclusive(|&byte| byte == b'\n').count();
    let text = String::from_utf8(output).expect("answers are UTF-8");
    assert_eq!(text.lines().count(), asked, "{}", String::from_utf8_lossy(&lines));
    for answer in text.lines() {
        let answer: Value = serde_json::from_str(answer).expect("an answer is JSON");
        assert!(finite(&answer), "{answer} to {}", String::from_utf8_lossy(&lines));
    }
});
