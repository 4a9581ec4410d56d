//! Each kind of station: the order, the hold points and the points that its trade insists on.

use super::crew::built_in;
use super::order::{in_order, needs};
use crate::journal::{Position, Purpose};
use crate::procedure::{Condition, FlowSide, Procedure, ReadingIs, Sense, Stance, Start};

const EVERY_KIND: [&str; 9] = [
    "reducing",
    "sustaining",
    "reducing_sustaining",
    "relief",
    "large_with_relief",
    "parallel_low_flow",
    "parallel_large",
    "service",
    "shut_down",
];

pub fn holds(procedure: &Procedure, ids: &[&str]) {
    for id in ids {
        let step = procedure.step(id).unwrap_or_else(|| panic!("no step {id}"));
        assert!(step.hold, "{id} is a hold point");
        assert!(!step.by_evidence && !step.optional, "{id} is marked by a person");
    }
}

pub fn needs_that(procedure: &Procedure, step: &str, code: &str) {
    let found = procedure.step(step).unwrap_or_else(|| panic!("no step {step}"));
    let codes: Vec<String> = found.needs.iter().map(Condition::code).collect();
    assert!(
        codes.iter().any(|it| it == code),
        "{step} needs {code}: {codes:?}"
    );
}

pub fn leaves(procedure: &Procedure, step: &str, code: &str) {
    let found = procedure.step(step).unwrap_or_else(|| panic!("no step {step}"));
    let codes: Vec<String> = found.evidence.iter().map(Condition::code).collect();
    assert!(
        codes.iter().any(|it| it == code),
        "{step} leaves {code}: {codes:?}"
    );
}

fn moves(procedure: &Procedure, step: &str, screw: &str, sense: Sense) {
    let found = procedure.step(step).unwrap_or_else(|| panic!("no step {step}"));
    let moved = found.evidence.iter().any(
        |it| matches!(it, Condition::Move { screw: turned, sense: way, .. } if turned == screw && *way == sense),
    );
    assert!(moved, "{step}: {screw} turned {sense:?}");
}

#[test]
fn every_kind_is_closed_by_initials_and_a_line_up_and_none_forgets_entry_or_leaving() {
    for id in EVERY_KIND {
        let procedure = built_in(id);
        for phase in ["pre_job", "entry", "as_found", "leave", "close_out"] {
            assert!(
                procedure.phases.iter().any(|it| it.id == phase),
                "{id} has {phase}"
            );
        }
        let codes: Vec<String> = procedure.closes_with.iter().map(Condition::code).collect();
        assert!(codes.contains(&"initials".to_owned()), "{id}");
        assert!(codes.iter().any(|code| code.starts_with("line_up:")), "{id}");
        holds(
            &procedure,
            &[
                "pre_job.second_feed",
                "entry.enter",
                "as_found.pressures",
                "leave.positions",
                "leave.people_out",
                "leave.permit",
                "leave.lid",
            ],
        );
    }
}

#[test]
fn nothing_of_a_valve_is_touched_before_it_is_on_record_as_found() {
    for (id, phase) in [
        ("sustaining", "prepare"),
        ("reducing_sustaining", "prepare"),
        ("relief", "prepare_relief"),
        ("large_with_relief", "relief_first"),
        ("parallel_low_flow", "alone"),
        ("parallel_large", "alone"),
        ("service", "exercise"),
        ("shut_down", "shut"),
    ] {
        let procedure = built_in(id);
        let phase = procedure.phases.iter().find(|it| it.id == phase).unwrap();
        for step in &phase.steps {
            needs(&procedure, &step.id, "as_found.pressures");
        }
    }
}

#[test]
fn a_zone_over_its_limit_stops_every_step_that_could_raise_it_further() {
    for (id, phases) in [
        ("sustaining", &["set_flowing", "tune_and_prove"][..]),
        (
            "reducing_sustaining",
            &["set_flowing", "set_sustaining", "tune_and_prove"],
        ),
        ("relief", &["prepare_relief", "set_relief", "prove_relief"]),
        ("large_with_relief", &["set_flowing", "tune_and_prove"]),
        (
            "parallel_large",
            &["set_flowing", "tune_and_prove", "change_over"],
        ),
        ("service", &["exercise", "prove_again"]),
    ] {
        let procedure = built_in(id);
        for phase in procedure
            .phases
            .iter()
            .filter(|it| phases.contains(&it.id.as_str()))
        {
            for step in &phase.steps {
                let stopped = step.stops.iter().any(|stop| stop.code() == "zone_limit");
                assert!(stopped, "{id}: {}", step.id);
            }
        }
    }
}

