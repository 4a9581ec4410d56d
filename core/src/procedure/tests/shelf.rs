//! The owner's procedure files: what is taken, what is refused, and what a job is worked by.

use super::crew::{Tablet, all_built_in, built_in};
use crate::journal::{Body, ProcedureFile};
use crate::procedure::{CARRIED_BYTES, FoundFile, OWNER_MAX_BYTES, RefusedFile, Shelf};

/// A further procedure of an owner's: a walk round the chamber.
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
evidence = [{ reading = "outlet" }]
"#;

fn found(name: &str, text: &str) -> FoundFile {
    FoundFile {
        name: name.to_owned(),
        text: Ok(text.to_owned()),
    }
}

fn shelf(files: Vec<FoundFile>) -> Shelf {
    let mut shelf = Shelf::new().unwrap();
    shelf.take_in(files).unwrap();
    shelf
}

fn refused(files: Vec<FoundFile>) -> Vec<(String, u32, String)> {
    let shelf = shelf(files);
    let all = shelf.refused().iter();
    all.map(|RefusedFile { file, line, code, .. }| (file.clone(), *line, code.clone()))
        .collect()
}

fn one(file: &str, line: u32, code: &str) -> Vec<(String, u32, String)> {
    vec![(file.to_owned(), line, code.to_owned())]
}

/// The product's reducing procedure under an owner's pen: another title.
fn ours() -> String {
    let text = include_str!("../../../procedures/reducing.toml");
    text.replace(
        "Reducing valve: put in service and set",
        "Reducing valve, the district's way",
    )
}

#[test]
fn a_file_with_a_new_id_is_a_further_procedure_and_is_marked_as_the_owners() {
    let shelf = shelf(vec![found("round.toml", ROUND)]);
    let round = shelf.at_hand().get("round").unwrap();
    let owner = round.owner.as_ref().unwrap();
    assert_eq!(owner.file, "round.toml");
    assert_eq!(owner.digest.len(), 64);
    assert_eq!(shelf.at_hand().iter().count(), all_built_in().iter().count() + 1);
    let shown = shelf.shown(Some("/the/folder".to_owned()));
    let last = shown.all.last().unwrap();
    assert_eq!(
        (last.id.as_str(), last.title.en.as_str()),
        ("round", "Weekly round")
    );
    assert!(shown.all[0].owner.is_none());
}

#[test]
fn a_file_with_a_built_in_id_takes_its_place_and_is_marked() {
    let shelf = shelf(vec![found("ours.toml", &ours())]);
    let reducing = shelf.at_hand().get("reducing").unwrap();
    assert_eq!(reducing.title.en, "Reducing valve, the district's way");
    assert_eq!(reducing.owner.as_ref().unwrap().file, "ours.toml");
    assert_ne!(reducing.digest, built_in("reducing").digest);
    assert_eq!(shelf.at_hand().iter().count(), all_built_in().iter().count());
}

#[test]
fn an_owner_may_change_what_is_done_but_not_leave_out_what_stops_it() {
    let bare = ROUND.replacen("id = \"round\"", "id = \"reducing\"", 1);
    assert_eq!(
        refused(vec![found("bare.toml", &bare)]),
        one("bare.toml", 0, "hard_stop_left_out")
    );
    let shelf = shelf(vec![found("bare.toml", &bare)]);
    assert!(shelf.at_hand().get("reducing").unwrap().owner.is_none());
    assert!(shelf.refused()[0].reason.contains("entry."));
}

#[test]
fn a_broken_file_is_refused_with_its_line_and_the_rest_go_on_working() {
    let broken = ROUND.replace("reading = \"outlet\"", "reading = \"inlet\"");
    let shelf = shelf(vec![found("a-broken.toml", &broken), found("round.toml", ROUND)]);
    let refused = &shelf.refused()[0];
    assert_eq!(
        (refused.file.as_str(), refused.line, refused.code.as_str()),
        ("a-broken.toml", 18, "unknown_point")
    );
    assert_eq!(refused.reason, "there is no point `inlet`");
    assert!(shelf.at_hand().get("round").is_some());
    assert!(shelf.at_hand().get("reducing").is_some());
}

#[test]
fn each_way_to_be_broken_is_told_apart() {
    let round = |find: &str, put: &str| {
        assert!(ROUND.contains(find), "{find}");
        refused(vec![found("f.toml", &ROUND.replacen(find, put, 1))])
    };
    assert_eq!(
        refused(vec![found("f.toml", &ROUND[..ROUND.len() - 20])]),
        one("f.toml", 18, "syntax")
    );
    assert_eq!(round(", es = \"Salida\"", ""), one("f.toml", 6, "missing_text"));
    assert_eq!(
        round("es = \"Salida\"", "fr = \"Sortie\""),
        one("f.toml", 6, "syntax")
    );
    assert_eq!(
        round(
            "evidence = [{ reading",
            "needs = [{ step = \"look.lid\" }]\nevidence = [{ reading"
        ),
        one("f.toml", 18, "unknown_step")
    );
    assert_eq!(
        round(
            "evidence = [{ reading",
            "needs = [{ step = \"look.outlet\" }]\nevidence = [{ reading"
        ),
        one("f.toml", 18, "cycle")
    );
    let too_large = format!("{ROUND}{}", "#".repeat(OWNER_MAX_BYTES));
    assert_eq!(
        refused(vec![found("f.toml", &too_large)]),
        one("f.toml", 0, "too_large")
    );
    for code in ["too_large", "not_text", "unreadable"] {
        let unread = FoundFile {
            name: "f.toml".to_owned(),
            text: Err(code),
        };
        assert_eq!(refused(vec![unread]), one("f.toml", 0, code));
    }
    assert_eq!(
        refused(vec![found("a.toml", ROUND), found("b.toml", ROUND)]),
        one("b.toml", 0, "duplicate_id")
    );
}

