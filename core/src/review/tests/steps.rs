//! What the walk through the procedure leaves to do, to decide and to read.

use super::scene::procedures;
use crate::journal::{About, Body, EntryId, Outcome, Position, Purpose, Register, Resolution};
use crate::procedure::tests::crew::Tablet;
use crate::procedure::tests::stages::{
    leave_and_close, prove, set_flowing, set_static, to_as_found, to_the_question,
};
use crate::review::{Code, Item, Weight, review};

fn reviewed(a: &mut Tablet) -> Vec<Item> {
    review(&a.state(), procedures())
}

fn items(a: &mut Tablet, code: Code) -> Vec<Item> {
    let mut items = reviewed(a);
    items.retain(|item| item.code == code);
    items
}

fn about(a: &mut Tablet, code: Code) -> Vec<String> {
    let items = items(a, code).into_iter();
    items.map(|item| item.about.unwrap_or_default()).collect()
}

fn settles(a: &mut Tablet, item: &Item) -> EntryId {
    a.say(Body::Resolution(Resolution {
        about: About::Item {
            code: item.key.clone(),
            entries: item.entries.clone(),
        },
        reason: "agreed with the operator".to_owned(),
    }))
}

pub(super) fn at_the_question() -> Tablet {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    to_the_question(&mut a);
    a
}

pub(super) fn finished() -> Tablet {
    let mut a = at_the_question();
    set_flowing(&mut a);
    prove(&mut a, true);
    leave_and_close(&mut a);
    a
}

/// A second tablet that has heard everything, in the other order: both show the same.
fn told_alike(a: &mut Tablet) {
    let mut other = Tablet::joins("reducing", "Zoe", 77);
    other.meets(a);
    assert_eq!(reviewed(&mut other), reviewed(a));
}

#[test]
fn an_untouched_job_has_all_its_work_ahead_and_nothing_to_decide() {
    let mut a = Tablet::opens("reducing");
    let all = reviewed(&mut a);
    assert!(all.iter().all(|item| item.weight == Weight::Missing), "{all:#?}");
    assert!(about(&mut a, Code::StepOpen).contains(&"entry.retrieval".to_owned()));
    assert_eq!(about(&mut a, Code::NotNormal).len(), 11, "one for every element");
}

#[test]
fn a_job_done_with_care_has_nothing_open() {
    let mut a = finished();
    let open: Vec<_> = reviewed(&mut a).into_iter().filter(Item::is_open).collect();
    assert_eq!(open, []);
    told_alike(&mut a);
}

#[test]
fn every_item_is_said_once() {
    let mut a = at_the_question();
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.forces("set_flowing.watch", Outcome::Done, &[], None);
    b.forces(
        "set_flowing.watch",
        Outcome::NotDone,
        &[],
        Some("nobody to spare"),
    );
    a.meets(&mut b);
    let step: Vec<_> = reviewed(&mut a)
        .into_iter()
        .filter(|item| {
            item.about.as_deref() == Some("set_flowing.watch")
                || matches!(item.register, Some(Register::Step { .. }))
        })
        .collect();
    assert_eq!(step.len(), 1, "{step:#?}");
    assert_eq!((step[0].code, step[0].entries.len()), (Code::Disagreement, 2));
    assert_eq!(reviewed(&mut a), reviewed(&mut b));
}

#[test]
fn an_element_out_of_place_is_a_decision_only_at_the_end_and_settled_by_words() {
    let mut a = finished();
    let left = a.puts("bypass", Position::Throttled);
    a.initials();
    let item = items(&mut a, Code::NotNormal).remove(0);
    assert_eq!(
        (item.entries.as_slice(), item.weight),
        (&[left][..], Weight::Decide)
    );
    told_alike(&mut a);
    let words = settles(&mut a, &item);
    assert_eq!(items(&mut a, Code::NotNormal)[0].settled_by, Some(words));

    a.puts("bypass", Position::Open);
    assert!(
        items(&mut a, Code::NotNormal)[0].needs_decision(),
        "it was moved since"
    );
    a.puts("bypass", Position::Shut);
    assert_eq!(items(&mut a, Code::NotNormal), []);
}

#[test]
fn two_elements_of_which_nothing_is_known_are_told_apart() {
    let mut a = Tablet::opens("reducing");
    let both = items(&mut a, Code::NotNormal);
    assert_ne!(both[0].key, both[1].key);
    settles(&mut a, &both[0]);
    let settled: Vec<_> = items(&mut a, Code::NotNormal)
        .into_iter()
        .filter(|item| item.settled_by.is_some())
        .collect();
    assert_eq!(settled.len(), 1);
}

#[test]
fn an_as_left_reading_from_before_the_lock_nut_is_told_until_it_is_read_again() {
    let mut a = finished();
    let nut = a.does("tune_and_prove.lock_nut");
    let items_now = items(&mut a, Code::LockNutNotReRead);
    assert_eq!(items_now.len(), 1);
    assert!(!items_now[0].entries.contains(&nut) && items_now[0].needs_decision());
    assert_eq!(about(&mut a, Code::NotMet), [""; 0], "it is not said twice");
    told_alike(&mut a);
    let words = settles(&mut a, &items_now[0]);
    assert_eq!(items(&mut a, Code::LockNutNotReRead)[0].settled_by, Some(words));

    a.reads_for("outlet", "55", Purpose::AsLeft);
    assert_eq!(items(&mut a, Code::LockNutNotReRead), []);
}

