//! What counts as evidence: flow that is proven, readings after the turn, and a proof after the lock nut.

use super::crew::{Tablet, built_in};
use super::order::{needs, unmet};
use super::stages::{set_flowing, to_as_found, to_the_question};
use crate::journal::{FlowProof, Purpose, Water};

#[test]
fn nothing_is_set_without_flow_and_what_stopped_is_not_proven() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    assert_eq!(a.refuses("set_flowing.set"), None);
    a.sees_flow(FlowProof::Stopped);
    assert!(unmet(&mut a, "set_flowing.set").contains(&"flow:proven".to_owned()));
    a.sees_flow(FlowProof::Pitot);
    assert_eq!(a.refuses("set_flowing.set"), None);
}

#[test]
fn a_stop_of_flow_beside_its_proof_counts_as_after_it() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.sees_flow(FlowProof::Meter);
    b.sees_flow(FlowProof::Stopped);
    a.meets(&mut b);
    assert!(unmet(&mut a, "set_flowing.set").contains(&"flow:proven".to_owned()));
}

#[test]
fn only_a_downward_answer_proves_flow() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    a.sees_flow(FlowProof::Stopped);
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    b.sees_flow(FlowProof::OutletFellOnDownwardMove);
    assert_eq!(
        b.refuses("set_flowing.set"),
        None,
        "the screw had been turned out"
    );

    let mut c = Tablet::opens("reducing");
    to_as_found(&mut c);
    c.turns("1/2");
    c.sees_flow(FlowProof::OutletFellOnDownwardMove);
    c.chooses_anyway("can_water_move.answer", "yes");
    assert!(unmet(&mut c, "tune_and_prove.speed_controls").contains(&"flow:proven".to_owned()));
    c.turns("-1/2");
    c.sees_flow(FlowProof::OutletFellOnDownwardMove);
    assert!(!unmet(&mut c, "tune_and_prove.speed_controls").contains(&"flow:proven".to_owned()));
}

#[test]
fn a_reading_older_than_the_last_turn_settles_nothing() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    a.turns("-1/8");
    let missing = unmet(&mut a, "set_flowing.set");
    assert_eq!(
        missing,
        ["reading:outlet:flowing:after:last_move:after:set_flowing.first_reading"]
    );
    a.reads("outlet", "54");
    assert_eq!(a.refuses("set_flowing.set"), None);
}

#[test]
fn a_reading_made_out_of_reach_of_the_turn_is_not_after_it() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    b.water(Water::Flowing);
    a.turns("1/8");
    b.reads("outlet", "58");
    a.meets(&mut b);
    assert!(unmet(&mut a, "set_flowing.set")[0].starts_with("reading:outlet"));
    b.reads("outlet", "58");
    a.meets(&mut b);
    assert_eq!(a.refuses("set_flowing.set"), None);
}

#[test]
fn the_lock_nut_is_tight_and_the_pressure_read_again_before_anything_is_proved() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    let reducing = built_in("reducing");
    for step in [
        "tune_and_prove.cycles",
        "tune_and_prove.baseline",
        "tune_and_prove.block_shut",
    ] {
        needs(&reducing, step, "tune_and_prove.re_read");
    }
    needs(&reducing, "tune_and_prove.lock_up", "tune_and_prove.block_shut");
    needs(&reducing, "tune_and_prove.re_read", "tune_and_prove.lock_nut");
    a.counts("opening", "2");
    a.counts("closing", "1");
    a.does("tune_and_prove.speed_controls");
    a.reads("outlet", "55");
    a.does("tune_and_prove.lock_nut");
    let again = "reading:outlet:after:last_move:after:tune_and_prove.lock_nut".to_owned();
    assert!(
        unmet(&mut a, "tune_and_prove.re_read").contains(&again),
        "the reading is from before"
    );
    a.reads("outlet", "55");
    a.does("tune_and_prove.re_read");
    a.reads("outlet", "55");
    a.reads("outlet", "54");
    assert!(
        a.refuses("tune_and_prove.cycles").is_some(),
        "two cycles are not three"
    );
    a.reads("outlet", "55");
    assert_eq!(a.refuses("tune_and_prove.cycles"), None);
}

#[test]
fn lock_up_is_read_twice_on_an_isolated_spool_with_no_flow() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    a.counts("opening", "2");
    a.counts("closing", "1");
    a.does("tune_and_prove.speed_controls");
    a.does("tune_and_prove.lock_nut");
    a.reads("outlet", "55");
    a.does("tune_and_prove.re_read");
    a.shuts("downstream_block");
    a.does("tune_and_prove.block_shut");
    a.reads_for("spool", "57", Purpose::LockUp);
    a.reads_for("spool", "57", Purpose::LockUp);
    let twice = "reading:spool:lock_up:still:2:after:tune_and_prove.block_shut".to_owned();
    assert!(
        unmet(&mut a, "tune_and_prove.lock_up").contains(&twice),
        "read as flowing"
    );
    a.water(Water::Still);
    a.reads_for("spool", "57", Purpose::LockUp);
    assert!(unmet(&mut a, "tune_and_prove.lock_up").contains(&twice), "once");
    a.reads_for("spool", "57.5", Purpose::LockUp);
    assert_eq!(a.refuses("tune_and_prove.lock_up"), None);
}
