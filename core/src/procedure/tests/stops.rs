//! The hard stops: what they are, when they hold, and that nothing gets around them.

use super::crew::Tablet;
use super::stages::{set_static, to_as_found, to_the_question};
use crate::journal::{Duty, Level, Outcome, Position};
use crate::procedure::{stops_gone_over, unsaid};

/// Ready to go in: everything before `entry.enter`, with good air.
fn at_the_opening() -> Tablet {
    let mut a = Tablet::opens("reducing");
    a.requests("55", Some("80"));
    a.chooses("pre_job.scope", "not_listed");
    a.knows_word("permit_space", "yes");
    a.has_duty("Ana", &[Duty::WrenchHand]);
    a.has_duty("Cruz", &[Duty::Attendant]);
    for step in ["entry.permit", "entry.traffic", "entry.lock_tag"] {
        a.does(step);
    }
    a
}

fn tested(a: &mut Tablet) {
    a.tests_good_air();
    for step in [
        "entry.pick_hole",
        "entry.lid",
        "entry.ventilate",
        "entry.atmosphere",
        "entry.attendant",
        "entry.retrieval",
    ] {
        a.does(step);
    }
}

fn stopped_by(a: &mut Tablet, step: &str) -> Vec<String> {
    match a.refuses(step) {
        Some(("stopped", codes)) => codes,
        other => panic!("{step} is not stopped: {other:?}"),
    }
}

#[test]
fn nobody_goes_in_before_the_air_is_tested_at_every_level() {
    let mut a = at_the_opening();
    assert!(stopped_by(&mut a, "entry.enter").contains(&"atmosphere".to_owned()));
    a.tests_air(Level::Top, "20.9", "0");
    a.tests_air(Level::Middle, "20.9", "0");
    assert!(stopped_by(&mut a, "entry.enter").contains(&"atmosphere".to_owned()));
    a.tests_air(Level::Bottom, "20.9", "0");
    assert!(!stopped_by(&mut a, "entry.enter").contains(&"atmosphere".to_owned()));
}

#[test]
fn the_levels_are_tested_from_the_top_down() {
    let mut a = at_the_opening();
    a.tests_air(Level::Bottom, "20.9", "0");
    a.tests_air(Level::Middle, "20.9", "0");
    a.tests_air(Level::Top, "20.9", "0");
    assert!(stopped_by(&mut a, "entry.enter").contains(&"atmosphere".to_owned()));
}

#[test]
fn each_gas_has_its_limit_and_the_limit_itself_is_within() {
    let judged = |gases: [&str; 4]| {
        let mut a = at_the_opening();
        tested(&mut a);
        a.tests_all(Level::Bottom, gases);
        a.refuses("entry.enter").is_none()
    };
    assert!(judged(["19.5", "10", "35", "10"]));
    assert!(judged(["23.5", "0", "0", "0"]));
    assert!(!judged(["19.4", "0", "0", "0"]), "oxygen short");
    assert!(!judged(["23.6", "0", "0", "0"]), "oxygen rich");
    assert!(!judged(["20.9", "11", "0", "0"]), "flammable");
    assert!(!judged(["20.9", "0", "36", "0"]), "carbon monoxide");
    assert!(!judged(["20.9", "0", "0", "11"]), "hydrogen sulphide");
}

#[test]
fn gas_that_comes_while_people_are_below_stops_all_work_there_but_not_the_way_out() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    assert_eq!(a.status("prepare.arrow"), "ready");
    a.tests_air(Level::Middle, "20.1", "14");
    assert_eq!(a.status("prepare.arrow"), "stopped");
    assert_eq!(stopped_by(&mut a, "prepare.arrow"), ["atmosphere"]);
    assert_eq!(stopped_by(&mut a, "leave.positions"), ["atmosphere"]);
    assert_eq!(a.refuses("leave.people_out"), None);
    assert_eq!(
        a.status("entry.enter"),
        "done",
        "what was right then stays on record"
    );
    a.tests_air(Level::Middle, "20.8", "0");
    assert_eq!(a.status("prepare.arrow"), "ready");
}

#[test]
fn a_good_test_beside_a_bad_one_does_not_outweigh_it() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.tests_air(Level::Bottom, "20.9", "0");
    b.tests_air(Level::Bottom, "18.0", "0");
    assert_eq!(a.status("prepare.arrow"), "ready");
    a.meets(&mut b);
    assert_eq!(a.status("prepare.arrow"), "stopped");
    assert_eq!(b.status("prepare.arrow"), "stopped");
    a.tests_air(Level::Bottom, "20.9", "0");
    assert_eq!(a.status("prepare.arrow"), "ready");
}

