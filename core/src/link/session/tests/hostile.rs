//! Peers that mean no good, or are not what they should be.

use super::world::{hello, job};
use crate::journal::{ActorId, BootId, ChangeHash, Clock, JobId, Reach};
use crate::link::{
    BUNDLE_LIMIT, BURST, Bundle, Bye, CloseReason, DEAD_AFTER_MS, DeviceRole, Effect, FRAME_CAP, Fault,
    HELLO_WITHIN_MS, Input, JobClock, MAX_JOBS, Message, Moment, NAME_CAP, Offer, PROTOCOL, Ping, Session,
    Stored, UNSENT_CAP, WINDOW, Want,
};
use serde_bytes::ByteArray;
use std::collections::BTreeMap;
use uuid::Uuid;

/// A session of device 1 and somebody who sends it what they like.
struct Victim {
    session: Session,
    now_ms: u64,
    /// Jobs that it takes from anybody, and none else.
    accepts: bool,
    effects: Vec<Effect>,
}

impl Victim {
    fn unopened() -> Self {
        Self {
            session: Session::new(hello(1)),
            now_ms: 50,
            accepts: true,
            effects: Vec::new(),
        }
    }

    /// Waits for the peer's hello.
    fn awaiting() -> Self {
        let mut victim = Self::unopened();
        victim.tell(Input::Opened);
        victim
    }

    /// Linked to device 2, offering job 1.
    fn linked() -> Self {
        let mut victim = Self::awaiting();
        victim.hear(&Message::Hello(hello(2)));
        victim.tell(Input::Offers(BTreeMap::from([(job(1), clock(1, 1))])));
        assert!(victim.closed().is_none());
        victim
    }

    fn tell(&mut self, input: Input) {
        let now = Moment {
            mono_ms: self.now_ms,
            wall_ms: 0,
        };
        let effects = self.session.handle(now, input);
        for effect in &effects {
            if let Effect::AskAccepts(jobs) = effect {
                let taken = jobs.iter().filter(|_| self.accepts);
                let taken = taken.map(|job| (*job, Clock::new())).collect();
                self.tell(Input::Accepts(taken));
            }
        }
        self.effects.extend(effects);
    }

    fn hear(&mut self, message: &Message) {
        self.tell(Input::Frame(message.encode()));
    }

    fn closed(&self) -> Option<&CloseReason> {
        self.effects.iter().find_map(|effect| match effect {
            Effect::Close(reason) => Some(reason),
            _ => None,
        })
    }

    /// The peer was dropped for this, and told so.
    fn dropped_for(&self, fault: Fault) {
        assert_eq!(self.closed(), Some(&CloseReason::Faulted(fault)));
        let code = fault.code().to_owned();
        let parting = Effect::Send(Message::Bye(Bye { code }).encode());
        assert!(self.effects.contains(&parting));
        assert!(self.session.is_closed());
    }

    /// The peer offers a job and is asked for it.
    fn offer(&mut self, job: JobId) {
        let jobs = vec![(job, ByteArray::new([7; 16]))];
        self.hear(&Message::Offer(Offer { jobs }));
    }
}

fn clock(actors: u32, seq: u64) -> Clock {
    (0..actors)
        .map(|at| {
            let mut actor = [0; 16];
            actor[..4].copy_from_slice(&at.to_be_bytes());
            let hash = ChangeHash([1; 32]);
            (ActorId(actor), Reach { seq, hash })
        })
        .collect()
}

fn bundle(job: JobId) -> Message {
    let (clock, bytes) = (Clock::new(), vec![1, 2, 3]);
    Message::Bundle(Bundle { job, clock, bytes })
}

#[test]
fn one_that_says_nothing_is_dropped_after_five_seconds() {
    let mut victim = Victim::awaiting();
    assert_eq!(victim.session.next_tick(), Some(50 + HELLO_WITHIN_MS));
    victim.now_ms += HELLO_WITHIN_MS - 1;
    victim.tell(Input::Tick);
    assert!(victim.closed().is_none());
    victim.now_ms += 1;
    victim.tell(Input::Tick);
    victim.dropped_for(Fault::HelloLate);
}