#[test]
fn what_must_hold_at_the_end_is_decided_where_nobody_can_make_it_hold() {
    let mut a = finished();
    a.turns("1/8");
    a.reads("zone_high", "40");
    a.reads("zone_low", "74");
    assert!(
        items(&mut a, Code::NotMet)[0].is_missing(),
        "its step is to be done first"
    );
    a.leaves_out("close_out.as_left", "the gauge fell into the sump");
    a.initials();
    let item = items(&mut a, Code::NotMet).remove(0);
    assert!(item.needs_decision(), "{:?}", about(&mut a, Code::StepOpen));
    let words = settles(&mut a, &item);
    assert_eq!(items(&mut a, Code::NotMet)[0].settled_by, Some(words));
}

#[test]
fn a_circuit_that_was_opened_after_the_last_bleeding_has_to_be_bled_again() {
    let mut a = finished();
    assert_eq!(items(&mut a, Code::NotBled), []);
    for point in ["inlet", "cover", "spool"] {
        a.reads(point, "0");
    }
    let opened = a.forces("prepare.strainers", Outcome::Done, &[], None);
    let item = items(&mut a, Code::NotBled).remove(0);
    assert_eq!(
        (item.entries.as_slice(), item.needs_decision()),
        (&[opened][..], true)
    );
    assert_eq!(item.place.step.as_deref(), Some("pressurise.bleed"));
    told_alike(&mut a);
    let words = settles(&mut a, &item);
    assert_eq!(items(&mut a, Code::NotBled)[0].settled_by, Some(words));

    a.forces("pressurise.bleed", Outcome::Done, &[], None);
    assert_eq!(items(&mut a, Code::NotBled), []);
}

#[test]
fn a_bleeding_that_is_still_ahead_is_a_step_and_not_said_twice() {
    let mut a = Tablet::opens("reducing");
    a.forces("prepare.strainers", Outcome::Done, &[], None);
    assert_eq!(items(&mut a, Code::NotBled), []);
    assert!(about(&mut a, Code::StepOpen).contains(&"pressurise.bleed".to_owned()));
}

#[test]
fn a_bleeding_left_out_leaves_the_circuit_unbled() {
    let mut a = at_the_question();
    a.forces(
        "pressurise.bleed",
        Outcome::NotDone,
        &[],
        Some("no vent on this valve"),
    );
    assert_eq!(items(&mut a, Code::NotBled).len(), 1);
}

#[test]
fn the_static_path_opens_the_circuit_and_bleeds_it_again() {
    let mut a = at_the_question();
    set_static(&mut a);
    assert_eq!(items(&mut a, Code::NotBled), []);
}

#[test]
fn a_step_left_out_and_one_overridden_are_worth_reading() {
    let mut a = at_the_question();
    a.forces("pre_job.vault_card", Outcome::NotDone, &[], Some("no card"));
    a.forces(
        "set_flowing.demand",
        Outcome::Done,
        &["step:pre_job.discharge"],
        Some("customers draw"),
    );
    assert_eq!(about(&mut a, Code::StepNotDone), ["pre_job.vault_card"]);
    let item = items(&mut a, Code::StepOverridden).remove(0);
    assert_eq!(item.about.as_deref(), Some("set_flowing.demand"));
    assert_eq!(item.details.len(), 1);
    assert!(!item.is_open());
}

#[test]
fn a_step_done_before_one_that_it_needs_is_told_as_out_of_order_and_only_so() {
    let mut a = Tablet::opens("reducing");
    to_as_found(&mut a);
    let early = a.forces(
        "prepare.back_out",
        Outcome::Done,
        &["step:prepare.lock_nut"],
        Some("it was slack"),
    );
    assert_eq!(about(&mut a, Code::StepOverridden), ["prepare.back_out"]);
    let late = a.forces("prepare.lock_nut", Outcome::Done, &[], None);
    let item = items(&mut a, Code::StepOutOfOrder).remove(0);
    assert_eq!(item.entries, [early, late]);
    assert_eq!(items(&mut a, Code::StepOverridden), []);
    told_alike(&mut a);
}

#[test]
fn a_mark_over_a_hard_stop_and_one_that_says_too_little_are_work_to_do_again() {
    let mut a = at_the_question();
    a.forces("entry.enter", Outcome::Done, &[], None);
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    let gas = crate::journal::Level::Bottom;
    b.tests_air(gas, "17.0", "0");
    let over = b.forces("prepare.flush", Outcome::Done, &[], None);
    a.meets(&mut b);
    let refused = items(&mut a, Code::StepRefused).remove(0);
    assert_eq!(refused.entries, [over]);
    assert!(!refused.details.is_empty() && refused.is_missing());

    let unsaid = a.forces(
        "set_flowing.flow_proof",
        Outcome::Chosen(String::new()),
        &[],
        None,
    );
    a.forces(
        "can_water_move.answer",
        Outcome::Chosen("yes".to_owned()),
        &[],
        None,
    );
    let item = items(&mut a, Code::StepUnsaid);
    assert!(
        item.iter()
            .any(|item| item.entries == [unsaid] && !item.details.is_empty()),
        "{item:#?}"
    );
}

#[test]
fn initials_of_each_person_are_missing_until_they_cover_everything() {
    let mut a = finished();
    assert_eq!(items(&mut a, Code::Initials), []);
    let after = a.reads("outlet", "55");
    let item = items(&mut a, Code::Initials).remove(0);
    assert_eq!(item.entries, [after], "not yet initialled");
    a.initials();
    assert_eq!(items(&mut a, Code::Initials), []);
}

#[test]
fn an_answer_that_limits_the_setting_is_worth_reading() {
    let mut a = finished();
    assert_eq!(items(&mut a, Code::LimitOnSetting), []);
    let mark = a.forces(
        "set_flowing.enough",
        Outcome::Chosen("below_minimum".to_owned()),
        &[],
        None,
    );
    let item = items(&mut a, Code::LimitOnSetting).remove(0);
    assert_eq!(item.entries, [mark]);
    assert!(item.say.unwrap().en.starts_with("Low-flow setting"));
}