#[test]
fn every_cut_of_a_file_is_refused_or_whole_and_never_panics() {
    let cuts = (0..ROUND.len()).filter(|&cut| ROUND.is_char_boundary(cut));
    let mut shelf = Shelf::new().unwrap();
    for cut in cuts.step_by(7) {
        shelf.take_in(vec![found("cut.toml", &ROUND[..cut])]).unwrap();
        let there = shelf.at_hand().get("round").is_some();
        assert_ne!(there, !shelf.refused().is_empty(), "cut at {cut}");
        assert!(shelf.at_hand().get("reducing").is_some());
    }
}

#[test]
fn what_is_read_again_takes_the_place_of_what_was_read_before() {
    let mut shelf = shelf(vec![found("ours.toml", &ours()), found("bad.toml", "id =")]);
    assert_eq!(shelf.refused().len(), 1);
    shelf.take_in(Vec::new()).unwrap();
    assert!(shelf.refused().is_empty());
    assert_eq!(shelf.at_hand().get("reducing").unwrap().owner, None);
}

/// A job that carries these bodies, seen by a device that has no folder of its own.
fn worked_by(bodies: Vec<Body>, id: &str) -> Option<(String, Option<String>)> {
    let mut opener = Tablet::opens("reducing");
    for body in bodies {
        opener.say(body);
    }
    let state = opener.state();
    let mut other = Shelf::new().unwrap();
    let all = other.of_job(&state);
    let procedure = all.get(id)?;
    let file = procedure.owner.as_ref().map(|owner| owner.file.clone());
    Some((procedure.title.en.clone(), file))
}

#[test]
fn a_job_carries_the_owners_file_it_is_worked_by_so_that_every_tablet_has_it() {
    let shelf = shelf(vec![found("ours.toml", &ours()), found("round.toml", ROUND)]);
    let carried = shelf.to_carry(["reducing"]);
    assert!(!carried.is_empty());
    let ids: Vec<&str> = carried
        .iter()
        .map(|body| match body {
            Body::ProcedureFile(piece) => piece.id.as_str(),
            other => panic!("{other:?}"),
        })
        .collect();
    assert!(
        ids.iter().all(|id| *id == "reducing"),
        "only what the job is worked by: {ids:?}"
    );
    assert_eq!(
        worked_by(carried, "reducing"),
        Some((
            "Reducing valve, the district's way".to_owned(),
            Some("ours.toml".to_owned())
        ))
    );
}

#[test]
fn a_job_that_carries_nothing_is_worked_by_the_products_own_whatever_the_folder_says() {
    let mut shelf = shelf(vec![found("ours.toml", &ours())]);
    let mut opener = Tablet::opens("reducing");
    let state = opener.state();
    assert_eq!(shelf.of_job(&state).get("reducing").unwrap().owner, None);
}

#[test]
fn a_long_file_travels_in_parts_that_each_fit_into_an_entry() {
    let long = format!("{ROUND}{}", "# ñandú \"y\" \\ más\n".repeat(4_000));
    let shelf = shelf(vec![found("long.toml", &long)]);
    let carried = shelf.to_carry(["round"]);
    assert!(carried.len() >= 6, "{}", carried.len());
    for body in &carried {
        let text = serde_json::to_string(body).unwrap();
        assert!(text.len() < crate::journal::limits::ENTRY_LIMIT, "{}", text.len());
        let Body::ProcedureFile(piece) = body else {
            panic!("{body:?}")
        };
        assert!(piece.text.len() <= CARRIED_BYTES);
    }
    // In whatever order the parts come.
    let mut backwards = carried.clone();
    backwards.reverse();
    assert!(worked_by(backwards, "round").is_some());
    let mut short = carried;
    short.pop();
    assert_eq!(worked_by(short, "round"), None, "not before it has come whole");
}

#[test]
fn a_file_that_came_changed_is_no_procedure_and_the_built_in_does_not_stand_in_for_it() {
    let shelf = shelf(vec![found("ours.toml", &ours())]);
    let mut carried = shelf.to_carry(["reducing"]);
    let Some(Body::ProcedureFile(piece)) = carried.first_mut() else {
        panic!("nothing is carried")
    };
    piece.text = piece.text.replace("district", "District");
    assert_eq!(worked_by(carried, "reducing"), None);
}

#[test]
fn a_file_whose_procedure_has_another_id_than_it_travels_under_is_none() {
    let shelf = shelf(vec![found("round.toml", ROUND)]);
    let carried = shelf.to_carry(["round"]).into_iter().map(|body| match body {
        Body::ProcedureFile(piece) => Body::ProcedureFile(ProcedureFile {
            id: "reducing".to_owned(),
            ..piece
        }),
        other => other,
    });
    assert_eq!(worked_by(carried.collect(), "reducing"), None);
}

#[test]
fn a_file_from_anybody_but_the_opener_of_the_job_has_no_effect() {
    let shelf = shelf(vec![found("ours.toml", &ours())]);
    let mut opener = Tablet::opens("reducing");
    let mut mate = Tablet::joins("reducing", "Beto", 2);
    opener.meets(&mut mate);
    for body in shelf.to_carry(["reducing"]) {
        mate.say(body);
    }
    opener.meets(&mut mate);
    let state = opener.state();
    let codes: Vec<_> = state
        .entries
        .iter()
        .filter_map(|folded| folded.no_effect)
        .collect();
    assert_eq!(codes, ["not_from_opener"]);
    let worked_by = Shelf::new().unwrap().of_job(&state);
    assert_eq!(worked_by.get("reducing").unwrap().owner, None);
}
