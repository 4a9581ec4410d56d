//! What two sessions that mean well do.

use super::world::{World, hello, job};
use crate::link::{CloseReason, Fault, Input, Message, Summary};

fn pair() -> World {
    World::new(2, &[[0, 1]])
}

fn linked() -> World {
    let mut world = pair();
    world.connect(0);
    world.settle();
    world
}

#[test]
fn what_each_lacks_it_gets() {
    let mut world = pair();
    for at in 0..30 {
        world.append(at % 2, job(1));
        world.append(0, job(2));
        world.append(1, job(3));
    }
    world.connect(0);
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.devices[0].jobs.len(), 3);
    assert_eq!(
        (world.devices[0].brought_again, world.devices[1].brought_again),
        (0, 0)
    );
}

#[test]
fn a_change_made_while_linked_is_sent_at_once_and_not_sent_back() {
    let mut world = linked();
    world.append(0, job(1));
    world.settle();
    world.append(1, job(1));
    world.append(0, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.clock(0, job(1)).len(), 2);
    assert_eq!(
        (world.devices[0].brought_again, world.devices[1].brought_again),
        (0, 0)
    );
}

#[test]
fn a_live_change_costs_two_frames() {
    let mut world = linked();
    world.append(0, job(1));
    world.settle();
    let before = world.end(0, 0).heard.len() + world.end(0, 1).heard.len();
    world.append(0, job(1));
    world.settle();
    let after = world.end(0, 0).heard.len() + world.end(0, 1).heard.len();
    assert_eq!(after - before, 2, "the bundle and the word that it is stored");
}

#[test]
fn three_in_a_chain_pass_entries_on() {
    let mut world = World::new(3, &[[0, 1], [1, 2]]);
    world.append(0, job(1));
    world.connect(0);
    world.connect(1);
    world.settle();
    world.append(2, job(1));
    world.append(0, job(1));
    world.append(1, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.devices[1].jobs, world.devices[2].jobs);
    assert_eq!(world.clock(2, job(1)).len(), 3);
    assert!(world.devices.iter().all(|device| device.brought_again == 0));
}

#[test]
fn three_in_a_ring_settle_though_each_hears_everything_from_two_sides() {
    let mut world = World::new(3, &[[0, 1], [1, 2], [2, 0]]);
    for link in 0..3 {
        world.connect(link);
    }
    world.settle();
    for device in [0, 1, 2, 0, 0, 1] {
        world.append(device, job(1));
    }
    world.settle();
    for (device, peer) in [(0, 1), (1, 2), (2, 0), (1, 0), (2, 1), (0, 2)] {
        assert_eq!(world.clock(device, job(1)), world.clock(peer, job(1)));
        assert_eq!(world.believes(device, peer, job(1)), world.clock(peer, job(1)));
    }
}

#[test]
fn a_job_that_is_not_offered_does_not_leave_the_device() {
    let mut world = pair();
    world.devices[0].kept_back.insert(job(1));
    world.append(0, job(1));
    world.append(0, job(2));
    world.connect(0);
    world.settle();
    world.append(0, job(1));
    world.settle();
    assert!(world.devices[1].jobs.contains_key(&job(2)));
    assert!(!world.devices[1].jobs.contains_key(&job(1)));
    let about_it = |message: &Message| match message {
        Message::Offer(offer) => offer.jobs.iter().any(|(named, _)| *named == job(1)),
        _ => false,
    };
    assert!(!world.end(0, 1).heard.iter().any(about_it));
}

#[test]
fn a_job_that_is_declined_is_not_sent() {
    let mut world = pair();
    world.devices[1].takes_new = false;
    world.append(0, job(1));
    world.connect(0);
    world.settle();
    assert!(world.devices[1].jobs.is_empty());
    assert!(
        !world
            .end(0, 1)
            .heard
            .iter()
            .any(|message| matches!(message, Message::Bundle(_)))
    );
}

#[test]
fn a_job_that_was_declined_and_then_came_another_way_is_shared_after_all() {
    let mut world = pair();
    world.devices[1].takes_new = false;
    world.append(0, job(1));
    world.connect(0);
    world.settle();
    world.append(1, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.clock(0, job(1)).len(), 2);
}

#[test]
fn a_job_that_comes_another_way_while_it_is_asked_for_is_known_to_be_here() {
    let mut world = linked();
    world.append(0, job(1));
    world.deliver(0, 1);
    // The other side has asked for all of it; its own first change of the job comes before the answer.
    world.append(1, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.believes(0, 1, job(1)), world.clock(1, job(1)));
    assert_eq!(world.believes(1, 0, job(1)), world.clock(0, job(1)));
}

#[test]
fn a_job_withdrawn_from_a_peer_is_sent_no_further() {
    let mut world = linked();
    world.append(0, job(1));
    world.settle();
    world.tell(0, 0, Input::Withdrawn { job: job(1) });
    world.devices[0].kept_back.insert(job(1));
    world.append(0, job(1));
    world.settle();
    assert_eq!(world.devices[1].jobs[&job(1)].len(), 1);
}