#[test]
fn no_kind_has_a_hard_stop_among_what_can_be_overridden() {
    for id in EVERY_KIND {
        let procedure = built_in(id);
        for step in procedure.steps() {
            for open in step.needs.iter().chain(&step.evidence) {
                assert!(
                    !open.is_stop(),
                    "{id}: {} leaves {} to an override",
                    step.id,
                    open.code()
                );
            }
        }
    }
}

#[test]
fn whatever_a_runaway_card_says_to_shut_is_in_the_line_up_and_every_kind_has_a_card() {
    for id in EVERY_KIND {
        let procedure = built_in(id);
        assert!(procedure.runaway().len() >= 4, "{id}");
        assert!(
            procedure.runaway().iter().any(|line| line.element.is_some()),
            "{id}"
        );
    }
    let first = |id: &str| built_in(id).runaway()[0].clone();
    assert_eq!(first("relief").element.as_deref(), Some("relief_block"));
    assert!(first("sustaining").say.en.contains("Inlet falling"));
    assert!(first("parallel_large").say.en.contains("outlet cock"));
    let large = built_in("parallel_large");
    let blocks: Vec<&str> = large
        .runaway()
        .iter()
        .filter_map(|line| line.element.as_deref())
        .collect();
    assert!(blocks.contains(&"large_downstream_block") && blocks.contains(&"low_flow_downstream_block"));
    assert!(!blocks.contains(&"downstream_block"));
}

#[test]
fn a_screw_says_what_it_sets_where_it_starts_and_where_its_flow_is_proven() {
    let screw = |id: &str, screw: &str| {
        let screw = built_in(id).screw(screw).unwrap().clone();
        (screw.sets, screw.starts, screw.flow)
    };
    let is = |sets: &str, starts, flow| (sets.to_owned(), starts, flow);
    let reducing = is("outlet", Start::Out, FlowSide::Downstream);
    for id in [
        "reducing",
        "large_with_relief",
        "parallel_low_flow",
        "parallel_large",
        "service",
    ] {
        assert_eq!(screw(id, "pilot"), reducing, "{id}");
    }
    assert_eq!(
        screw("sustaining", "pilot"),
        is("inlet", Start::In, FlowSide::Upstream)
    );
    assert_eq!(
        screw("relief", "pilot"),
        is("sensing", Start::In, FlowSide::Outfall)
    );
    assert_eq!(screw("reducing_sustaining", "pilot"), reducing);
    assert_eq!(
        screw("reducing_sustaining", "sustaining_pilot"),
        is("inlet", Start::In, FlowSide::Upstream)
    );
    let both = built_in("reducing_sustaining");
    let second = both.screw("sustaining_pilot").unwrap();
    assert_eq!(second.target.as_deref(), Some("sustain_at"));
    assert!(
        both.particular(&second.spring_particular("spring_rate"))
            .is_some()
    );
    assert_eq!(both.screw("pilot").unwrap().target, None);
}

#[test]
fn the_main_point_of_a_procedure_is_the_one_that_its_first_screw_sets() {
    for id in EVERY_KIND {
        let procedure = built_in(id);
        assert_eq!(procedure.screws[0].sets, procedure.points[0].id, "{id}");
    }
}