#[test]
fn one_that_says_hello_and_then_nothing_is_dropped_after_six_seconds() {
    let mut victim = Victim::linked();
    let begun = victim.now_ms;
    while let Some(due) = victim.session.next_tick() {
        victim.now_ms = due;
        victim.tell(Input::Tick);
    }
    assert_eq!(victim.now_ms, begun + DEAD_AFTER_MS);
    victim.dropped_for(Fault::Silent);
}

#[test]
fn one_that_speaks_before_its_hello_is_dropped() {
    for early in [
        bundle(job(1)),
        Message::Want(Want { jobs: Vec::new() }),
        Message::Ping(Ping {}),
        Message::Unknown,
    ] {
        let mut victim = Victim::awaiting();
        let frame = match &early {
            Message::Unknown => b"\x82\x65later\x00".to_vec(),
            early => early.encode(),
        };
        victim.tell(Input::Frame(frame));
        victim.dropped_for(Fault::HelloMissing);
    }
}

#[test]
fn one_of_another_protocol_is_told_so() {
    for protocol in [0, PROTOCOL + 1, u32::MAX] {
        let mut victim = Victim::awaiting();
        let mut other = hello(2);
        other.protocol = protocol;
        victim.hear(&Message::Hello(other));
        victim.dropped_for(Fault::ProtocolMismatch);
    }
}

#[test]
fn one_that_claims_to_be_this_device_is_dropped() {
    let mut victim = Victim::awaiting();
    victim.hear(&Message::Hello(hello(1)));
    victim.dropped_for(Fault::OwnDevice);
}

/// Victim of a carriage whose other end has proved to be device 2.
fn proved() -> Victim {
    let mut victim = Victim::unopened();
    victim.session = Session::with(hello(1), hello(2).device);
    victim.tell(Input::Opened);
    victim
}

#[test]
fn whoever_proved_to_be_one_tablet_may_not_say_it_is_another() {
    let mut victim = proved();
    victim.hear(&Message::Hello(hello(3)));
    victim.dropped_for(Fault::DeviceMismatch);
}

/// The office may see every job.
#[test]
fn whoever_proved_to_be_a_tablet_may_not_say_it_is_the_office() {
    let mut as_office = hello(2);
    as_office.role = DeviceRole::Office;
    let mut victim = proved();
    victim.hear(&Message::Hello(as_office.clone()));
    victim.dropped_for(Fault::DeviceMismatch);

    let mut victim = proved();
    victim.hear(&Message::Hello(hello(2)));
    victim.hear(&Message::Hello(as_office));
    victim.dropped_for(Fault::IdentityChanged);
}

#[test]
fn one_that_becomes_somebody_else_is_dropped() {
    let mut another_boot = hello(2);
    another_boot.boot = BootId(Uuid::from_u128(99));
    for other in [hello(3), another_boot] {
        let mut victim = Victim::linked();
        victim.hear(&Message::Hello(other));
        victim.dropped_for(Fault::IdentityChanged);
    }
}

#[test]
fn one_that_sends_garbage_is_dropped_before_and_after_its_hello() {
    let ping = Message::Ping(Ping {}).encode();
    let mut with_a_tail = ping.clone();
    with_a_tail.push(0);
    let garbage: [&[u8]; 8] = [
        b"",
        b"\xff",
        b"{\"kind\":\"ping\"}",
        &ping[..ping.len() - 1],
        &with_a_tail,
        // A list that says it has 2^62 members.
        b"\x9b\x40\x00\x00\x00\x00\x00\x00\x00",
        // A text that says it is 2^32 bytes long.
        b"\x82\x7a\xff\xff\xff\xff",
        // A kind and no body.
        b"\x81\x64ping",
    ];
    for frame in garbage {
        for mut victim in [Victim::awaiting(), Victim::linked()] {
            victim.tell(Input::Frame(frame.to_vec()));
            victim.dropped_for(Fault::Garbage);
        }
    }
}

#[test]
fn one_that_nests_without_end_is_dropped() {
    let mut victim = Victim::linked();
    victim.tell(Input::Frame(vec![0x81; FRAME_CAP]));
    victim.dropped_for(Fault::Garbage);
}