#[test]
fn a_job_left_out_for_now_goes_with_its_next_change() {
    let mut world = linked();
    world.append(0, job(1));
    world.settle();
    world.tell(0, 0, Input::Skipped { job: job(1) });
    world.append(0, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
}

#[test]
fn a_reconnect_with_nothing_new_of_500_jobs_costs_under_a_kilobyte() {
    let mut world = pair();
    for at in 0..500 {
        world.append(0, job(at));
    }
    world.connect(0);
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    let whole = world.end(0, 0).bytes_heard + world.end(0, 1).bytes_heard;
    world.cut(0);
    world.connect(0);
    world.settle();
    let idle = world.end(0, 0).bytes_heard + world.end(0, 1).bytes_heard;
    assert!(idle < 1_000, "{idle} bytes, and {whole} the first time");
    assert_eq!(world.believes(0, 1, job(499)), world.clock(1, job(499)));
    world.append(1, job(7));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
}

#[test]
fn a_reconnect_with_one_change_of_500_jobs_sends_one_job() {
    let mut world = pair();
    for at in 0..500 {
        world.append(0, job(at));
    }
    world.connect(0);
    world.settle();
    world.cut(0);
    world.append(1, job(250));
    world.connect(0);
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    let wanted = world.end(0, 1).heard.iter().filter_map(|message| match message {
        Message::Want(want) => Some(want.jobs.len()),
        _ => None,
    });
    assert_eq!(wanted.sum::<usize>(), 1);
}

#[test]
fn changes_made_before_the_peer_is_heard_are_not_lost() {
    let mut world = pair();
    world.append(0, job(1));
    world.append(1, job(1));
    world.connect(0);
    // The hello of one side arrives and that side goes on working.
    world.deliver(0, 0);
    world.append(0, job(1));
    world.append(0, job(2));
    world.append(1, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    assert_eq!(world.devices[1].jobs[&job(1)].len(), 4);
}

#[test]
fn another_person_at_the_same_tablet_is_told() {
    let mut world = linked();
    let mut me = hello(1);
    me.person = Some("Ana".to_owned());
    world.tell(0, 0, Input::Me(me.clone()));
    world.settle();
    assert_eq!(world.end(0, 1).session.peer(), Some(&me));
}

#[test]
fn another_person_is_offered_what_they_may_see() {
    let mut world = pair();
    world.devices[0].only_for.insert(job(1), "Ana");
    world.append(0, job(1));
    world.append(0, job(2));
    world.connect(0);
    world.settle();
    assert!(!world.devices[1].jobs.contains_key(&job(1)));
    let mut me = hello(2);
    me.person = Some("Ana".to_owned());
    world.tell(0, 1, Input::Me(me));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    world.append(0, job(1));
    world.settle();
    assert_eq!(world.devices[0].jobs, world.devices[1].jobs);
    // And once she has handed the tablet on, no more of it.
    world.tell(0, 1, Input::Me(hello(2)));
    world.settle();
    world.append(0, job(1));
    world.settle();
    assert_eq!(world.devices[1].jobs[&job(1)].len(), 2);
}

#[test]
fn clocks_that_differ_are_measured_from_both_sides() {
    let mut world = pair();
    world.devices[1].ahead_ms = 240_000;
    world.connect(0);
    world.settle();
    let (zero, one) = (world.id(0), world.id(1));
    assert_eq!(world.devices[0].offsets.get(&one), Some(&240_000));
    assert_eq!(world.devices[1].offsets.get(&zero), Some(&-240_000));
}

#[test]
fn a_quiet_link_stays_up_by_its_heartbeat() {
    let mut world = linked();
    for _ in 0..60 {
        world.pass(2_000);
        world.settle();
    }
    assert!(world.end(0, 0).closed.is_none() && world.end(0, 1).closed.is_none());
}

#[test]
fn a_half_open_link_is_given_up_by_the_side_that_hears_nothing() {
    let mut world = linked();
    // Everything to side 0 is lost; side 1 hears all.
    for _ in 0..2 {
        world.pass(2_000);
        while world.deliver(0, 1) {}
    }
    world.pass(2_000);
    assert_eq!(world.end(0, 0).closed, Some(CloseReason::Faulted(Fault::Silent)));
    assert_eq!(world.end(0, 1).closed, None);
    // What side 0 says on parting reaches side 1.
    while world.deliver(0, 1) {}
    let left = CloseReason::PeerLeft {
        code: "silent".to_owned(),
    };
    assert_eq!(world.end(0, 1).closed, Some(left));
}

#[test]
fn a_side_that_slept_gives_the_peer_until_its_next_heartbeat() {
    let mut world = linked();
    // Both slept; what the other sent meanwhile is still on the wire when they look at the time.
    world.pass(60_000);
    assert_eq!(world.end(0, 0).closed, None);
    world.settle();
    world.pass(2_000);
    world.settle();
    assert_eq!(world.end(0, 0).closed, None);
    // One that stays silent is given up then.
    world.pass(60_000);
    while world.deliver(0, 1) {}
    world.pass(2_000);
    assert_eq!(world.end(0, 0).closed, Some(CloseReason::Faulted(Fault::Silent)));
}

#[test]
fn a_side_that_is_stopped_says_so() {
    let mut world = linked();
    world.tell(0, 0, Input::Stop);
    world.settle();
    assert_eq!(world.end(0, 0).closed, Some(CloseReason::Stopped));
    let left = CloseReason::PeerLeft {
        code: "stopped".to_owned(),
    };
    assert_eq!(world.end(0, 1).closed, Some(left));
}

#[test]
fn equal_devices_compare_one_digest_and_no_list_beyond_the_short_one() {
    let mut world = pair();
    for at in 0..40 {
        world.append(0, job(at));
    }
    world.connect(0);
    world.settle();
    world.cut(0);
    world.connect(0);
    world.settle();
    let digests: Vec<&Summary> = [0, 1]
        .iter()
        .flat_map(|&end| &world.end(0, end).heard)
        .filter_map(|message| match message {
            Message::Summary(summary) => Some(summary),
            _ => None,
        })
        .collect();
    assert_eq!(digests.len(), 2);
    assert_eq!(digests[0], digests[1]);
    assert!(
        !world
            .end(0, 0)
            .heard
            .iter()
            .any(|message| matches!(message, Message::Offer(_)))
    );
}