#[test]
fn a_relief_valve_is_set_by_a_pump_on_its_isolated_sensing_line_and_never_by_the_zone() {
    let relief = built_in("relief");
    in_order(
        &relief,
        &[
            "pre_job.companions",
            "as_found.pressures",
            "prepare_relief.outfall",
            "prepare_relief.screw_in",
            "prepare_relief.isolate_sensing",
            "prepare_relief.vent_sensing",
            "prepare_relief.fit_pump",
            "set_relief.never_zone",
            "set_relief.pump_up",
            "set_relief.set",
            "prove_relief.reseats",
            "prove_relief.lock_nut",
            "prove_relief.opens",
            "prove_relief.as_left",
            "prove_relief.vent_pump",
            "prove_relief.sensing_open",
            "prove_relief.block_open",
        ],
    );
    for (step, earlier) in [
        ("prepare_relief.isolate_sensing", "prepare_relief.screw_in"),
        ("prepare_relief.fit_pump", "prepare_relief.vent_sensing"),
        ("set_relief.never_zone", "prepare_relief.fit_pump"),
        ("set_relief.never_zone", "prepare_relief.outfall"),
        ("set_relief.set", "set_relief.pump_up"),
        ("prove_relief.reseats", "set_relief.set"),
        ("prove_relief.opens", "prove_relief.lock_nut"),
        ("prove_relief.sensing_open", "prove_relief.vent_pump"),
        ("prove_relief.block_open", "prove_relief.sensing_open"),
    ] {
        needs(&relief, step, earlier);
    }
    needs_that(&relief, "set_relief.never_zone", "position:sensing_cock:shut");
    needs_that(&relief, "prove_relief.opens", "position:sensing_cock:shut");
    moves(&relief, "prepare_relief.screw_in", "pilot", Sense::In);
    moves(&relief, "set_relief.set", "pilot", Sense::Out);
    leaves(&relief, "prove_relief.sensing_open", "position:sensing_cock:open");
    leaves(&relief, "prove_relief.reseats", "particular:reseats_at");
    leaves(
        &relief,
        "prepare_relief.outfall",
        "position:outfall_gate:not_shut",
    );
    let fit = relief.step("prepare_relief.fit_pump").unwrap();
    assert!(fit.stops.iter().any(|stop| stop.code() == "pressure_vented"));
    holds(
        &relief,
        &[
            "pre_job.companions",
            "prepare_relief.outfall",
            "prepare_relief.screw_in",
            "prepare_relief.isolate_sensing",
            "prepare_relief.fit_pump",
            "set_relief.never_zone",
            "set_relief.set",
            "prove_relief.reseats",
            "prove_relief.opens",
            "prove_relief.as_left",
            "prove_relief.sensing_open",
            "prove_relief.block_open",
        ],
    );
    // Nothing of it asks anybody to read the zone rising: what is set is read on the sensing line.
    let asked_at = |step: &str| {
        let evidence = &relief.step(step).unwrap().evidence;
        evidence
            .iter()
            .filter_map(|it| match it {
                Condition::Reading(ReadingIs { point, .. }) => Some(point.clone()),
                _ => None,
            })
            .collect::<Vec<_>>()
    };
    for step in [
        "set_relief.pump_up",
        "set_relief.set",
        "prove_relief.opens",
        "prove_relief.as_left",
    ] {
        assert_eq!(asked_at(step), ["sensing"], "{step}");
    }
    assert!(
        relief.point("inlet").unwrap().zone,
        "the zone's limit counts at its inlet"
    );
    assert!(
        !relief.point("sensing").unwrap().zone,
        "the pump does not raise the zone"
    );
}

#[test]
fn a_relief_valve_stands_15_psi_over_the_reducing_valves() {
    let codes = |id: &str| -> Vec<String> {
        let step = built_in(id).step("pre_job.companions").unwrap().clone();
        step.evidence.iter().map(Condition::code).collect()
    };
    let relief = codes("relief").join(" ");
    assert!(
        relief.starts_with("set_point:above:reducing+large_with_relief+"),
        "{relief}"
    );
    assert!(relief.ends_with(":15_psi"), "{relief}");
    assert_eq!(
        codes("large_with_relief"),
        ["set_point:below:relief+relief_opens_at:15_psi"]
    );
    assert_eq!(
        codes("parallel_low_flow"),
        ["set_point:above:parallel_large+other_set_point:5_psi"]
    );
    assert_eq!(
        codes("parallel_large"),
        ["set_point:below:parallel_low_flow+other_set_point:5_psi"]
    );
}

#[test]
fn a_sustaining_screw_starts_in_and_its_inlet_must_be_pulled_down_to_show_a_setting() {
    let sustaining = built_in("sustaining");
    in_order(
        &sustaining,
        &[
            "prepare.screw_in",
            "pressurise.upstream",
            "can_water_move.answer",
            "set_flowing.spool_low",
            "set_flowing.demand",
            "set_flowing.crack",
            "set_flowing.let_open",
            "set_flowing.flow_proof",
            "set_flowing.open",
            "set_flowing.pulled_down",
            "set_flowing.first_reading",
            "set_flowing.set",
        ],
    );
    assert!(sustaining.step("prepare.back_out").is_none());
    moves(&sustaining, "prepare.screw_in", "pilot", Sense::In);
    needs(&sustaining, "pressurise.upstream", "prepare.screw_in");
    needs_that(
        &sustaining,
        "set_flowing.first_reading",
        "choice:set_flowing.pulled_down:held",
    );
    let set = &sustaining.step("set_flowing.set").unwrap().evidence;
    assert!(
        set.iter()
            .any(|it| it.code().starts_with("reading:inlet:flowing"))
    );
    let remark = |step: &str, answer: &str| {
        let step = sustaining.step(step).unwrap().clone();
        step.options
            .into_iter()
            .find(|it| it.id == answer)
            .unwrap()
            .remark
    };
    assert!(remark("set_flowing.pulled_down", "follows").is_some());
    assert!(remark("can_water_move.answer", "no").is_some());
    holds(
        &sustaining,
        &[
            "prepare.screw_in",
            "set_flowing.pulled_down",
            "set_flowing.set",
            "tune_and_prove.shuts_below",
        ],
    );
    let proof = sustaining.step("set_flowing.flow_proof").unwrap();
    assert!(!proof.say.en.contains("outlet"), "{}", proof.say.en);
    assert!(
        proof
            .caution
            .as_ref()
            .unwrap()
            .en
            .contains("an outlet that falls")
    );
}

