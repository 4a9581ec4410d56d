//! Order does not matter: however the same changes arrive, split and bundled, they fold to the same bytes, and
//! to what a plain second model says.

use crate::craft::{bundle, document, fresh, hash_of};
use crate::naive::{model, summary};
use crate::support::*;
use automerge::Automerge;
use proptest::prelude::*;
use proptest::sample::Index;
use turnwise_core::journal::*;

/// One thing that happens in a made-up history.
#[derive(Clone, Debug)]
enum Event {
    /// A tablet writes. The indices choose among all ids that anybody ever wrote, seen or not.
    Say { who: Index, what: What, ids: Vec<Index> },
    /// A tablet takes in some of what another holds.
    Hear { who: Index, from: Index, upto: Index },
    /// A tablet starts again, under a new actor id.
    Restart { who: Index },
}

#[derive(Clone, Debug)]
enum What {
    Stands(Position, bool),
    Settles(Position, bool),
    SettlesTheWrongThing,
    SettlesAnItem,
    SettlesAGrant(Role),
    Grants(Role, bool),
    Withdraws,
    Signs,
    Notes,
    /// Writes under an id that may have been written under.
    Again,
}

const NAMES: [&str; 4] = ["Office", "Ana", "Ben", "Cruz"];

fn position() -> impl Strategy<Value = Position> {
    prop_oneof![Just(Position::Open), Just(Position::Shut)]
}

fn role() -> impl Strategy<Value = Role> {
    prop_oneof![Just(Role::LeadTech), Just(Role::Technician), Just(Role::Reader)]
}

fn what() -> impl Strategy<Value = What> {
    prop_oneof![
        6 => (position(), any::<bool>()).prop_map(|(position, other)| What::Stands(position, other)),
        4 => (position(), any::<bool>()).prop_map(|(position, other)| What::Settles(position, other)),
        1 => Just(What::SettlesTheWrongThing),
        1 => Just(What::SettlesAnItem),
        1 => role().prop_map(What::SettlesAGrant),
        3 => (role(), any::<bool>()).prop_map(|(role, other)| What::Grants(role, other)),
        3 => Just(What::Withdraws),
        2 => Just(What::Signs),
        1 => Just(What::Notes),
        1 => Just(What::Again),
    ]
}

fn event() -> impl Strategy<Value = Event> {
    let index = any::<Index>;
    prop_oneof![
        5 => (index(), what(), prop::collection::vec(index(), 0..4))
            .prop_map(|(who, what, ids)| Event::Say { who, what, ids }),
        3 => (index(), index(), index()).prop_map(|(who, from, upto)| Event::Hear { who, from, upto }),
        1 => index().prop_map(|who| Event::Restart { who }),
    ]
}

/// What a tablet writes of those ids.
fn entry(tablet: &Tablet, what: &What, chosen: Vec<EntryId>) -> Entry {
    let some = chosen.first().copied().unwrap_or(id(0));
    let element = |other: &bool| if *other { "bypass" } else { "block" };
    let person = |other: &bool| if *other { "Ana" } else { "Ben" };
    match what {
        What::Stands(position, other) => tablet.entry(stands(element(other), *position, chosen)),
        What::Settles(position, other) => tablet.entry(settled(element(other), *position, chosen)),
        What::SettlesTheWrongThing => tablet.entry(Body::Resolution(Resolution {
            about: About::Register {
                register: register("block"),
                replaces: chosen,
                value: Box::new(stands("bypass", Position::Open, vec![])),
            },
            reason: String::new(),
        })),
        What::SettlesAnItem => tablet.entry(Body::Resolution(Resolution {
            about: About::Item {
                code: "stale".to_owned(),
                entries: chosen,
            },
            reason: String::new(),
        })),
        What::SettlesAGrant(role) => tablet.entry(Body::Resolution(Resolution {
            about: About::Register {
                register: Register::Grant {
                    person: PersonId::of_name("Ana"),
                },
                replaces: chosen,
                value: Box::new(grant("Ana", *role, vec![])),
            },
            reason: String::new(),
        })),
        What::Grants(role, other) => tablet.entry(grant(person(other), *role, chosen)),
        What::Withdraws => tablet.entry(withdrawn(some)),
        What::Signs => tablet.entry(sign_off()),
        What::Notes => tablet.entry(note("seen")),
        What::Again => tablet.entry_as(some, note("under an id that was used")),
    }
}

