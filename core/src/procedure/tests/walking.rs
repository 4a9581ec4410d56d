//! The whole job, walked to its end both ways.

use super::crew::{Tablet, VALVE, figure, psi};
use super::stages::{
    as_it_stands, before_entry, into_the_vault, leave_and_close, prove, set_flowing, set_static, to_as_found,
    to_the_question,
};
use crate::journal::{FlowProof, ParticularValue, Water};
use crate::procedure::missing_at_close;
use crate::quantity::Unit;

fn missing(a: &mut Tablet) -> Vec<String> {
    let state = a.state();
    let missing = missing_at_close(&a.procedure, &state, VALVE);
    missing
        .into_iter()
        .map(|it| format!("{} {}", it.code, it.about.unwrap_or_default()))
        .collect()
}

#[test]
fn a_valve_set_with_water_flowing_is_walked_to_the_end_with_nothing_missing() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    prove(&mut a, true);
    leave_and_close(&mut a);
    assert_eq!(missing(&mut a), Vec::<String>::new());
    let walk = a.walk();
    assert_eq!(walk.in_hand, Some("close_out.sign"));
    assert!(walk.remarks.is_empty(), "{:?}", walk.remarks);
    assert!(
        walk.steps
            .iter()
            .all(|step| !step.step.id.starts_with("set_static."))
    );
    assert!(walk.aside.is_empty());
}

#[test]
fn a_valve_set_static_and_trimmed_on_line_is_walked_to_the_end_with_nothing_missing() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_static(&mut a);
    a.chooses("set_static.on_line", "yes");
    a.water(Water::Flowing);
    a.sees_flow(FlowProof::Meter);
    a.reads("outlet", "56.5");
    a.does("set_static.read_on_line");
    a.turns("-1/16");
    a.reads("outlet", "55");
    a.does("set_static.trim");
    a.knows("static_difference", ParticularValue::Figure(psi("1.5")));
    prove(&mut a, true);
    leave_and_close(&mut a);
    assert_eq!(missing(&mut a), Vec::<String>::new());
    let walk = a.walk();
    assert!(
        walk.steps
            .iter()
            .all(|step| !step.step.id.starts_with("set_flowing."))
    );
}

#[test]
fn a_valve_set_static_only_can_be_closed_and_its_record_must_say_so() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_static(&mut a);
    a.chooses("set_static.on_line", "not_yet");
    prove(&mut a, false);
    leave_and_close(&mut a);
    assert_eq!(missing(&mut a), Vec::<String>::new());
    let walk = a.walk();
    let remarks: Vec<(&str, &str)> = walk
        .remarks
        .iter()
        .map(|remark| (remark.step, remark.answer.id.as_str()))
        .collect();
    assert_eq!(remarks, [("set_static.on_line", "not_yet")]);
    assert_eq!(
        walk.step("tune_and_prove.baseline")
            .map(|step| step.status.code()),
        None
    );
}

#[test]
fn a_valve_is_shut_down_to_the_end_with_nothing_missing() {
    let mut a = Tablet::opens("shut_down");
    a.chooses("pre_job.scope", "not_listed");
    before_entry(&mut a);
    into_the_vault(&mut a);
    a.knows_word("plate", "6 in, globe, class 150");
    a.photographs();
    a.does("as_found.photographs");
    as_it_stands(&mut a);
    a.reads("zone_high", "40");
    a.does("shut.feed");
    a.shuts("downstream_block");
    a.does("shut.downstream");
    a.reads("spool", "57");
    a.does("shut.closes");
    a.shuts("upstream_block");
    a.does("shut.upstream");
    a.does("shut.bypass");
    a.reads("inlet", "0");
    a.reads("cover", "0");
    a.does("shut.vent_inlet");
    a.reads("spool", "0");
    a.does("shut.vent_outlet");
    a.reads("inlet", "0");
    a.reads("spool", "0");
    a.does("shut.holds");
    a.does("shut.tag");
    a.does("shut.line_up");
    a.does("leave.positions");
    a.gauge("G-1", "inlet", Some("0"));
    a.gauge("G-2", "outlet", Some("0"));
    a.reads("zone_high", "38");
    a.reads("zone_low", "72");
    for step in [
        "leave.gauges",
        "leave.hydrants",
        "leave.alarms",
        "leave.customers",
        "leave.people_out",
        "leave.permit",
        "leave.lid",
        "close_out.not_done",
    ] {
        a.does(step);
    }
    a.knows_word("come_back", "restart on Monday");
    a.initials();
    assert_eq!(missing(&mut a), Vec::<String>::new());
}

#[test]
fn the_step_in_hand_is_the_first_that_nobody_settled() {
    let mut a = Tablet::opens("reducing");
    assert_eq!(a.walk().in_hand, Some("pre_job.request"));
    a.requests("55", Some("80"));
    assert_eq!(
        a.walk().in_hand,
        Some("pre_job.request"),
        "a hold point is marked by a person"
    );
    a.does("pre_job.request");
    assert_eq!(a.walk().in_hand, Some("pre_job.scope"));
    a.chooses("pre_job.scope", "not_listed");
    assert_eq!(a.status("pre_job.manual"), "ready");
    a.knows(
        "min_flow",
        ParticularValue::Figure(figure("20", Unit::GallonPerMinute)),
    );
    a.knows("min_differential", ParticularValue::Figure(psi("5")));
    a.knows_word("keeps_shut", "outlet_cock");
    assert_eq!(a.status("pre_job.manual"), "done", "its evidence settles it");
    assert_eq!(a.walk().in_hand, Some("pre_job.spring"));
    let before = a.walk().settled;
    a.leaves_out("pre_job.spring", "plate not legible");
    assert_eq!(a.status("pre_job.spring"), "not_done");
    assert_eq!(a.walk().settled, before + 1);
}

#[test]
fn an_optional_step_is_passed_by_going_on_and_holds_nobody_up() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    let walk = a.walk();
    assert!(walk.step("pre_job.companions").is_some_and(|step| step.passed));
    assert!(walk.step("as_found.stem").is_some_and(|step| step.passed));
    assert_eq!(walk.in_hand, Some("prepare.arrow"));
}

#[test]
fn going_the_other_way_keeps_the_marks_of_the_first_way_in_sight() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_static(&mut a);
    a.chooses("set_static.on_line", "not_yet");
    a.chooses("can_water_move.answer", "yes");
    let walk = a.walk();
    assert!(walk.step("set_static.adjust").is_none());
    assert!(walk.aside.iter().any(|step| step.step.id == "set_static.adjust"));
    assert!(walk.step("set_flowing.set").is_some());
    assert!(
        walk.remarks.is_empty(),
        "what was set static is being set flowing"
    );
}
