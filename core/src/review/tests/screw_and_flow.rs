//! Two people on one screw, and readings without flow used as flowing ones.

use super::scene::{Device, meet, reading};
use crate::journal::{Body, EntryId, FlowProof, Purpose, Reading, Water};
use crate::review::Code;

fn two() -> (Device, Device) {
    let ana = Device::opens();
    let mut ben = Device::new(2);
    ben.hears(&ana);
    (ana, ben)
}

#[test]
fn turns_of_one_screw_that_did_not_know_of_each_other_are_decided_by_words() {
    let (mut ana, mut ben) = two();
    let before = ana.turns_by("-1/4");
    meet(&mut ana, &mut ben);
    let [one, another] = [ana.turns_by("-1/8"), ana.turns_by("-1/8")];
    let beside = ben.turns_by("1/4");
    meet(&mut ana, &mut ben);
    let after = ben.turns_by("1/8");
    meet(&mut ana, &mut ben);
    let item = ana.item(Code::TwoOnScrew);
    let mut together = item.entries.clone();
    together.sort_unstable();
    let mut expected = vec![one, another, beside];
    expected.sort_unstable();
    assert_eq!(together, expected);
    assert!(!together.contains(&before) && !together.contains(&after));
    assert!(item.needs_decision());

    let words = ben.settles(&item);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.item(Code::TwoOnScrew).settled_by, Some(words));
    assert_eq!(ana.open(), []);
}

#[test]
fn a_third_turn_beside_them_opens_it_again() {
    let (mut ana, mut ben) = two();
    let mut eva = Device::new(3);
    eva.hears(&ana);
    ana.turns_by("-1/8");
    ben.turns_by("1/4");
    meet(&mut ana, &mut ben);
    let item = ana.item(Code::TwoOnScrew);
    ana.settles(&item);
    assert_eq!(ana.open(), []);
    eva.turns_by("1/2");
    meet(&mut ana, &mut eva);
    assert_eq!(ana.item(Code::TwoOnScrew).entries.len(), 3);
    assert_eq!(ana.open().len(), 1);
}

#[test]
fn one_after_another_on_a_screw_is_no_matter() {
    let (mut ana, mut ben) = two();
    for _ in 0..3 {
        ana.turns_by("1/8");
        meet(&mut ana, &mut ben);
        ben.turns_by("-1/8");
        meet(&mut ana, &mut ben);
    }
    assert_eq!(ana.items(Code::TwoOnScrew), []);
}

fn flow_items(device: &mut Device) -> Vec<Vec<EntryId>> {
    let items = device.items(Code::StillAsFlowing);
    items.into_iter().map(|item| item.entries).collect()
}

#[test]
fn a_turn_planned_from_a_reading_for_which_nobody_showed_flow_is_told_until_it_is_read_flowing() {
    let (mut ana, mut ben) = two();
    let read = ana.reads_flowing("70", Purpose::Working);
    let turned = ana.turns_from(read);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), [(Code::StillAsFlowing, vec![read, turned])]);

    ben.flow(FlowProof::Meter);
    let answer = ben.reads_flowing("66", Purpose::Working);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), []);
    assert_eq!(ana.item(Code::StillAsFlowing).settled_by, Some(answer));
}

#[test]
fn it_is_settled_by_words_and_one_more_turn_from_that_reading_opens_it_again() {
    let (mut ana, mut ben) = two();
    let read = ana.reads_flowing("70", Purpose::Working);
    ana.turns_from(read);
    meet(&mut ana, &mut ben);
    let item = ben.item(Code::StillAsFlowing);
    ben.settles(&item);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), []);
    ana.turns_from(read);
    assert_eq!(ana.open().len(), 1);
}

#[test]
fn a_turn_planned_from_still_water_is_told_though_flow_was_shown() {
    let (mut ana, _) = two();
    ana.flow(FlowProof::Meter);
    let still = ana.reads("outlet", "70");
    let turned = ana.turns_from(still);
    assert_eq!(flow_items(&mut ana), [[still, turned]]);
}

#[test]
fn a_turn_planned_from_a_flowing_reading_is_no_matter_while_no_stop_came_between() {
    let (mut ana, _) = two();
    ana.flow(FlowProof::Meter);
    let flowing = ana.reads_flowing("70", Purpose::Working);
    ana.turns_from(flowing);
    assert_eq!(flow_items(&mut ana), [[]; 0]);

    ana.flow(FlowProof::Stopped);
    let after = ana.reads_flowing("66", Purpose::Working);
    let turned = ana.turns_from(after);
    assert_eq!(flow_items(&mut ana), [[after, turned]]);
}

#[test]
fn a_stop_beside_the_proof_counts_as_after_it() {
    let (mut ana, mut ben) = two();
    ana.flow(FlowProof::Meter);
    ben.flow(FlowProof::Stopped);
    meet(&mut ana, &mut ben);
    let read = ana.reads_flowing("70", Purpose::Working);
    let turned = ana.turns_from(read);
    assert_eq!(flow_items(&mut ana), [[read, turned]]);
}

#[test]
fn an_outlet_that_fell_proves_flow_only_after_a_turn_downwards() {
    let (mut ana, _) = two();
    ana.flow(FlowProof::OutletFellOnDownwardMove);
    let read = ana.reads_flowing("70", Purpose::Working);
    let turned = ana.turns_from(read);
    assert_eq!(flow_items(&mut ana), [[read, turned]]);
    // The turn itself went down: said again now, it is true.
    ana.flow(FlowProof::OutletFellOnDownwardMove);
    let proven = ana.reads_flowing("66", Purpose::Working);
    ana.turns_from(proven);
    assert_eq!(flow_items(&mut ana).len(), 1);
}

#[test]
fn leaving_a_valve_by_a_reading_without_flow_is_answered_by_an_as_left_reading_with_it() {
    let (mut ana, mut ben) = two();
    let left = ana.reads_flowing("55", Purpose::AsLeft);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), [(Code::StillAsFlowing, vec![left])]);
    ben.flow(FlowProof::VisibleDischarge);
    ben.reads_flowing("55", Purpose::Working);
    assert_eq!(ben.open().len(), 1);
    ben.reads_flowing("55", Purpose::AsLeft);
    meet(&mut ana, &mut ben);
    assert_eq!(ana.open(), []);
}

#[test]
fn as_left_with_still_water_says_what_it_is_and_the_bleed_is_the_pilots_own() {
    let (mut ana, _) = two();
    ana.say(Body::Reading(Reading {
        purpose: Purpose::AsLeft,
        ..reading("outlet", "55")
    }));
    let bleed = ana.say(Body::Reading(Reading {
        water: Water::Unknown,
        ..reading("test_bleed", "55")
    }));
    ana.turns_from(bleed);
    assert_eq!(flow_items(&mut ana), [[]; 0]);
}
