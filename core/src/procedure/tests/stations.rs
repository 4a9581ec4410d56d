//! Stations of several valves: what one valve's steps ask of the others, and what they share.

use super::crew::{all_built_in, built_in};
use super::kinds::{holds, leaves, needs_that};
use super::order::{in_order, needs};
use crate::procedure::{Branch, Condition, Owner};

#[test]
fn in_parallel_each_valve_is_set_with_the_other_isolated_and_then_both_go_through_the_change_over() {
    let (low, large) = (built_in("parallel_low_flow"), built_in("parallel_large"));
    for (procedure, other) in [(&low, "large"), (&large, "low_flow")] {
        in_order(
            procedure,
            &[
                "alone.shut_other",
                "prepare.isolate",
                "set_flowing.set",
                "tune_and_prove.as_left",
            ],
        );
        needs(procedure, "prepare.isolate", "alone.shut_other");
        leaves(
            procedure,
            "alone.shut_other",
            &format!("position:{other}_downstream_block:shut"),
        );
        for step in ["set_flowing.set", "tune_and_prove.as_left"] {
            needs_that(
                procedure,
                step,
                &format!("position:{other}_downstream_block:shut"),
            );
        }
        holds(procedure, &["pre_job.companions", "alone.shut_other"]);
    }
    assert!(low.phases.iter().all(|phase| phase.id != "change_over"));
    in_order(
        &large,
        &[
            "alone.low_flow_set",
            "alone.shut_other",
            "tune_and_prove.as_left",
            "change_over.both_open",
            "change_over.low",
            "change_over.up",
            "change_over.down",
        ],
    );
    leaves(
        &large,
        "alone.low_flow_set",
        "step:tune_and_prove.as_left:at:parallel_low_flow",
    );
    needs(&large, "alone.shut_other", "alone.low_flow_set");
    needs(&large, "change_over.both_open", "tune_and_prove.as_left");
    needs_that(
        &large,
        "change_over.both_open",
        "step:tune_and_prove.as_left:at:parallel_low_flow",
    );
    holds(
        &large,
        &[
            "alone.low_flow_set",
            "change_over.both_open",
            "change_over.low",
            "change_over.up",
            "change_over.down",
        ],
    );
}

#[test]
fn in_parallel_the_block_valves_are_the_stations_and_both_valves_name_them_alike() {
    let (low, large) = (built_in("parallel_low_flow"), built_in("parallel_large"));
    for id in [
        "low_flow_upstream_block",
        "low_flow_downstream_block",
        "large_upstream_block",
        "large_downstream_block",
        "bypass",
    ] {
        let (a, b) = (low.element(id).unwrap(), large.element(id).unwrap());
        assert_eq!(a, b, "{id}");
        assert_eq!(a.of, Owner::Station, "{id}");
    }
    assert_eq!(
        low.element("low_flow_upstream_block").unwrap().branch,
        Branch::LowFlow
    );
    assert_eq!(low.element("large_upstream_block").unwrap().branch, Branch::Large);
    assert_eq!(low.element("inlet_cock").unwrap().branch, Branch::LowFlow);
    assert_eq!(large.element("inlet_cock").unwrap().branch, Branch::Large);
    assert_eq!(large.element("bypass").unwrap().branch, Branch::Bypass);
    assert_eq!(large.element("inlet_cock").unwrap().of, Owner::Valve);
    for (procedure, own) in [(&low, "low_flow"), (&large, "large")] {
        assert!(procedure.element("downstream_block").is_none());
        needs_that(
            procedure,
            "pressurise.upstream",
            &format!("position:{own}_downstream_block:shut"),
        );
        leaves(
            procedure,
            "set_flowing.open",
            &format!("position:{own}_downstream_block:open"),
        );
    }
}

#[test]
fn a_large_valve_feeds_the_zone_only_behind_a_proven_relief_valve() {
    let large = built_in("large_with_relief");
    in_order(
        &large,
        &[
            "relief_first.proven",
            "relief_first.open",
            "prepare.isolate",
            "pressurise.upstream",
        ],
    );
    leaves(
        &large,
        "relief_first.proven",
        "step:prove_relief.as_left:at:relief",
    );
    leaves(&large, "relief_first.open", "position:relief_block:open");
    needs(&large, "prepare.isolate", "relief_first.open");
    needs(&large, "pressurise.upstream", "relief_first.open");
    needs_that(&large, "pressurise.upstream", "position:relief_block:open");
    holds(
        &large,
        &["pre_job.companions", "relief_first.proven", "relief_first.open"],
    );
    let (here, there) = (
        large.element("relief_block").unwrap().clone(),
        built_in("relief").element("relief_block").unwrap().clone(),
    );
    assert_eq!((here.of, here.branch), (Owner::Station, Branch::Relief));
    assert_eq!((there.of, there.branch), (Owner::Station, Branch::Relief));
}

#[test]
fn a_step_named_at_another_valve_is_a_hold_point_of_that_valves_procedure() {
    let procedures = all_built_in();
    let mut seen = 0;
    for procedure in procedures.iter() {
        for step in procedure.steps() {
            for condition in step.needs.iter().chain(&step.evidence) {
                if let Condition::StepAt { step, procedure } = condition {
                    let there = procedures
                        .get(procedure)
                        .unwrap_or_else(|| panic!("no {procedure}"));
                    holds(there, &[step]);
                    seen += 1;
                }
            }
        }
    }
    assert!(seen >= 3);
}