#[test]
fn a_test_taken_back_brings_no_older_good_one_back() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    let misread = a.tests_air(Level::Top, "2.09", "0");
    assert_eq!(a.status("prepare.arrow"), "stopped");
    a.takes_back(misread);
    assert_eq!(
        a.status("prepare.arrow"),
        "stopped",
        "until that level is tested again"
    );
    a.tests_air(Level::Top, "20.9", "0");
    assert_eq!(a.status("prepare.arrow"), "ready");
}

#[test]
fn a_permit_space_needs_an_attendant_who_is_not_below() {
    let mut a = at_the_opening();
    tested(&mut a);
    assert_eq!(a.refuses("entry.enter"), None);
    a.has_duty("Cruz", &[]);
    assert_eq!(stopped_by(&mut a, "entry.enter"), ["attendant"]);
    a.has_duty("Ana", &[Duty::WrenchHand, Duty::Attendant]);
    assert_eq!(stopped_by(&mut a, "entry.enter"), ["attendant"]);
    a.has_duty("Luz", &[Duty::EntrySupervisor, Duty::Attendant]);
    assert_eq!(a.refuses("entry.enter"), None);
}

#[test]
fn a_permit_space_needs_retrieval_gear_and_saying_why_not_is_not_enough() {
    let mut a = at_the_opening();
    tested(&mut a);
    a.leaves_out("entry.retrieval", "winch in the yard");
    assert_eq!(stopped_by(&mut a, "entry.enter"), ["retrieval"]);
    a.does("entry.retrieval");
    assert_eq!(a.refuses("entry.enter"), None);
}

#[test]
fn a_chamber_of_which_nobody_said_anything_is_a_permit_space() {
    let mut a = Tablet::opens("reducing");
    assert_eq!(
        stopped_by(&mut a, "entry.enter"),
        ["atmosphere", "attendant", "retrieval"]
    );
    assert_ne!(a.status("entry.retrieval"), "does_not_apply");
    a.knows_word("permit_space", "no");
    assert_eq!(a.status("entry.retrieval"), "does_not_apply");
    assert_eq!(
        a.refuses("entry.enter").map(|(code, _)| code),
        Some("unmet_needs")
    );
    a.tests_air(Level::Top, "17", "0");
    assert_eq!(
        stopped_by(&mut a, "entry.enter"),
        ["atmosphere"],
        "bad air stops anywhere"
    );
}

#[test]
fn two_who_disagree_about_the_permit_space_leave_it_one() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.knows_word("permit_space", "no");
    b.knows_word("permit_space", "yes");
    a.meets(&mut b);
    assert!(stopped_by(&mut a, "entry.enter").contains(&"attendant".to_owned()));
}

#[test]
fn no_fitting_is_opened_before_both_trapped_volumes_read_zero() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    a.chooses("can_water_move.answer", "no");
    a.reads("pilot_supply", "0");
    a.reads("pilot_outlet", "0");
    a.reads("spool", "0");
    a.does("set_static.block_tight");
    for (cock, step) in [
        ("outlet_cock", "set_static.outlet_shut"),
        ("cover_cock", "set_static.cover_shut"),
        ("inlet_cock", "set_static.cocks_shut"),
    ] {
        a.shuts(cock);
        a.does(step);
    }
    let fit = "set_static.fit_bleed";
    assert_eq!(
        stopped_by(&mut a, fit),
        ["pressure_vented"],
        "both zeros are from before"
    );
    a.reads("pilot_supply", "0");
    a.does("set_static.vent_supply");
    assert_eq!(
        stopped_by(&mut a, fit),
        ["pressure_vented"],
        "one side says nothing of the other"
    );
    a.reads("pilot_outlet", "58");
    assert_eq!(stopped_by(&mut a, fit), ["pressure_vented"]);
    a.reads("pilot_outlet", "0.5");
    a.does("set_static.vent_outlet");
    assert_eq!(a.refuses(fit), None);
    a.reads("pilot_supply", "6");
    assert_eq!(stopped_by(&mut a, fit), ["pressure_vented"], "it filled again");
}

#[test]
fn the_circuit_is_vented_again_before_the_bleed_comes_off() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_static(&mut a);
    assert_eq!(a.refuses("set_static.reconnect"), None);
    // Adjusted once more: the zeros from before it no longer count.
    a.shuts("downstream_block");
    a.does("set_static.adjust");
    assert_eq!(stopped_by(&mut a, "set_static.reconnect"), ["pressure_vented"]);
}