#[test]
fn a_combined_valve_has_two_screws_and_sets_the_sustaining_one_last_with_the_other_standing() {
    let both = built_in("reducing_sustaining");
    assert_eq!(both.screws.len(), 2);
    in_order(
        &both,
        &[
            "prepare.back_out",
            "prepare.sustaining_in",
            "pressurise.upstream",
            "set_flowing.let_open",
            "set_flowing.spool_stops",
            "set_flowing.set",
            "set_sustaining.pulled_down",
            "set_sustaining.set",
            "set_sustaining.outlet_again",
            "tune_and_prove.lock_nut",
        ],
    );
    moves(&both, "prepare.back_out", "pilot", Sense::Out);
    moves(&both, "prepare.sustaining_in", "sustaining_pilot", Sense::In);
    moves(&both, "set_flowing.let_open", "sustaining_pilot", Sense::Out);
    needs(&both, "pressurise.upstream", "prepare.sustaining_in");
    needs(&both, "set_sustaining.set", "set_flowing.set");
    needs(&both, "set_sustaining.outlet_again", "set_sustaining.set");
    needs(&both, "tune_and_prove.lock_nut", "set_sustaining.outlet_again");
    leaves(&both, "as_found.screw", "particular:sustaining_screw_height");
    let as_left = |point: &str| {
        both.closes_with.iter().any(|it| {
            matches!(it, Condition::Reading(ReadingIs { point: at, purpose: Some(Purpose::AsLeft), .. }) if at == point)
        })
    };
    assert!(as_left("outlet") && as_left("inlet"));
}

#[test]
fn a_service_visit_turns_no_screw_and_ends_with_a_baseline_to_compare() {
    let service = built_in("service");
    in_order(
        &service,
        &[
            "as_found.pressures",
            "as_found.compare",
            "exercise.flow",
            "exercise.strokes",
            "exercise.stroke_times",
            "strainer.isolate",
            "strainer.vent",
            "strainer.clean",
            "strainer.fill",
            "strainer.spool",
            "strainer.lock_up",
            "strainer.on_line",
            "prove_again.baseline",
            "prove_again.verdict",
            "prove_again.as_left",
        ],
    );
    for step in service.steps() {
        let turned = step
            .evidence
            .iter()
            .any(|it| matches!(it, Condition::Move { .. }));
        assert!(!turned, "{}", step.id);
        assert_ne!(step.screen.as_deref(), Some("setting"), "{}", step.id);
    }
    let clean = service.step("strainer.clean").unwrap();
    assert!(clean.stops.iter().any(|stop| stop.code() == "pressure_vented"));
    for (step, earlier) in [
        ("strainer.isolate", "pre_job.second_feed"),
        ("strainer.clean", "strainer.vent"),
        ("strainer.on_line", "strainer.lock_up"),
        ("prove_again.baseline", "strainer.on_line"),
    ] {
        needs(&service, step, earlier);
    }
    let drifted = service.step("prove_again.verdict").unwrap();
    let drifted = drifted.options.iter().find(|it| it.id == "drifted").unwrap();
    assert!(drifted.remark.is_some());
}

#[test]
fn a_shut_down_leaves_both_blocks_shut_and_the_line_up_said() {
    let shut_down = built_in("shut_down");
    for block in ["upstream_block", "downstream_block"] {
        assert_eq!(shut_down.element(block).unwrap().normal, Position::Shut);
        let closes = Condition::Position {
            element: block.to_owned(),
            is: Stance::Is(Position::Shut),
        };
        assert!(shut_down.closes_with.contains(&closes), "{block}");
    }
    assert!(shut_down.element("bypass").unwrap().agreed);
    leaves(&shut_down, "shut.line_up", "line_up:recorded");
}
