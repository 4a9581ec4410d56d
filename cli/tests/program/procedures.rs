//! An owner's procedure files, given to the programs by a folder.

use crate::support::Program;
use serde_json::{Value, json};
use std::path::Path;

/// A further procedure of an owner's.
const ROUND: &str = r#"id = "round"
title = { en = "Weekly round", es = "Ronda semanal" }

[[point]]
id = "outlet"
label = { en = "Outlet", es = "Salida" }

[[phase]]
id = "look"
title = { en = "Look", es = "Mirar" }

[[phase.step]]
id = "look.outlet"
who = "either"
title = { en = "Read the outlet", es = "Lea la salida" }
say = { en = "Read the outlet.", es = "Lea la salida." }
why = { en = "It tells.", es = "Lo dice." }
"#;

/// A folder with a good file and every kind of broken one.
fn folder(dir: &Path) {
    let cycle = ROUND.replace("why =", "needs = [{ step = \"look.outlet\" }]\nwhy =");
    for (name, text) in [
        ("cut.toml", &ROUND[..ROUND.len() - 9]),
        ("cycle.toml", &cycle),
        ("language.toml", &ROUND.replace(", es = \"Salida\"", "")),
        ("large.toml", &"#".repeat(200_000)),
        ("round.toml", ROUND),
        (
            "step.toml",
            &cycle.replace("step = \"look.outlet\"", "step = \"look.lid\""),
        ),
    ] {
        std::fs::write(dir.join(name), text).unwrap();
    }
}

/// The refused files as (name, line, code), and whether the good one is at hand.
fn shown(procedures: &Value) -> (Vec<(String, u64, String)>, bool) {
    let refused = procedures["refused"].as_array().unwrap();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let rows = refused.iter().map(|row| {
        (
            text(&row["file"]),
            row["line"].as_u64().unwrap(),
            text(&row["code"]),
        )
    });
    let all = procedures["all"].as_array().unwrap();
    let good = all
        .iter()
        .any(|known| known["id"] == "round" && known["owner"]["file"] == "round.toml");
    (rows.collect(), good)
}

fn expected() -> Vec<(String, u64, String)> {
    [
        ("cut.toml", 17, "syntax"),
        ("cycle.toml", 17, "cycle"),
        ("language.toml", 6, "missing_text"),
        ("large.toml", 0, "too_large"),
        ("step.toml", 17, "unknown_step"),
    ]
    .map(|(file, line, code)| (file.to_owned(), line, code.to_owned()))
    .to_vec()
}

#[test]
fn an_office_shows_each_broken_file_with_its_line_and_hands_out_by_the_good_one() {
    let (dir, files) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    folder(files.path());
    let office = Program::office_with_procedures(dir.path(), files.path());
    let home = office.ask("GET", "/api/jobs", "").unwrap().json();
    assert_eq!(shown(&home["procedures"]), (expected(), true));
    let psi = |digits: &str| json!({ "digits": digits, "unit": "psi" });
    let job = json!({
        "number": "2041", "customer": "Pine Hollow Water", "site": "Mill Road", "station": "Vault 7", "valve": "Main",
        "procedure": "round",
        "request": { "pressure": psi("55.0"), "datum": "at the valve", "asked_by": "the operator" },
        "crew": [{ "name": "Ana Ruiz", "role": "lead_tech" }],
    });
    let job = office.ask("POST", "/api/jobs", &job.to_string()).unwrap();
    assert_eq!(job.status, 200, "{job:?}");
    assert_eq!(job.json()["valves"][0]["procedure_owner"]["file"], "round.toml");

    for broken in [
        "cut.toml",
        "cycle.toml",
        "language.toml",
        "large.toml",
        "step.toml",
    ] {
        std::fs::remove_file(files.path().join(broken)).unwrap();
    }
    let again = office.ask("POST", "/api/procedures/reload", "").unwrap();
    assert_eq!(shown(&again.json()), (Vec::new(), true));
}

#[test]
fn a_tablet_shows_the_same_and_looks_under_its_data_where_no_folder_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let own = dir.path().join("procedures");
    std::fs::create_dir_all(&own).unwrap();
    folder(&own);
    let tablet = Program::tablet(dir.path());
    let home = tablet.ask("POST", "/api/view", "\"home\"").unwrap().json();
    assert_eq!(shown(&home["home"]["procedures"]), (expected(), true));
    for broken in [
        "cut.toml",
        "cycle.toml",
        "language.toml",
        "large.toml",
        "step.toml",
    ] {
        std::fs::remove_file(own.join(broken)).unwrap();
    }
    let read = tablet
        .ask("POST", "/api/command", "\"reload_procedures\"")
        .unwrap();
    assert_eq!(read.status, 200, "{read:?}");
    let home = tablet.ask("POST", "/api/view", "\"home\"").unwrap().json();
    assert_eq!(shown(&home["home"]["procedures"]), (Vec::new(), true));
}
