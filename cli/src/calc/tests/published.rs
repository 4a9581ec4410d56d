//! Each command against figures from outside, end to end: what goes in as text comes out as a number. Beside each row
//! its source. A row is met to half a step of its last printed digit.

use super::{ask, close};
use serde_json::{Value, json};

/// A request for a command with its inputs.
fn of(command: &str, inputs: Value) -> Value {
    let mut request = inputs;
    request["do"] = json!(command);
    let answer = ask(&request);
    assert!(answer["error"].is_null(), "{request} {answer}");
    answer
}

/// The figure printed is met to half its last digit.
fn printed(answer: &Value, key: &str, expected: f64, step: f64) {
    assert!(
        close(&answer[key], expected, step / 2.0 * (1.0 + 1e-9)),
        "{key} of {answer}, printed {expected}"
    );
}

/// Source: NIST SP 811, appendix B, recomputed with pint 0.25.3; Kv by its definition (IEC 60534-2-1).
#[test]
fn convert() {
    for (value, to, expected, step) in [
        ("1 psi", "kPa", 6.894_757_293, 1e-9),
        ("1 bar", "psi", 14.503_773_77, 1e-8),
        ("1 atm", "psi", 14.695_948_78, 1e-8),
        ("1 psi", "ft H2O", 2.306_659, 1e-6),
        ("1 ft H2O", "Pa", 2989.067, 1e-3),
        ("1 gpm", "L/s", 0.063_090_196_4, 1e-10),
        ("1 gpm", "m3/h", 0.227_124_707_04, 1e-11),
        ("1 cfs", "gpm", 448.831_168_8, 1e-7),
        ("1 Cv", "Kv", 0.864_977_655_4, 1e-10),
    ] {
        let answer = of("convert", json!({"value": value, "to": to}));
        printed(&answer, "value", expected, step);
    }
    // EPANET's rounded 0.4333 psi a foot makes its 50 psi read back as 50.03: its rounding, not ours.
    let epanet = of("convert", json!({"value": "115.3935 ft H2O", "to": "psi"}));
    printed(&epanet, "value", 50.0 * 0.433_527_5 / 0.4333, 1e-2);
}

/// Common practice, no source: plain arithmetic on a 30-300 psi spring of 27 psi a turn.
#[test]
fn turn_plan() {
    for (from, to, turns, step) in [
        ("60 psi", "35 psi", -0.926, 1e-3),
        ("40 psi", "35 psi", -0.185, 1e-3),
    ] {
        let answer = of(
            "turn_plan",
            json!({"from": from, "to": to, "rate": "27 psi/turn", "range": ["30 psi", "300 psi"]}),
        );
        printed(&answer, "turns", turns, step);
        assert_eq!(answer["direction"], "counter-clockwise");
        assert_eq!(answer["warnings"], json!(["near_end"]));
    }
    let small = of(
        "turn_plan",
        json!({"from": "40 psi", "to": "35 psi", "rate": "27 psi/turn"}),
    );
    printed(&small, "degrees", -67.0, 1.0);
    let fifteen = of(
        "turn_plan",
        json!({"from": "70 psi", "to": "52 psi", "rate": "15 psi/turn", "max_move_turns": 0.5}),
    );
    printed(&fifteen, "turns", -1.2, 1e-9);
    let moves: Vec<f64> = fifteen["moves"]
        .as_array()
        .unwrap()
        .iter()
        .map(|each| each.as_f64().unwrap())
        .collect();
    assert_eq!(moves.len(), 3);
    assert!((moves.iter().sum::<f64>() + 1.2).abs() < 1e-12);
}