/// Plays a history and returns every change of it.
fn play(events: &[Event], with_opening: bool) -> Vec<Vec<u8>> {
    let mut crew: Vec<Tablet> = (1..)
        .zip(NAMES)
        .map(|(number, name)| Tablet::new(number, name))
        .collect();
    let mut rows: Vec<ChangeRow> = Vec::new();
    let mut ids = vec![EntryId(JOB.0), id(0)];
    let mut starts = 10;
    if with_opening {
        let entry = crew[0].entry_as(EntryId(JOB.0), opened());
        rows.push(crew[0].journal.append(&entry).unwrap());
    }
    for event in events {
        match event {
            Event::Say {
                who,
                what,
                ids: chosen,
            } => {
                let tablet = &mut crew[who.index(NAMES.len())];
                let chosen: Vec<EntryId> = chosen.iter().map(|at| ids[at.index(ids.len())]).collect();
                let entry = entry(tablet, what, chosen);
                // What a tablet itself sees to be wrong it does not write.
                if let Ok(row) = tablet.journal.append(&entry) {
                    ids.push(entry.id);
                    rows.push(row);
                }
            }
            Event::Hear { who, from, upto } => {
                let (who, from) = (who.index(NAMES.len()), from.index(NAMES.len()));
                let held: Vec<&ChangeRow> = rows
                    .iter()
                    .filter(|row| {
                        crew[from]
                            .journal
                            .clock()
                            .get(&row.actor)
                            .is_some_and(|reach| reach.seq >= row.seq)
                    })
                    .collect();
                let upto = upto.index(held.len() + 1);
                for row in &held[..upto] {
                    crew[who].journal.intake(&row.bytes).unwrap();
                }
            }
            Event::Restart { who } => {
                let at = who.index(NAMES.len());
                let held = rows
                    .iter()
                    .filter(|row| {
                        crew[at]
                            .journal
                            .clock()
                            .get(&row.actor)
                            .is_some_and(|reach| reach.seq >= row.seq)
                    })
                    .map(|row| (row.hash, row.bytes.clone()));
                let (journal, bad) = Journal::load(JOB, ActorId([starts; 16]), held);
                assert_eq!(bad, []);
                crew[at].journal = journal;
                starts += 1;
            }
        }
    }
    rows.into_iter().map(|row| row.bytes).collect()
}

/// One way to deliver changes: in this order, so many at a time, plainly or in a bundle.
#[derive(Clone, Debug)]
struct Route {
    order: Vec<Index>,
    sizes: Vec<(usize, bool)>,
}

fn route() -> impl Strategy<Value = Route> {
    (
        prop::collection::vec(any::<Index>(), 80),
        prop::collection::vec((1_usize..9, any::<bool>()), 1..20),
    )
        .prop_map(|(order, sizes)| Route { order, sizes })
}

fn deliver(changes: &[Vec<u8>], document: &Automerge, route: &Route) -> Journal {
    let mut order: Vec<&Vec<u8>> = changes.iter().collect();
    for (at, other) in route.order.iter().enumerate().take(order.len()) {
        let other = other.index(order.len());
        order.swap(at, other);
    }
    let mut journal = fresh();
    let mut sizes = route.sizes.iter().cycle();
    while !order.is_empty() {
        let (size, as_bundle) = sizes.next().copied().unwrap_or((1, false));
        let part: Vec<&Vec<u8>> = order.drain(..size.min(order.len())).collect();
        let delivery = if as_bundle {
            bundle(document, part.iter().map(|bytes| hash_of(bytes)))
        } else {
            part.into_iter().flatten().copied().collect()
        };
        journal.intake(&delivery).unwrap();
    }
    journal
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn any_order_and_any_split_fold_to_the_same_bytes_and_to_what_the_plain_model_says(
        events in prop::collection::vec(event(), 1..70),
        with_opening in prop::bool::weighted(0.9),
        routes in prop::collection::vec(route(), 3),
    ) {
        let changes = play(&events, with_opening);
        let expected = model(&changes);
        let document = document(&changes);
        let mut texts = Vec::new();
        for route in &routes {
            let mut journal = deliver(&changes, &document, route);
            prop_assert_eq!(journal.waiting(), 0);
            let state = journal.state();
            prop_assert_eq!(summary(&state), expected.clone());
            texts.push(state.canonical());
            // The same once more, as a restart reads it.
            let rows = changes.iter().map(|bytes| (hash_of(bytes), bytes.clone()));
            let (mut loaded, bad) = Journal::load(JOB, ActorId([0xef; 16]), rows);
            prop_assert_eq!(bad, vec![]);
            prop_assert_eq!(loaded.clock(), journal.clock());
            prop_assert_eq!(loaded.heads(), journal.heads());
            texts.push(loaded.state().canonical());
        }
        for text in &texts {
            prop_assert_eq!(text, &texts[0]);
        }
    }

    #[test]
    fn what_has_not_come_yet_counts_for_nothing(
        events in prop::collection::vec(event(), 1..40),
        route in route(),
        left_out in any::<Index>(),
    ) {
        let changes = play(&events, true);
        let left_out = hash_of(&changes[left_out.index(changes.len())]);
        let here: Vec<_> = changes.iter().filter(|bytes| hash_of(bytes) != left_out).cloned().collect();
        // Whatever follows from the one that is not here waits.
        let mut waits = std::collections::BTreeSet::from([left_out]);
        let mut counts = Vec::new();
        for bytes in &here {
            let change = automerge::Change::try_from(bytes.as_slice()).unwrap();
            if change.deps().iter().any(|dep| waits.contains(&ChangeHash(dep.0))) {
                waits.insert(hash_of(bytes));
            } else {
                counts.push(bytes.clone());
            }
        }
        let mut journal = fresh();
        let order = Route { sizes: vec![(1, false)], ..route };
        if !here.is_empty() {
            journal = deliver(&here, &Automerge::new(), &order);
        }
        prop_assert_eq!(journal.waiting(), here.len() - counts.len());
        prop_assert_eq!(summary(&journal.state()), model(&counts));
    }
}
