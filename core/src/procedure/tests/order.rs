//! The order that the trade insists on, step by step: nobody can do the later one before the earlier holds.

use super::crew::{Tablet, built_in};
use super::stages::{to_as_found, to_the_question};
use crate::journal::Position;
use crate::procedure::{Condition, Procedure};

fn place(procedure: &Procedure, id: &str) -> usize {
    procedure
        .steps()
        .position(|step| step.id == id)
        .unwrap_or_else(|| panic!("no step {id}"))
}

pub fn in_order(procedure: &Procedure, ids: &[&str]) {
    for pair in ids.windows(2) {
        assert!(
            place(procedure, pair[0]) < place(procedure, pair[1]),
            "{} before {}",
            pair[0],
            pair[1]
        );
    }
}

pub fn needs(procedure: &Procedure, step: &str, earlier: &str) {
    let found = procedure.step(step).unwrap_or_else(|| panic!("no step {step}"));
    let needed = found.needs.iter().any(|need| {
        *need
            == Condition::Step {
                step: earlier.to_owned(),
            }
    });
    assert!(needed, "{step} needs {earlier}");
}

pub fn unmet(a: &mut Tablet, step: &str) -> Vec<String> {
    match a.refuses(step) {
        Some(("unmet_needs", codes)) => codes,
        other => panic!("{step}: {other:?}"),
    }
}

#[test]
fn the_phases_come_in_the_order_of_the_job() {
    let phases: Vec<String> = built_in("reducing")
        .phases
        .into_iter()
        .map(|phase| phase.id)
        .collect();
    assert_eq!(
        phases,
        [
            "pre_job",
            "entry",
            "as_found",
            "prepare",
            "pressurise",
            "can_water_move",
            "set_flowing",
            "set_static",
            "tune_and_prove",
            "leave",
            "close_out"
        ]
    );
}

#[test]
fn the_air_is_tested_through_the_pick_hole_before_the_lid_and_at_every_level_before_entry() {
    let reducing = built_in("reducing");
    in_order(
        &reducing,
        &[
            "entry.permit",
            "entry.traffic",
            "entry.pick_hole",
            "entry.lid",
            "entry.ventilate",
            "entry.atmosphere",
            "entry.enter",
        ],
    );
    needs(&reducing, "entry.lid", "entry.pick_hole");
    needs(&reducing, "entry.ventilate", "entry.lid");
    needs(&reducing, "entry.enter", "entry.atmosphere");
    needs(&reducing, "entry.enter", "entry.lock_tag");
}

#[test]
fn nothing_is_touched_before_as_found_is_on_record() {
    let reducing = built_in("reducing");
    let prepare = reducing
        .phases
        .iter()
        .find(|phase| phase.id == "prepare")
        .unwrap();
    for step in &prepare.steps {
        needs(&reducing, &step.id, "as_found.pressures");
        needs(&reducing, &step.id, "as_found.screw");
    }
    for earlier in [
        "as_found.plates",
        "as_found.photographs",
        "as_found.cocks",
        "as_found.block_valves",
    ] {
        needs(&reducing, "as_found.pressures", earlier);
    }
}

#[test]
fn the_screw_is_backed_out_before_any_pressure_comes() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    let missing = unmet(&mut a, "prepare.back_out");
    assert!(
        missing.contains(&"move:pilot:out:after:as_found.pressures".to_owned()),
        "{missing:?}"
    );
    a.turns("1/2");
    let missing = unmet(&mut a, "prepare.back_out");
    assert!(
        missing.contains(&"move:pilot:out:after:as_found.pressures".to_owned()),
        "inward is not out"
    );
    needs(&built_in("reducing"), "pressurise.upstream", "prepare.back_out");
    needs(&built_in("reducing"), "prepare.back_out", "prepare.lock_nut");
}

