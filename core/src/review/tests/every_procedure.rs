//! What the review takes from a procedure's text holds for every procedure: which steps open the control circuit,
//! which let its air out again, and which tighten the lock nut.

use super::scene::procedures;
use crate::journal::Purpose;
use crate::procedure::{After, Condition, Procedure, Step};
use crate::review::steps::{bleeds_air, opens_circuit};

fn ids(procedure: &Procedure, which: impl Fn(&Step) -> bool) -> Vec<&str> {
    let steps = procedure.steps().filter(|step| which(step));
    steps.map(|step| step.id.as_str()).collect()
}

fn rows(which: impl Fn(&Procedure, &Step) -> bool) -> Vec<(&'static str, Vec<&'static str>)> {
    let all = procedures().iter();
    all.map(|procedure| {
        (
            procedure.id.as_str(),
            ids(procedure, |step| which(procedure, step)),
        )
    })
    .collect()
}

#[test]
fn where_the_circuit_is_opened_in_each_procedure() {
    let regulating = [
        "prepare.strainers",
        "set_static.fit_bleed",
        "set_static.sensing_line",
        "set_static.reconnect",
    ];
    let expected: [(&str, &[&str]); 9] = [
        ("reducing", &regulating),
        ("sustaining", &["prepare.strainers"]),
        ("reducing_sustaining", &["prepare.strainers"]),
        ("relief", &["prepare_relief.fit_pump"]),
        ("large_with_relief", &regulating),
        ("parallel_low_flow", &regulating),
        ("parallel_large", &regulating),
        ("service", &["strainer.clean"]),
        ("shut_down", &[]),
    ];
    assert_eq!(
        rows(|_, step| opens_circuit(step)),
        expected.map(|(id, steps)| (id, steps.to_vec()))
    );
}

#[test]
fn where_the_circuit_is_bled_in_each_procedure() {
    let regulating = ["pressurise.bleed", "set_static.bleed_again"];
    let expected: [(&str, &[&str]); 9] = [
        ("reducing", &regulating),
        ("sustaining", &["pressurise.bleed"]),
        ("reducing_sustaining", &["pressurise.bleed"]),
        ("relief", &["prove_relief.sensing_open"]),
        ("large_with_relief", &regulating),
        ("parallel_low_flow", &regulating),
        ("parallel_large", &regulating),
        ("service", &["strainer.fill"]),
        ("shut_down", &[]),
    ];
    assert_eq!(rows(bleeds_air), expected.map(|(id, steps)| (id, steps.to_vec())));
}

#[test]
fn whoever_opens_the_circuit_in_a_procedure_finds_a_later_step_that_bleeds_it() {
    for procedure in procedures().iter() {
        let order: Vec<&Step> = procedure.steps().collect();
        let last = order.iter().rposition(|step| bleeds_air(procedure, step));
        for (at, step) in order.iter().enumerate() {
            if opens_circuit(step) {
                assert!(
                    last.is_some_and(|last| last >= at),
                    "{}: {}",
                    procedure.id,
                    step.id
                );
            }
        }
    }
}

#[test]
fn every_procedure_that_is_left_by_a_reading_says_which_step_tightens_the_lock_nut() {
    for procedure in procedures().iter() {
        let left_by = procedure.closes_with.iter().filter_map(|asked| match asked {
            Condition::Reading(asked) if asked.purpose == Some(Purpose::AsLeft) => Some(asked),
            _ => None,
        });
        // A service visit leaves the screw alone: there is no nut to tighten.
        for asked in left_by.filter(|_| !procedure.screws.is_empty() && procedure.id != "service") {
            let after_the_nut = asked.after.iter().any(|after| {
                matches!(after, After::Step(step) if procedure.step(step).is_some_and(|step| step.locks_screw))
            });
            assert!(after_the_nut, "{}: {}", procedure.id, asked.point);
        }
    }
}

#[test]
fn a_lock_nut_goes_by_what_its_step_says_and_not_by_its_name() {
    let tightens = rows(|_, step| step.locks_screw);
    let named = rows(|_, step| step.id.ends_with(".lock_nut") && !step.id.starts_with("prepare"));
    assert_eq!(tightens, named, "a slack lock nut is no tight one");
}
