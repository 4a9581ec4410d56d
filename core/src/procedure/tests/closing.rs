//! What is missing when a job is to be closed.

use super::crew::{Tablet, VALVE};
use super::stages::{leave_and_close, prove, set_flowing, to_as_found, to_the_question};
use crate::journal::{Outcome, Purpose};
use crate::procedure::{missing_at_close, own_entries};

fn finished() -> Tablet {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    set_flowing(&mut a);
    prove(&mut a, true);
    leave_and_close(&mut a);
    a
}

fn missing(a: &mut Tablet) -> Vec<(String, String)> {
    let state = a.state();
    let all = missing_at_close(&a.procedure, &state, VALVE);
    assert!(
        all.iter()
            .all(|it| !it.say.en.is_empty() && !it.say.es.is_empty())
    );
    all.into_iter()
        .map(|it| (it.code, it.about.unwrap_or_default()))
        .collect()
}

fn codes(a: &mut Tablet) -> Vec<String> {
    missing(a).into_iter().map(|(code, _)| code).collect()
}

const AS_LEFT: &str =
    "reading:outlet:as_left:standing_request:gauge:after:last_move:after:tune_and_prove.lock_nut";

#[test]
fn an_untouched_job_misses_every_step_that_nobody_may_leave_out_in_silence() {
    let mut a = Tablet::opens("reducing");
    let missing = missing(&mut a);
    let open = |id: &str| missing.contains(&("step_open".to_owned(), id.to_owned()));
    assert!(open("pre_job.request") && open("entry.retrieval") && open("leave.lid"));
    assert!(!open("pre_job.gauge_pair"), "optional");
    assert!(
        !open("close_out.sign"),
        "nobody waits for the signature before signing"
    );
    assert!(missing.contains(&(AS_LEFT.to_owned(), String::new())));
}

#[test]
fn a_turn_after_the_as_left_reading_makes_it_missing() {
    let mut a = finished();
    a.turns("1/8");
    a.initials();
    assert!(codes(&mut a).contains(&AS_LEFT.to_owned()));
    a.reads_for("outlet", "58", Purpose::AsLeft);
    a.reads("zone_high", "40");
    a.reads("zone_low", "74");
    a.initials();
    assert_eq!(codes(&mut a), Vec::<String>::new());
}

#[test]
fn a_request_that_changed_after_the_valve_was_set_makes_the_as_left_reading_missing() {
    let mut a = finished();
    let mut office = Tablet::joins("reducing", "Office", 9);
    a.meets(&mut office);
    office.requests("50", Some("80"));
    a.meets(&mut office);
    a.initials();
    let missing = missing(&mut a);
    assert!(
        missing.contains(&(AS_LEFT.to_owned(), String::new())),
        "{missing:?}"
    );
    assert!(
        missing.contains(&("step_open".to_owned(), "close_out.as_left".to_owned())),
        "{missing:?}"
    );
}

#[test]
fn an_element_out_of_its_normal_position_is_named() {
    let mut a = finished();
    a.opens_up("bypass");
    a.initials();
    assert_eq!(missing(&mut a), [("not_normal".to_owned(), "bypass".to_owned())]);
    a.shuts("bypass");
    a.opens_up("inlet_gauge_cock");
    a.initials();
    assert_eq!(missing(&mut a), [], "a gauge cock stays as agreed");
}

#[test]
fn two_states_of_one_valve_are_missing_until_settled() {
    let mut a = finished();
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.opens_up("downstream_block");
    b.shuts("downstream_block");
    a.initials();
    b.initials();
    a.meets(&mut b);
    let missing = missing(&mut a);
    assert!(
        missing.contains(&("not_normal".to_owned(), "downstream_block".to_owned())),
        "{missing:?}"
    );
    assert!(
        missing.contains(&("step_open".to_owned(), "close_out.disagreements".to_owned())),
        "{missing:?}"
    );
}

#[test]
fn everybody_with_entries_initials_them_and_new_entries_need_it_again() {
    let mut a = finished();
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    b.reads("hydrant", "60");
    a.meets(&mut b);
    assert_eq!(missing(&mut a), [("initials".to_owned(), b.person.to_string())]);
    a.initials();
    assert_eq!(missing(&mut a).len(), 1, "nobody initials for another");
    b.initials();
    a.meets(&mut b);
    assert_eq!(missing(&mut a), []);
    b.reads("hydrant", "61");
    b.meets(&mut a);
    let state = a.state();
    let own = own_entries(&state).remove(&b.person).unwrap();
    assert_eq!((own.entries.len(), own.initialled.len()), (2, 1));
}

#[test]
fn a_mark_that_hides_what_was_unmet_is_missing() {
    let mut a = Tablet::opens("reducing");
    a.forces("pre_job.request", Outcome::Done, &[], None);
    assert!(missing(&mut a).contains(&("step_unsaid".to_owned(), "pre_job.request".to_owned())));
}

#[test]
fn a_mark_over_a_hard_stop_is_missing_as_refused() {
    let mut a = Tablet::opens("reducing");
    a.forces("entry.enter", Outcome::Done, &["atmosphere"], Some("in a hurry"));
    assert!(missing(&mut a).contains(&("step_refused".to_owned(), "entry.enter".to_owned())));
}