/// Source: fluids 1.3.1 (IEC 60534-2-1, ISA-RP75.23) with the vapour pressure of IAPWS-95 at 15 degC, 14.696 psi.
#[test]
fn valve_flow() {
    for (inlet, outlet, cv, fl, dp, gpm, choked, isa, downstream) in [
        (100, 50, 400, 0.90, 92.71, 2828.43, false, 2.2890, 1.2890),
        (150, 20, 200, 0.85, 118.82, 2180.11, true, 1.2650, 0.2650),
        (80, 75, 800, 0.90, 76.51, 1788.85, false, 18.8897, 17.8897),
    ] {
        let answer = of(
            "valve_flow",
            json!({"cv": cv, "inlet": format!("{inlet} psi"), "outlet": format!("{outlet} psi"), "fl": fl}),
        );
        printed(&answer, "dp_choked_psi", dp, 0.01);
        printed(&answer, "flow_gpm", gpm, 0.01);
        assert_eq!(answer["choked"], choked, "{answer}");
        printed(&answer, "ff", 0.957_538, 1e-6);
        printed(&answer, "sigma_isa", isa, 1e-4);
        printed(&answer, "sigma_downstream", downstream, 1e-4);
    }
    let by_kv = of(
        "valve_flow",
        json!({"kv": "345.99106216 Kv", "inlet": "100 psi", "outlet": "50 psi", "fl": 0.9}),
    );
    printed(&by_kv, "flow_gpm", 2828.43, 0.01);
}

/// Source: the field rows above, the other way round.
#[test]
fn required_cv() {
    for (flow, inlet, outlet, fl, cv, choked) in [
        ("2828.427 gpm", 100, 50, 0.90, 400.0, false),
        ("2180.11 gpm", 150, 20, 0.85, 200.0, true),
        ("1788.854 gpm", 80, 75, 0.90, 800.0, false),
    ] {
        let answer = of(
            "required_cv",
            json!({"flow": flow, "inlet": format!("{inlet} psi"), "outlet": format!("{outlet} psi"), "fl": fl}),
        );
        printed(&answer, "cv", cv, 0.01);
        printed(&answer, "kv", cv * 0.864_977_655_4, 0.01);
        assert_eq!(answer["choked"], choked, "{answer}");
    }
}

/// Source: IAPWS-95 as CoolProp 8.0.0 computes it.
#[test]
fn vapour_pressure() {
    for (at, pa) in [
        ("5 degC", 872.58),
        ("15 degC", 1705.79),
        ("25 degC", 3169.93),
        ("40 degC", 7384.94),
        ("59 degF", 1705.79),
    ] {
        printed(&of("vapour_pressure", json!({"temperature": at})), "pa", pa, 0.01);
    }
}

/// Source: continuity in the units of NIST SP 811: V[ft/s] = 0.4084977 Q[gpm] / d[in]^2.
#[test]
fn velocity() {
    let answer = of("velocity", json!({"flow": "1 gpm", "diameter": "1 in"}));
    printed(&answer, "ft_per_s", 0.408_497_7, 1e-7);
    printed(&answer, "m_per_s", 0.408_497_7 * 0.3048, 1e-7);
}

/// Source: NFPA 291, plain arithmetic. 1178 gpm goes around for the third row; the equation gives 1061.
#[test]
fn hydrant_flow() {
    for (coefficient, pitot, gpm) in [
        (0.90, 10, 530.61),
        (0.90, 20, 750.40),
        (0.90, 40, 1061.22),
        (0.80, 25, 745.75),
    ] {
        let answer = of(
            "hydrant_flow",
            json!({"coefficient": coefficient, "diameter": "2 1/2 in", "pitot": format!("{pitot} psi")}),
        );
        printed(&answer, "flow_gpm", gpm, 0.01);
    }
}

/// Source: NFPA 291, plain arithmetic. That a small drop is not to be trusted is from memory; that the law fails behind
/// a regulating valve is common practice, no source.
#[test]
fn available_flow() {
    for (test, still, residual, gpm, warnings) in [
        (
            "1061 gpm",
            "80 psi",
            "60 psi",
            1920.3,
            json!(["not_behind_regulating_valve"]),
        ),
        (
            "1000 gpm",
            "65 psi",
            "50 psi",
            1809.9,
            json!(["not_behind_regulating_valve", "small_drop"]),
        ),
    ] {
        let inputs = json!({"test_flow": test, "static": still, "residual": residual});
        let answer = of("available_flow", inputs.clone());
        printed(&answer, "flow_gpm", gpm, 0.1);
        assert_eq!(answer["warnings"], warnings);
        let mut said = inputs;
        said["at"] = json!("20 psi");
        assert_eq!(of("available_flow", said)["flow_gpm"], answer["flow_gpm"]);
    }
}

