//! What a mark must say.

use super::crew::{Tablet, VALVE, built_in};
use super::stages::to_as_found;
use crate::journal::Outcome;
use crate::procedure::{MarkError, may_mark};

fn try_mark(
    a: &mut Tablet,
    step: &str,
    outcome: &Outcome,
    overridden: &[&str],
    reason: Option<&str>,
) -> Result<(), MarkError> {
    let state = a.state();
    let overridden: Vec<String> = overridden.iter().map(|&code| code.to_owned()).collect();
    may_mark(&a.procedure, &state, VALVE, step, outcome, &overridden, reason)
}

const UNMET: [&str; 2] = ["request", "zone_limit:on_record"];

#[test]
fn a_step_with_unmet_needs_is_done_only_with_each_named_and_a_reason() {
    let mut a = Tablet::opens("reducing");
    let done = |a: &mut Tablet, codes: &[&str], reason| {
        try_mark(a, "pre_job.request", &Outcome::Done, codes, reason).map_err(|error| error.code())
    };
    assert_eq!(done(&mut a, &[], Some("told by phone")), Err("unmet_needs"));
    assert_eq!(
        done(&mut a, &UNMET[..1], Some("told by phone")),
        Err("unmet_needs")
    );
    assert_eq!(done(&mut a, &UNMET, None), Err("reason_missing"));
    assert_eq!(done(&mut a, &UNMET, Some("  ")), Err("reason_missing"));
    assert_eq!(done(&mut a, &UNMET, Some("told by phone")), Ok(()));
}

#[test]
fn an_override_and_its_reason_reach_the_walk() {
    let mut a = Tablet::opens("reducing");
    a.forces("pre_job.request", Outcome::Done, &UNMET, Some("told by phone"));
    let walk = a.walk();
    let step = walk.step("pre_job.request").unwrap();
    assert_eq!(step.status.code(), "overridden");
    assert!(step.status.is_settled());
    assert_eq!(step.overridden, UNMET);
    assert_eq!(step.reasons, ["told by phone"]);
}

#[test]
fn a_hold_point_left_out_leaves_the_next_step_waiting() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    a.leaves_out("prepare.isolate", "already out of service");
    assert_eq!(a.status("prepare.downstream_shut"), "waiting");
    let refused = a.refuses("prepare.downstream_shut").unwrap();
    assert!(refused.1.contains(&"step:prepare.isolate".to_owned()));
    let over = ["step:prepare.isolate"];
    assert_eq!(
        a.refuses_over("prepare.downstream_shut", &over, Some("seen dry")),
        None
    );
}

#[test]
fn left_out_needs_a_reason_unless_the_step_is_optional() {
    let mut a = Tablet::opens("reducing");
    let left = |a: &mut Tablet, step: &str, reason| {
        try_mark(a, step, &Outcome::NotDone, &[], reason).map_err(|error| error.code())
    };
    assert_eq!(left(&mut a, "pre_job.affected", None), Err("reason_missing"));
    assert_eq!(
        left(&mut a, "pre_job.affected", Some("nobody lives there yet")),
        Ok(())
    );
    assert_eq!(left(&mut a, "pre_job.gauge_pair", None), Ok(()));
}

#[test]
fn a_question_is_answered_with_one_of_its_answers() {
    let mut a = Tablet::opens("reducing");
    let answer = |a: &mut Tablet, step: &str, outcome: Outcome| {
        try_mark(a, step, &outcome, &[], None).map_err(|error| error.code())
    };
    let chosen = |id: &str| Outcome::Chosen(id.to_owned());
    assert_eq!(answer(&mut a, "pre_job.scope", Outcome::Done), Err("choose_one"));
    assert_eq!(
        answer(&mut a, "pre_job.scope", chosen("perhaps")),
        Err("no_such_answer")
    );
    assert_eq!(answer(&mut a, "pre_job.scope", chosen("not_listed")), Ok(()));
    assert_eq!(
        answer(&mut a, "pre_job.inlet", chosen("yes")),
        Err("no_such_answer")
    );
    assert_eq!(
        answer(&mut a, "pre_job.nothing", Outcome::Done),
        Err("no_such_step")
    );
}

#[test]
fn a_step_of_the_way_not_taken_cannot_be_marked() {
    let mut a = Tablet::opens("reducing");
    let refused = try_mark(&mut a, "set_static.adjust", &Outcome::Done, &[], None);
    assert_eq!(refused, Err(MarkError::DoesNotApply));
}

#[test]
fn two_marks_that_differ_disagree_and_settle_nothing() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.chooses("pre_job.second_feed", "second_feed");
    b.chooses("pre_job.second_feed", "watched_bypass");
    a.meets(&mut b);
    assert_eq!(a.status("pre_job.second_feed"), "disagreed");
    assert_eq!(a.status("pre_job.second_feed"), b.status("pre_job.second_feed"));
    a.chooses("pre_job.second_feed", "watched_bypass");
    assert_eq!(a.status("pre_job.second_feed"), "done");
}

#[test]
fn two_states_of_one_block_valve_satisfy_nobody() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    to_as_found(&mut a);
    a.meets(&mut b);
    for point in ["inlet", "cover", "spool"] {
        a.reads(point, "0");
    }
    a.shuts("upstream_block");
    a.shuts("downstream_block");
    b.opens_up("downstream_block");
    a.meets(&mut b);
    let refused = a.refuses("prepare.isolate").unwrap();
    assert_eq!(refused.1, ["position:downstream_block:shut"]);
    a.shuts("downstream_block");
    assert_eq!(a.refuses("prepare.isolate"), None);
}

#[test]
fn a_listed_valve_is_out_of_scope_and_going_on_says_why() {
    let mut a = Tablet::opens("reducing");
    a.chooses("pre_job.scope", "listed");
    a.knows_word("permit_space", "no");
    let walk = a.walk();
    assert!(
        walk.remarks[0]
            .answer
            .remark
            .as_ref()
            .unwrap()
            .en
            .contains("fire protection")
    );
    let scope = ["choice:pre_job.scope:not_listed"];
    assert_eq!(a.refuses("entry.permit").unwrap().1, scope);
    assert_eq!(
        a.refuses_over(
            "entry.permit",
            &scope,
            Some("only the isolating valve is touched")
        ),
        None
    );
}

#[test]
fn a_cock_other_than_the_usual_one_takes_a_reason() {
    let needs = &built_in("reducing")
        .step("prepare.outlet_cock")
        .unwrap()
        .needs
        .clone();
    assert!(
        needs
            .iter()
            .any(|need| need.code() == "particular:keeps_shut:outlet_cock")
    );
}
