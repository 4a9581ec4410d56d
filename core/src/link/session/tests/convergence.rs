//! Whatever is cut, held up or done in whatever order: in reach of each other all end equal.

use super::world::{World, job};
use proptest::prelude::*;

#[derive(Clone, Debug)]
enum Step {
    Append { device: usize, job: u128 },
    Connect { link: usize },
    Cut { link: usize },
    Deliver { link: usize, end: usize, frames: usize },
    Commit { link: usize, end: usize },
    Pass { ms: u64 },
}

fn step(devices: usize, links: usize) -> impl Strategy<Value = Step> {
    prop_oneof![
        4 => (0..devices, 0..3_u128).prop_map(|(device, job)| Step::Append { device, job }),
        2 => (0..links).prop_map(|link| Step::Connect { link }),
        1 => (0..links).prop_map(|link| Step::Cut { link }),
        8 => (0..links, 0..2_usize, 1..6_usize)
            .prop_map(|(link, end, frames)| Step::Deliver { link, end, frames }),
        4 => (0..links, 0..2_usize).prop_map(|(link, end)| Step::Commit { link, end }),
        1 => (0..4_000_u64).prop_map(|ms| Step::Pass { ms }),
    ]
}

/// Three tablets in a ring with an office hanging on one of them.
const PAIRS: [[usize; 2]; 4] = [[0, 1], [1, 2], [2, 0], [2, 3]];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_order_of_cuts_deliveries_and_commits_ends_in_one_state(
        steps in proptest::collection::vec(step(4, PAIRS.len()), 1..200),
        bundle_bytes in prop_oneof![Just(1_usize), Just(4_096)],
    ) {
        let mut world = World::new(4, &PAIRS);
        for device in &mut world.devices {
            device.bundle_bytes = bundle_bytes;
        }
        let mut made = 0;
        for step in steps {
            match step {
                Step::Append { device, job: at } => {
                    world.append(device, job(at));
                    made += 1;
                }
                Step::Connect { link } if world.links[link].is_none() => world.connect(link),
                Step::Connect { .. } => {}
                Step::Cut { link } => world.cut(link),
                Step::Deliver { link, end, frames } => {
                    for _ in 0..frames {
                        world.deliver(link, end);
                    }
                }
                Step::Commit { link, end } => {
                    world.commit(link, end);
                }
                Step::Pass { ms } => world.pass(ms),
            }
            world.nobody_believes_too_much();
        }
        for link in 0..PAIRS.len() {
            if world.links[link].as_ref().is_none_or(|ends| ends.iter().any(|end| end.closed.is_some())) {
                world.connect(link);
            }
        }
        world.settle();
        for link in 0..PAIRS.len() {
            prop_assert_eq!(&world.end(link, 0).closed, &None);
            prop_assert_eq!(&world.end(link, 1).closed, &None);
        }
        let held: usize = world.devices[0].jobs.values().map(super::world::Rows::len).sum();
        prop_assert_eq!(held, made);
        for device in &world.devices {
            prop_assert_eq!(&device.jobs, &world.devices[0].jobs);
        }
        for pair in PAIRS {
            for [device, peer] in [pair, [pair[1], pair[0]]] {
                for &job in world.devices[0].jobs.keys() {
                    prop_assert_eq!(world.believes(device, peer, job), world.clock(peer, job));
                }
            }
        }
    }
}