/// Source: the equation for a thin-walled pipe, plain arithmetic: ductile iron, D 0.2189 m, wall 6.9 mm, 166 GPa, water
/// of 2.19 GPa.
#[test]
fn wave_speed() {
    let answer = of(
        "wave_speed",
        json!({
            "diameter": "0.2189 m", "wall": "6.9 mm", "youngs_modulus": "166 GPa", "bulk_modulus": "2.19 GPa",
            "density": "1000 kg/m3", "c1": 1,
        }),
    );
    printed(&answer, "m_per_s", 1242.5, 0.1);
}

/// Source: US Army TM 5-813-9, figure 4-5 (public domain): 2690 ft/s, 3400 ft, 6.48 ft/s; its 544.7 ft and 236.1 psi
/// come of g = 32 ft/s2, where 9.80665 m/s2 gives 0.54 % less head.
#[test]
fn surge() {
    let answer = of(
        "surge",
        json!({"wave_speed": "2690 ft/s", "velocity_change": "6.48 ft/s", "length": "3400 ft"}),
    );
    printed(&answer, "critical_time_s", 2.53, 0.01);
    let standard_gravity = 9.806_65 / 0.3048;
    printed(&answer, "rise_psi", 236.1 * 32.0 / standard_gravity, 0.2);
    let alone = of(
        "surge",
        json!({"wave_speed": "2690 ft/s", "velocity_change": "6.48 ft/s"}),
    );
    assert!(alone["critical_time_s"].is_null());
}

/// Source: hydrostatics with the conventional foot of water (NIST SP 811): 3.5 ft are 1.517 psi.
#[test]
fn elevation() {
    let below = of(
        "elevation",
        json!({"pressure": "60 psi", "from": "100 ft", "to": "96.5 ft"}),
    );
    printed(&below, "psi", 61.517, 1e-3);
    // At 15 degC 2.30873 ft of water make a psi (IAPWS-95).
    let warm = of(
        "elevation",
        json!({"pressure": "10 psi", "from": "0 ft", "to": "2.30873 ft", "temperature": "15 degC"}),
    );
    printed(&warm, "psi", 9.0, 1e-5);
}

/// Source: the GUM (JCGM 100:2008), plain arithmetic. The grades of ASME B40.100 are from memory.
#[test]
fn gauge() {
    for (span, resolution, standard, expanded) in [
        ("200 psi", "1 psi", 0.6455, 1.2910),
        ("100 psi", "0.5 psi", 0.3227, 0.6455),
    ] {
        for accuracy in [
            json!({"percent": 0.5}),
            json!({"percent": "0.5 %"}),
            json!({"grade": "2A"}),
        ] {
            let mut inputs = accuracy;
            inputs["span"] = json!(span);
            inputs["resolution"] = json!(resolution);
            let answer = of("gauge", inputs);
            printed(&answer, "standard_psi", standard, 1e-4);
            printed(&answer, "expanded_psi", expanded, 1e-4);
        }
    }
    for (grade, middle, end) in [
        ("4A", 0.1, 0.1),
        ("3A", 0.25, 0.25),
        ("2A", 0.5, 0.5),
        ("1A", 1.0, 1.0),
        ("A", 1.0, 2.0),
        ("B", 2.0, 3.0),
        ("C", 3.0, 4.0),
        ("D", 5.0, 5.0),
    ] {
        let limit = |at: &str| {
            let answer = of("gauge", json!({"span": "100 psi", "grade": grade, "at": at}));
            answer["standard_psi"].as_f64().unwrap() * 3.0_f64.sqrt()
        };
        assert!((limit("50 psi") - middle).abs() < 1e-9, "{grade}");
        assert!((limit("90 psi") - end).abs() < 1e-9, "{grade}");
    }
}

