//! "With a crew mate" is said only after the crew mate has committed, and large deliveries stay bounded.

use super::world::{World, job};
use crate::link::{CloseReason, Message, WINDOW};

#[test]
fn a_receipt_is_not_said_before_the_commit() {
    let mut world = World::new(2, &[[0, 1]]);
    world.append(0, job(1));
    world.hold_commits = true;
    world.connect(0);
    world.settle();
    assert_eq!(world.end(0, 1).intake.len(), 1, "received");
    assert!(
        world.believes(0, 1, job(1)).is_empty(),
        "and not yet said to be stored"
    );
    world.pass(2_000);
    world.settle();
    assert!(world.believes(0, 1, job(1)).is_empty());
    world.commit(0, 1);
    world.settle();
    assert_eq!(world.believes(0, 1, job(1)), world.clock(0, job(1)));
}

#[test]
fn a_receiver_killed_between_receipt_and_commit_is_not_believed_to_hold_it() {
    let mut world = World::new(2, &[[0, 1]]);
    world.append(0, job(1));
    world.hold_commits = true;
    world.connect(0);
    world.settle();
    assert_eq!(world.end(0, 1).intake.len(), 1);
    world.cut(0);
    assert!(world.believes(0, 1, job(1)).is_empty());
    // It comes back, says that it has nothing, and is sent everything again.
    world.hold_commits = false;
    world.connect(0);
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.believes(0, 1, job(1)), world.clock(0, job(1)));
    assert_eq!(world.devices[1].brought_again, 0);
}

#[test]
fn a_peer_restored_from_a_backup_is_believed_to_hold_what_it_now_says() {
    let mut world = World::new(2, &[[0, 1]]);
    world.append(0, job(1));
    world.connect(0);
    world.settle();
    let backup = world.devices[1].jobs.clone();
    world.append(0, job(1));
    world.settle();
    assert_eq!(world.believes(0, 1, job(1)), world.clock(0, job(1)));
    world.cut(0);
    world.devices[1].jobs = backup;
    world.hold_commits = true;
    world.connect(0);
    world.settle();
    assert_eq!(world.believes(0, 1, job(1)), world.clock(1, job(1)));
    assert_ne!(world.believes(0, 1, job(1)), world.clock(0, job(1)));
}

#[test]
fn each_side_knows_of_the_other_what_a_third_brought_to_both() {
    let mut world = World::new(3, &[[0, 1], [1, 2], [2, 0]]);
    for link in 0..3 {
        world.connect(link);
    }
    world.append(2, job(1));
    world.settle();
    assert_eq!(world.believes(0, 1, job(1)), world.clock(2, job(1)));
    assert_eq!(world.believes(1, 0, job(1)), world.clock(2, job(1)));
}

#[test]
fn a_slow_receiver_is_sent_no_more_than_a_window() {
    let mut world = World::new(2, &[[0, 1]]);
    world.devices[0].bundle_bytes = 1;
    for _ in 0..WINDOW * 3 {
        world.append(0, job(1));
    }
    world.hold_commits = true;
    world.connect(0);
    world.settle();
    assert_eq!(world.end(0, 1).intake.len(), WINDOW);
    world.commit(0, 1);
    world.settle();
    assert_eq!(
        world.end(0, 1).intake.len(),
        WINDOW,
        "one done with lets one more come"
    );
    world.hold_commits = false;
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
}

#[test]
fn a_delivery_cut_in_the_middle_goes_on_where_it_was_cut() {
    let mut world = World::new(2, &[[0, 1]]);
    world.devices[0].bundle_bytes = 1;
    for _ in 0..40 {
        world.append(0, job(1));
    }
    world.connect(0);
    let half = |world: &World| {
        world.devices[1]
            .jobs
            .get(&job(1))
            .map_or(0, super::world::Rows::len)
            >= 20
    };
    while !half(&world) {
        for end in [0, 1] {
            world.deliver(0, end);
            world.commit(0, end);
        }
    }
    let held = world.devices[1].jobs[&job(1)].len();
    world.cut(0);
    world.connect(0);
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.devices[1].brought_again, 0);
    let bundles = world
        .end(0, 1)
        .heard
        .iter()
        .filter(|message| matches!(message, Message::Bundle(_)));
    assert_eq!(bundles.count(), 40 - held);
}

#[test]
fn two_sides_five_thousand_entries_apart_meet() {
    let mut world = World::new(2, &[[0, 1]]);
    world.devices[0].bundle_bytes = 8 * 1024;
    world.devices[1].bundle_bytes = 8 * 1024;
    for _ in 0..5_000 {
        world.append(0, job(1));
        world.append(1, job(1));
    }
    world.connect(0);
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.devices[0].jobs[&job(1)].len(), 10_000);
    assert_eq!(world.believes(0, 1, job(1)), world.clock(0, job(1)));
    assert_eq!(
        (world.devices[0].brought_again, world.devices[1].brought_again),
        (0, 0)
    );
}

#[test]
fn a_refused_delivery_drops_its_sender_with_the_code() {
    let mut world = World::new(2, &[[0, 1]]);
    world.append(0, job(1));
    world.hold_commits = true;
    world.connect(0);
    world.settle();
    let ends = world.links[0].as_mut().unwrap();
    ends[1].intake[0].1 = b"no change at all".to_vec();
    world.commit(0, 1);
    world.settle();
    let refused = CloseReason::Refused {
        job: job(1),
        code: "makes_no_sense",
    };
    assert_eq!(world.end(0, 1).closed, Some(refused));
    let left = CloseReason::PeerLeft {
        code: "makes_no_sense".to_owned(),
    };
    assert_eq!(world.end(0, 0).closed, Some(left));
    assert!(world.devices[1].jobs.is_empty());
    assert!(world.believes(0, 1, job(1)).is_empty());
}