#[test]
fn one_that_sends_too_long_a_thing_is_dropped() {
    let mut long_name = hello(2);
    long_name.name = "x".repeat(NAME_CAP + 1);
    let mut long_person = hello(2);
    long_person.person = Some("x".repeat(NAME_CAP + 1));
    let bytes = vec![0; BUNDLE_LIMIT + 1];
    let long_bundle = Message::Bundle(Bundle {
        job: job(1),
        clock: Clock::new(),
        bytes,
    });
    let long_code = Message::Bye(Bye { code: "x".repeat(65) });
    for frame in [
        vec![0; FRAME_CAP + 1],
        Message::Hello(long_name).encode(),
        Message::Hello(long_person).encode(),
        long_bundle.encode(),
        long_code.encode(),
    ] {
        let mut victim = Victim::awaiting();
        victim.tell(Input::Frame(frame));
        victim.dropped_for(Fault::TooLong);
    }
}

#[test]
fn a_kind_that_a_later_version_adds_is_skipped() {
    let mut victim = Victim::linked();
    victim.tell(Input::Frame(b"\x82\x65later\xa1\x61x\x01".to_vec()));
    assert!(victim.closed().is_none());
}

#[test]
fn a_field_that_a_later_version_adds_is_ignored() {
    let mut victim = Victim::linked();
    victim.tell(Input::Frame(b"\x82\x64ping\xa1\x61x\x01".to_vec()));
    assert!(victim.closed().is_none());
}

#[test]
fn one_that_brings_a_job_nobody_asked_for_is_dropped() {
    let mut victim = Victim::linked();
    victim.hear(&bundle(job(9)));
    victim.dropped_for(Fault::Unasked);
    assert!(
        !victim
            .effects
            .iter()
            .any(|effect| matches!(effect, Effect::Intake { .. }))
    );
}

#[test]
fn one_that_brings_a_job_that_was_declined_is_dropped() {
    let mut victim = Victim::linked();
    victim.accepts = false;
    victim.offer(job(9));
    victim.hear(&bundle(job(9)));
    victim.dropped_for(Fault::Unasked);
}

#[test]
fn one_that_wants_a_job_it_was_not_offered_gets_nothing() {
    let mut victim = Victim::linked();
    let before = victim.effects.len();
    let jobs = vec![JobClock {
        job: job(9),
        clock: Clock::new(),
        more: false,
    }];
    victim.hear(&Message::Want(Want { jobs }));
    assert_eq!(victim.effects.len(), before);
    assert!(victim.closed().is_none());
}

#[test]
fn one_that_brings_bundles_without_end_is_dropped_at_the_window() {
    let mut victim = Victim::linked();
    victim.offer(job(9));
    for _ in 0..WINDOW {
        victim.hear(&bundle(job(9)));
        assert!(victim.closed().is_none());
    }
    victim.hear(&bundle(job(9)));
    victim.dropped_for(Fault::TooMuch);
    let taken = victim
        .effects
        .iter()
        .filter(|effect| matches!(effect, Effect::Intake { .. }));
    assert_eq!(taken.count(), WINDOW);
}

#[test]
fn one_that_talks_without_end_is_dropped() {
    let mut victim = Victim::linked();
    for _ in 0..=BURST {
        victim.hear(&Message::Ping(Ping {}));
    }
    victim.dropped_for(Fault::TooMuch);
}

#[test]
fn one_that_says_hello_over_and_over_is_dropped_before_it_costs_much() {
    let mut victim = Victim::linked();
    let mut looked_through = 0;
    for at in 0..100 {
        let mut other = hello(2);
        other.person = Some(format!("Person {at}"));
        victim.hear(&Message::Hello(other));
        looked_through = victim
            .effects
            .iter()
            .filter(|effect| matches!(effect, Effect::AskOffers(_)))
            .count();
    }
    victim.dropped_for(Fault::TooMuch);
    assert!(looked_through < 20);
}

#[test]
fn one_that_lists_jobs_without_end_is_dropped() {
    let mut victim = Victim::linked();
    victim.accepts = false;
    for frame in 0..=MAX_JOBS as u128 / 1_000 {
        let jobs = (0..1_000).map(|at| (job(frame * 1_000 + at + 50), ByteArray::new([7; 16])));
        victim.hear(&Message::Offer(Offer { jobs: jobs.collect() }));
    }
    victim.dropped_for(Fault::TooMuch);
}