#[test]
fn the_spool_proves_the_main_valve_shut_before_the_air_is_bled() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    needs(
        &built_in("reducing"),
        "pressurise.bleed",
        "pressurise.spool_proof",
    );
    // A second look at the proof: zero must be read after the vent was shut, and not have risen.
    a.reads("spool", "0");
    a.does("pressurise.spool_vent");
    let zero = "zero:spool:after:pressurise.spool_vent".to_owned();
    assert!(unmet(&mut a, "pressurise.spool_proof").contains(&zero));
    a.reads("spool", "9");
    assert!(unmet(&mut a, "pressurise.spool_proof").contains(&zero), "it rose");
    a.reads("system", "0");
    assert!(
        unmet(&mut a, "pressurise.spool_proof").contains(&zero),
        "a gauge beyond the block proves nothing"
    );
    a.reads("spool", "0");
    assert_eq!(a.refuses("pressurise.spool_proof"), None);
}

#[test]
fn the_spool_is_vented_again_after_bleeding_and_before_the_outlet_cock() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    let reducing = built_in("reducing");
    needs(&reducing, "pressurise.vent_again", "pressurise.bleed");
    needs(&reducing, "can_water_move.answer", "pressurise.vent_again");
    needs(&reducing, "set_flowing.outlet_cock", "pressurise.vent_again");
    // Bled once more: the reading from before no longer counts, nor one over the limit.
    a.does("pressurise.bleed");
    let below = "reading:spool:within_limit:after:pressurise.bleed".to_owned();
    assert!(unmet(&mut a, "pressurise.vent_again").contains(&below));
    a.reads("spool", "118");
    assert!(unmet(&mut a, "pressurise.vent_again").contains(&below));
    a.reads("spool", "0");
    assert_eq!(a.refuses("pressurise.vent_again"), None);
}

#[test]
fn the_downstream_block_is_cracked_only_after_the_spool_stopped_and_with_demand_running() {
    let reducing = built_in("reducing");
    in_order(
        &reducing,
        &[
            "set_flowing.watch",
            "set_flowing.outlet_cock",
            "set_flowing.spool_stops",
            "set_flowing.demand",
            "set_flowing.crack",
            "set_flowing.flow_proof",
            "set_flowing.open",
            "set_flowing.set",
        ],
    );
    needs(&reducing, "set_flowing.crack", "set_flowing.spool_stops");
    needs(&reducing, "set_flowing.crack", "set_flowing.demand");
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    a.chooses("can_water_move.answer", "yes");
    a.does("set_flowing.watch");
    let vent = "position:spool_vent:not_shut".to_owned();
    assert!(
        unmet(&mut a, "set_flowing.outlet_cock").contains(&vent),
        "the spool vent must run"
    );
    a.puts("spool_vent", Position::Throttled);
    a.opens_up("outlet_cock");
    a.does("set_flowing.outlet_cock");
    a.reads("spool", "31");
    a.opens_up("downstream_block");
    let shut = "position:downstream_block:shut".to_owned();
    assert!(
        unmet(&mut a, "set_flowing.spool_stops").contains(&shut),
        "not with the block open"
    );
}

#[test]
fn the_static_setting_starts_with_a_tight_block_and_ends_with_air_bled_and_spool_vented() {
    let reducing = built_in("reducing");
    in_order(
        &reducing,
        &[
            "set_static.block_tight",
            "set_static.outlet_shut",
            "set_static.cover_shut",
            "set_static.cocks_shut",
            "set_static.vent_supply",
            "set_static.vent_outlet",
            "set_static.fit_bleed",
            "set_static.admit",
            "set_static.crack_bleed",
            "set_static.adjust",
            "set_static.vent_to_remove",
            "set_static.reconnect",
            "set_static.inlet_cover",
            "set_static.bleed_again",
            "set_static.vent_again",
            "set_static.outlet_cock",
            "set_static.spool_stops",
            "set_static.open",
            "set_static.read_on_line",
            "set_static.trim",
            "set_static.difference",
        ],
    );
    for (step, earlier) in [
        ("set_static.outlet_shut", "set_static.block_tight"),
        ("set_static.cover_shut", "set_static.outlet_shut"),
        ("set_static.cocks_shut", "set_static.cover_shut"),
        ("set_static.fit_bleed", "set_static.vent_supply"),
        ("set_static.fit_bleed", "set_static.vent_outlet"),
        ("set_static.reconnect", "set_static.vent_to_remove"),
        ("set_static.bleed_again", "set_static.inlet_cover"),
        ("set_static.vent_again", "set_static.bleed_again"),
        ("set_static.outlet_cock", "set_static.vent_again"),
        ("set_static.open", "set_static.spool_stops"),
    ] {
        needs(&reducing, step, earlier);
    }
}

