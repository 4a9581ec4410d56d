//! From entries to list to settled, in both orders of arrival.

use super::{Code, open_items, review};
use crate::journal::{
    About, ActorId, Asset, AssetId, Body, BootId, DeviceId, Entry, EntryId, JobId, JobOpened, Journal,
    LineUp, Note, PersonId, Position, Purpose, Reading, Register, Request, Resolution, ScrewMove, SignOff,
    Told, ValveOnJob, Water, Withdrawn,
};
use crate::quantity::{Figure, Unit};
use std::collections::BTreeMap;
use uuid::Uuid;

const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));
const JOB: JobId = JobId(Uuid::from_u128(0x10b));

struct Device {
    number: u128,
    told: u128,
    journal: Journal,
}

impl Device {
    fn new(number: u128) -> Self {
        Self {
            number,
            told: 0,
            journal: Journal::new(JOB, ActorId(number.to_be_bytes())),
        }
    }

    fn opens() -> Self {
        let mut device = Self::new(1);
        let opened = JobOpened {
            number: "J-1".to_owned(),
            customer: "District".to_owned(),
            site: "Alder Street".to_owned(),
            station: Asset {
                id: AssetId(Uuid::from_u128(0x57)),
                name: "Vault".to_owned(),
            },
            valves: vec![ValveOnJob {
                id: VALVE,
                name: "PRV".to_owned(),
                procedure: "reducing".to_owned(),
                size: None,
            }],
        };
        device.write(EntryId(JOB.0), Body::JobOpened(opened));
        device
    }

    fn write(&mut self, id: EntryId, body: Body) {
        self.told += 1;
        let told = Told {
            by: PersonId::of_name(&format!("person {}", self.number)),
            keyed_by: None,
            device: DeviceId(Uuid::from_u128(self.number)),
            boot: BootId(Uuid::from_u128(self.number)),
            mono_ms: 0,
            at: "2025-11-25T02:00:00-06:00".to_owned(),
            body,
        };
        self.journal.append(&Entry { id, told }).unwrap();
    }

    fn say(&mut self, body: Body) -> EntryId {
        let id = EntryId(Uuid::from_u128((self.number << 64) | (self.told + 1)));
        self.write(id, body);
        id
    }

    fn hears(&mut self, other: &Device) {
        for bundle in other.journal.missing(self.journal.clock()) {
            self.journal.intake(&bundle).unwrap();
        }
    }

    fn requests(&mut self, pressure: &str) -> EntryId {
        let replaces = self
            .journal
            .state()
            .standing_ids(&Register::Request { valve: VALVE });
        self.say(Body::Request(Request {
            valve: VALVE,
            pressure: psi(pressure),
            tolerance: None,
            datum: "at the valve".to_owned(),
            asked_by: "District".to_owned(),
            zone_limit: None,
            replaces,
        }))
    }

    fn turns(&mut self, request: EntryId) -> EntryId {
        self.say(Body::ScrewMove(ScrewMove {
            asset: VALVE,
            screw: "pilot".to_owned(),
            turn: Figure::new("-1/4", Unit::Turn).unwrap(),
            request: Some(request),
            planned_from: None,
        }))
    }

    fn leaves(&mut self, pressure: &str, request: EntryId) -> EntryId {
        self.say(Body::Reading(Reading {
            asset: VALVE,
            point: "outlet".to_owned(),
            place: None,
            figure: psi(pressure),
            gauge: None,
            purpose: Purpose::AsLeft,
            water: Water::Flowing,
            request: Some(request),
        }))
    }

    fn sets(&mut self, position: Position) -> EntryId {
        let register = Register::Position {
            asset: VALVE,
            element: "downstream_block".to_owned(),
        };
        let replaces = self.journal.state().standing_ids(&register);
        self.say(Body::LineUp(LineUp {
            asset: VALVE,
            element: "downstream_block".to_owned(),
            position,
            counted: None,
            replaces,
        }))
    }

    fn open(&mut self) -> Vec<(Code, Vec<EntryId>)> {
        open_items(&self.journal.state())
            .into_iter()
            .map(|item| (item.code, item.entries))
            .collect()
    }
}

fn psi(digits: &str) -> Figure {
    Figure::new(digits, Unit::Psi).unwrap()
}

/// Two devices hear one another, the one or the other first; what each then shows is the same.
fn meet(a: &mut Device, b: &mut Device) {
    b.hears(a);
    a.hears(b);
    assert_eq!(a.open(), b.open());
}

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
    let all = review(&office.journal.state());
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
    let note = |text: &str| {
        Body::Note(Note {
            text: text.to_owned(),
            about: None,
        })
    };
    let late = mate.say(note("strainer basket bent"));
    crew.say(note("all quiet"));
    crew.say(Body::SignOff(SignOff {
        digest: "00".to_owned(),
        heads: Vec::new(),
        clock: BTreeMap::new(),
        revision: 1,
        key: None,
        signature: None,
    }));
    assert_eq!(crew.open(), []);
    meet(&mut crew, &mut mate);
    assert_eq!(crew.open(), [(Code::LateEntries, vec![late])]);
}