/// Source: ISO/IEC 17043 for the number; using it for two field gauges is an extension of ours.
#[test]
fn agreement() {
    for (ua, en, agree) in [("2.0 psi", 0.9701, true), ("1.0 psi", 1.7889, false)] {
        let answer = of(
            "agreement",
            json!({"a": "62.0 psi", "ua": ua, "b": "60.0 psi", "ub": "0.5 psi"}),
        );
        printed(&answer, "en", en, 1e-4);
        assert_eq!(answer["agree"], agree);
    }
}

/// Source: the normal distribution: the printed rate with 20 % of it as standard deviation and nothing learned leaves
/// 1.959964 of them either side.
#[test]
fn learn_rate() {
    let answer = of("learn_rate", json!({"printed": "27 psi/turn", "moves": []}));
    printed(&answer, "psi_per_turn", 27.0, 1e-6);
    printed(&answer, "low", 27.0 - 1.959_964 * 5.4, 1e-3);
    printed(&answer, "high", 27.0 + 1.959_964 * 5.4, 1e-3);
    assert!(answer["dead_band_turns"].is_null());
    let still = json!({"turns": -0.5, "before": "60 psi", "after": "60 psi", "flow": false});
    let told = of("learn_rate", json!({"printed": "27 psi/turn", "moves": [still]}));
    assert_eq!(told["psi_per_turn"], answer["psi_per_turn"]);
}

/// Plain arithmetic: a mean, a slope, a period and an amplitude that were put in.
#[test]
fn steady() {
    let state = |samples: &dyn Fn(f64) -> f64| {
        let samples: Vec<_> = (0..240_u16)
            .map(|half| [f64::from(half) / 2.0, samples(f64::from(half) / 2.0)])
            .collect();
        of("steady", json!({"samples": samples, "band": "0.5 psi"}))
    };
    let level = state(&|_| 60.0);
    assert_eq!(level["state"], "steady");
    printed(&level, "mean_psi", 60.0, 1e-9);
    let ramp = state(&|at| 60.0 - at / 20.0);
    assert_eq!(ramp["state"], "drifting");
    printed(&ramp, "slope_psi_per_min", -3.0, 1e-6);
    let swing = state(&|at| 60.0 + 4.0 * (std::f64::consts::TAU * at / 10.0).sin());
    assert_eq!(swing["state"], "hunting");
    printed(&swing, "period_s", 10.0, 0.5);
    printed(&swing, "amplitude_psi", 4.0, 0.5);
    let two = of("steady", json!({"samples": [[0, 60], [60, 60]]}));
    assert_eq!(two["state"], "too_short");
}

/// Source: EPANET 2.2 by way of wntr 1.5.0: one valve behind 500 m of 0.3 m feed (Hazen-Williams 130, valve 0.2 m, K 5,
/// 30 L/s, set to 40 m), and the valves of the network Net6 that ships with it, at the start.
#[test]
fn valve_state() {
    for (inlet, outlet, setting, flow, state) in [
        ("79.654 m H2O", "40.000 m H2O", "40 m H2O", "30 L/s", "regulating"),
        ("34.654 m H2O", "34.422 m H2O", "40 m H2O", "30 L/s", "wide_open"),
        ("80.000 m H2O", "59.654 m H2O", "40 m H2O", "0 L/s", "closed"),
        ("131.59 psi", "55.03 psi", "55 psi", "156.35 gpm", "regulating"),
        ("115.21 psi", "50.33 psi", "50 psi", "0 gpm", "closed"),
    ] {
        let answer = of(
            "valve_state",
            json!({"inlet": inlet, "outlet": outlet, "setting": setting, "flow": flow}),
        );
        assert_eq!(answer["state"], state, "{answer}");
    }
    let equal = of(
        "valve_state",
        json!({"inlet": "60 psi", "outlet": "60 psi", "setting": "40 psi"}),
    );
    assert_eq!(equal["state"], "no_flow_or_wide_open");
}