#[test]
fn one_that_names_actors_without_end_is_dropped() {
    let mut victim = Victim::linked();
    let mut named = 0;
    while victim.closed().is_none() {
        let mut part = Clock::new();
        for (mut actor, reach) in clock(500, 1) {
            actor.0[8..12].copy_from_slice(&u32::to_be_bytes(named));
            part.insert(actor, reach);
        }
        named += 1;
        assert!(named < 1_000);
        let jobs = vec![JobClock {
            job: job(1),
            clock: part,
            more: true,
        }];
        victim.hear(&Message::Want(Want { jobs }));
    }
    victim.dropped_for(Fault::TooMuch);
}

#[test]
fn one_that_confirms_what_was_never_sent_is_dropped() {
    let mut victim = Victim::linked();
    let stored = Stored {
        job: job(1),
        clock: Clock::new(),
        took: 1,
    };
    victim.hear(&Message::Stored(stored));
    victim.dropped_for(Fault::Unasked);
}

#[test]
fn one_that_asks_and_does_not_read_is_dropped() {
    let mut victim = Victim::linked();
    let mut probes = 0;
    while victim.closed().is_none() {
        // An hour between the questions: it is not their number that is too much.
        for _ in 0..1_000 {
            victim.hear(&Message::ClockProbe(crate::link::ClockProbe { probe: u32::MAX }));
        }
        probes += 1_000;
        assert!(probes < UNSENT_CAP);
        victim.now_ms += 5_000;
    }
    victim.dropped_for(Fault::NotReading);
}

#[test]
fn nothing_that_comes_after_the_end_has_any_effect() {
    let mut victim = Victim::linked();
    victim.tell(Input::Frame(vec![0xff]));
    victim.dropped_for(Fault::Garbage);
    let before = victim.effects.len();
    victim.hear(&Message::Hello(hello(2)));
    victim.tell(Input::Tick);
    victim.tell(Input::Stop);
    victim.tell(Input::Closed);
    victim.tell(Input::Unable { code: "disk_full" });
    assert_eq!(victim.effects.len(), before);
    assert_eq!(victim.session.next_tick(), None);
}

#[test]
fn a_store_that_fails_ends_the_link_and_is_not_held_against_the_peer() {
    let mut victim = Victim::linked();
    victim.tell(Input::Unable { code: "disk_full" });
    assert_eq!(victim.closed(), Some(&CloseReason::Unable { code: "disk_full" }));
    let parting = Message::Bye(Bye {
        code: "unable".to_owned(),
    })
    .encode();
    assert!(victim.effects.contains(&Effect::Send(parting)));
}

proptest::proptest! {
    #[test]
    fn no_frame_makes_a_session_panic(frames in proptest::collection::vec(frame(), 1..40)) {
        let mut victim = Victim::linked();
        for frame in frames {
            victim.tell(Input::Frame(frame));
        }
    }
}

/// Any bytes, or a message of this protocol with some bytes changed.
fn frame() -> impl proptest::strategy::Strategy<Value = Vec<u8>> {
    use proptest::prelude::*;
    let messages = [
        Message::Hello(hello(2)),
        Message::Offer(Offer {
            jobs: vec![
                (job(1), ByteArray::new([7; 16])),
                (job(2), ByteArray::new([8; 16])),
            ],
        }),
        Message::Want(Want {
            jobs: vec![JobClock {
                job: job(1),
                clock: clock(2, 3),
                more: false,
            }],
        }),
        bundle(job(1)),
        Message::Stored(Stored {
            job: job(1),
            clock: clock(2, 9),
            took: 0,
        }),
    ];
    let changed = (
        proptest::sample::select(messages.to_vec()),
        any::<Vec<(prop::sample::Index, u8)>>(),
    );
    prop_oneof![
        any::<Vec<u8>>(),
        changed.prop_map(|(message, changes)| {
            let mut frame = message.encode();
            for (at, byte) in changes.into_iter().take(3) {
                let at = at.index(frame.len());
                frame[at] = byte;
            }
            frame
        }),
    ]
}