#[test]
fn people_are_out_before_the_permit_is_cancelled_and_the_lid_goes_on_last() {
    for id in ["reducing", "shut_down"] {
        let procedure = built_in(id);
        needs(&procedure, "leave.permit", "leave.people_out");
        needs(&procedure, "leave.lid", "leave.permit");
        let leave = procedure.phases.iter().find(|phase| phase.id == "leave").unwrap();
        assert_eq!(leave.steps.last().map(|step| step.id.as_str()), Some("leave.lid"));
    }
}

#[test]
fn a_shut_down_goes_downstream_then_upstream_then_vents_both_sides() {
    let shut_down = built_in("shut_down");
    in_order(
        &shut_down,
        &[
            "shut.feed",
            "shut.downstream",
            "shut.closes",
            "shut.upstream",
            "shut.vent_inlet",
            "shut.vent_outlet",
            "shut.holds",
            "shut.line_up",
        ],
    );
    for (step, earlier) in [
        ("shut.downstream", "shut.feed"),
        ("shut.closes", "shut.downstream"),
        ("shut.upstream", "shut.closes"),
        ("shut.vent_inlet", "shut.upstream"),
        ("shut.vent_outlet", "shut.upstream"),
        ("shut.holds", "shut.vent_inlet"),
        ("shut.holds", "shut.vent_outlet"),
        ("shut.line_up", "shut.holds"),
        ("shut.downstream", "pre_job.second_feed"),
    ] {
        needs(&shut_down, step, earlier);
    }
}

#[test]
fn the_hold_points_of_the_job_are_all_there() {
    let reducing = built_in("reducing");
    for id in [
        "pre_job.second_feed",
        "entry.permit",
        "entry.pick_hole",
        "entry.atmosphere",
        "entry.attendant",
        "entry.retrieval",
        "entry.enter",
        "as_found.pressures",
        "prepare.isolate",
        "prepare.downstream_shut",
        "prepare.outlet_cock",
        "prepare.back_out",
        "pressurise.spool_proof",
        "pressurise.bleed",
        "pressurise.vent_again",
        "set_flowing.outlet_cock",
        "set_flowing.spool_stops",
        "set_flowing.crack",
        "set_flowing.flow_proof",
        "set_flowing.set",
        "set_static.block_tight",
        "set_static.outlet_shut",
        "set_static.cover_shut",
        "set_static.cocks_shut",
        "set_static.vent_supply",
        "set_static.vent_outlet",
        "set_static.fit_bleed",
        "set_static.adjust",
        "set_static.vent_to_remove",
        "set_static.reconnect",
        "set_static.bleed_again",
        "set_static.vent_again",
        "set_static.outlet_cock",
        "set_static.spool_stops",
        "set_static.open",
        "tune_and_prove.lock_nut",
        "tune_and_prove.re_read",
        "tune_and_prove.lock_up",
        "tune_and_prove.as_left",
        "leave.positions",
        "leave.people_out",
        "leave.permit",
        "leave.lid",
    ] {
        let step = reducing.step(id).unwrap_or_else(|| panic!("no step {id}"));
        assert!(step.hold, "{id} is a hold point");
        assert!(
            !step.by_evidence && !step.optional,
            "{id} is marked by a person, always"
        );
    }
}