#[test]
fn no_strainer_is_opened_with_pressure_behind_it() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    assert_eq!(stopped_by(&mut a, "prepare.strainers"), ["pressure_vented"]);
    for point in ["inlet", "cover", "spool"] {
        assert_eq!(stopped_by(&mut a, "prepare.strainers"), ["pressure_vented"]);
        a.reads(point, "0");
    }
    a.shuts("downstream_block");
    a.shuts("upstream_block");
    a.does("prepare.isolate");
    assert_eq!(a.refuses("prepare.strainers"), None);
}

#[test]
fn a_zone_over_its_limit_stops_whatever_could_raise_it() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    a.chooses("can_water_move.answer", "yes");
    a.does("set_flowing.watch");
    a.puts("spool_vent", Position::Throttled);
    assert_eq!(a.status("set_flowing.outlet_cock"), "ready");
    a.reads("zone_low", "80");
    assert_eq!(
        a.status("set_flowing.outlet_cock"),
        "ready",
        "at its limit it is not over it"
    );
    a.reads("zone_low", "80.5");
    assert_eq!(stopped_by(&mut a, "set_flowing.outlet_cock"), ["zone_limit"]);
    a.reads("zone_low", "74");
    assert_eq!(a.status("set_flowing.outlet_cock"), "ready");
}

#[test]
fn without_a_limit_on_record_there_is_a_need_and_no_stop() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    a.requests("55", None);
    a.reads("zone_low", "200");
    a.chooses("can_water_move.answer", "yes");
    let state = a.walk();
    let step = state.step("set_flowing.watch").unwrap();
    assert!(step.stops.iter().all(|stop| stop.met));
    let (code, unmet) = a.refuses("pressurise.vent_again").unwrap();
    assert_eq!(code, "unmet_needs");
    assert!(unmet.contains(&"zone_limit:on_record".to_owned()), "{unmet:?}");
}

#[test]
fn no_override_and_no_reason_gets_around_a_hard_stop() {
    let mut a = at_the_opening();
    a.knows_word("permit_space", "yes");
    let everything = [
        "atmosphere",
        "attendant",
        "retrieval",
        "atmosphere:tested",
        "step:entry.atmosphere",
        "step:entry.attendant",
        "step:entry.retrieval",
        "step:entry.lock_tag",
        "step:entry.permit",
    ];
    let refused = a.refuses_over("entry.enter", &everything, Some("the supervisor said so"));
    assert_eq!(refused.map(|(code, _)| code), Some("stopped"));
}

#[test]
fn what_was_stopped_can_still_be_said_not_to_have_been_done() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    a.tests_air(Level::Middle, "20.1", "14");
    a.leaves_out("prepare.arrow", "gas: everyone out");
    assert_eq!(a.status("prepare.arrow"), "not_done");
}

#[test]
fn a_mark_from_elsewhere_that_went_over_a_stop_has_no_effect_and_is_shown() {
    let mut a = at_the_opening();
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    let mark = b.forces(
        "entry.enter",
        Outcome::Done,
        &["atmosphere", "retrieval"],
        Some("in a hurry"),
    );
    a.meets(&mut b);
    tested(&mut a);
    assert_eq!(
        a.status("entry.enter"),
        "refused",
        "what came later does not heal it"
    );
    let state = a.state();
    let over = stops_gone_over(&a.procedure, &state, state.entry(mark).unwrap());
    assert_eq!(over, ["atmosphere", "retrieval"]);
    let walk = a.walk();
    let step = walk.step("entry.enter").unwrap();
    assert_eq!(step.went_over, ["atmosphere", "retrieval"]);
    assert_eq!(
        walk.step("as_found.photographs").unwrap().status.code(),
        "waiting"
    );
    a.does("entry.enter");
    assert_eq!(a.status("entry.enter"), "done", "a sound mark takes its place");
    let state = a.state();
    assert!(
        state.entries.iter().all(|entry| {
            entry.entry.id == mark || stops_gone_over(&a.procedure, &state, entry).is_empty()
        })
    );
}

#[test]
fn a_mark_that_hides_what_was_unmet_is_found_by_what_its_writer_had_seen() {
    let mut a = at_the_opening();
    tested(&mut a);
    a.does("entry.enter");
    a.photographs();
    let mark = a.forces(
        "prepare.lock_nut",
        Outcome::Done,
        &["step:as_found.screw"],
        Some("painted already"),
    );
    let state = a.state();
    let hidden = unsaid(&a.procedure, &state, state.entry(mark).unwrap());
    assert_eq!(hidden, ["step:as_found.pressures"]);
}
