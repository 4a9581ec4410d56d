//! From entries to list to settled, in both orders of arrival.

mod close_to;
mod every_kind;
mod every_procedure;
mod readings;
mod roles;
mod scene;
mod screw_and_flow;
mod steps;

use super::Code;
use crate::journal::{About, Body, Position, Resolution, Withdrawn};
use scene::{Device, meet};

#[test]
fn an_untouched_job_has_nothing_to_decide() {
    let mut office = Device::opens();
    office.requests("55");
    assert_eq!(office.open(), []);
}

#[test]
fn a_request_changed_while_the_crew_worked_is_told_until_they_work_to_the_new_one() {
    let mut office = Device::opens();
    let first = office.requests("55");
    let mut crew = Device::new(2);
    crew.hears(&office);
    let turned = crew.turns(first);
    let left = crew.leaves("55.1", first);
    let second = office.requests("52");
    meet(&mut crew, &mut office);
    assert_eq!(crew.open(), [(Code::RequestChanged, vec![turned, left, second])]);

    crew.turns(second);
    assert_eq!(
        crew.open(),
        [],
        "a move for the new request was made in knowledge of the old work"
    );
}

#[test]
fn the_same_pressure_asked_for_again_is_no_change() {
    let mut office = Device::opens();
    let first = office.requests("55");
    let mut crew = Device::new(2);
    crew.hears(&office);
    crew.leaves("55.1", first);
    office.requests("55");
    meet(&mut crew, &mut office);
    assert_eq!(crew.open(), []);
}

#[test]
fn work_for_the_new_request_that_had_not_seen_the_old_work_does_not_cover_it() {
    let mut office = Device::opens();
    let first = office.requests("55");
    let (mut crew, mut mate) = (Device::new(2), Device::new(3));
    crew.hears(&office);
    let left = crew.leaves("55.1", first);
    let second = office.requests("52");
    mate.hears(&office);
    mate.leaves("52.0", second);
    meet(&mut crew, &mut mate);
    assert_eq!(crew.open(), [(Code::RequestChanged, vec![left, second])]);
}

#[test]
fn a_changed_request_is_settled_with_a_name_and_a_reason() {
    let mut office = Device::opens();
    let first = office.requests("55");
    let mut crew = Device::new(2);
    crew.hears(&office);
    let left = crew.leaves("55.1", first);
    let second = office.requests("52");
    meet(&mut crew, &mut office);
    let settled = crew.say(Body::Resolution(Resolution {
        about: About::Item {
            code: "request_changed".to_owned(),
            entries: vec![second, left],
        },
        reason: "agreed by radio: stays at 55 tonight".to_owned(),
    }));
    meet(&mut crew, &mut office);
    assert_eq!(office.open(), []);
    let all = office.items(Code::RequestChanged);
    assert_eq!(all.len(), 1, "what is settled stays readable");
    assert_eq!(all[0].settled_by, Some(settled));

    crew.turns(first);
    assert_eq!(
        crew.open().len(),
        1,
        "with another set of entries the item is open again"
    );
}

#[test]
fn two_states_of_one_block_valve_stand_until_somebody_looks() {
    let mut office = Device::opens();
    let mut crew = Device::new(2);
    crew.hears(&office);
    let shut = crew.sets(Position::Shut);
    let open = office.sets(Position::Open);
    meet(&mut crew, &mut office);
    let open_now = crew.open();
    let [(Code::Disagreement, entries)] = open_now.as_slice() else {
        panic!("one disagreement");
    };
    assert_eq!(entries.len(), 2);
    assert!(entries.contains(&shut) && entries.contains(&open));

    crew.sets(Position::Throttled);
    assert_eq!(
        crew.open(),
        [],
        "whoever had both before their eyes and says how it stands settles it"
    );
}

#[test]
fn what_was_taken_back_leaves_an_unknown_state() {
    let mut crew = Device::opens();
    crew.sets(Position::Open);
    let shut = crew.sets(Position::Shut);
    crew.say(Body::Withdrawn(Withdrawn {
        entry: shut,
        reason: "wrong valve".to_owned(),
    }));
    assert!(matches!(crew.open().as_slice(), [(Code::UnknownState, _)]));
}

#[test]
fn entries_after_the_signature_are_late_and_what_came_before_is_not() {
    let mut crew = Device::opens();
    let mut mate = Device::new(2);
    mate.hears(&crew);
    let late = mate.notes("strainer basket bent");
    crew.notes("all quiet");
    crew.signs(1);
    assert_eq!(crew.open(), []);
    meet(&mut crew, &mut mate);
    assert_eq!(crew.open(), [(Code::LateEntries, vec![late])]);
}
