//! A small crew to write journals with.

use std::cell::Cell;
use turnwise_core::journal::*;
use turnwise_core::quantity::{Figure, Unit};
use uuid::Uuid;

/// The job that everything is about.
pub const JOB: JobId = JobId(Uuid::from_u128(0x0197_0000_0000_7000_8000_0000_0000_0001));
/// The valve.
pub const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));

/// An id for an entry, from a small number.
pub fn id(number: u128) -> EntryId {
    EntryId(Uuid::from_u128(
        0x0197_0000_0000_7000_8000_0000_0001_0000 + number,
    ))
}

/// A device with its journal.
pub struct Tablet {
    pub journal: Journal,
    pub device: DeviceId,
    pub by: PersonId,
    next: Cell<u128>,
}

impl Tablet {
    /// A tablet that is told apart by a small number, in the hands of a person of that name.
    pub fn new(number: u8, name: &str) -> Self {
        Self {
            journal: Journal::new(JOB, ActorId([number; 16])),
            device: DeviceId(Uuid::from_u128(u128::from(number))),
            by: PersonId::of_name(name),
            next: Cell::new(u128::from(number) * 1000),
        }
    }

    /// An entry that nobody has written yet.
    pub fn entry(&self, body: Body) -> Entry {
        self.next.set(self.next.get() + 1);
        self.entry_as(id(self.next.get()), body)
    }

    /// An entry with this id.
    pub fn entry_as(&self, id: EntryId, body: Body) -> Entry {
        Entry {
            id,
            told: Told {
                by: self.by,
                keyed_by: None,
                device: self.device,
                boot: BootId(Uuid::from_u128(7)),
                mono_ms: 1,
                at: "2026-03-04T09:30:00-08:00".to_owned(),
                body,
            },
        }
    }

    /// Writes an entry.
    pub fn say(&mut self, body: Body) -> EntryId {
        let entry = self.entry(body);
        self.journal.append(&entry).unwrap();
        entry.id
    }

    /// Opens the job.
    pub fn open(&mut self) -> EntryId {
        let entry = self.entry_as(EntryId(JOB.0), opened());
        self.journal.append(&entry).unwrap();
        entry.id
    }

    /// Fetches what the other has and this one lacks.
    pub fn hear(&mut self, other: &Tablet) {
        for delivery in other.journal.missing(self.journal.clock()) {
            self.journal.intake(&delivery).unwrap();
        }
    }
}

/// Both fetch from one another.
pub fn meet(a: &mut Tablet, b: &mut Tablet) {
    a.hear(b);
    b.hear(a);
}

pub fn psi(digits: &str) -> Figure {
    Figure {
        digits: digits.to_owned(),
        unit: Unit::Psi,
    }
}

pub fn opened() -> Body {
    Body::JobOpened(JobOpened {
        number: "1042".to_owned(),
        customer: "Hillside Water".to_owned(),
        site: "Oak Street vault".to_owned(),
        station: Asset {
            id: AssetId(Uuid::from_u128(0x51)),
            name: "Oak Street".to_owned(),
        },
        valves: vec![ValveOnJob {
            id: VALVE,
            name: "6 in".to_owned(),
            procedure: "reducing".to_owned(),
            size: None,
        }],
    })
}

pub fn note(text: &str) -> Body {
    Body::Note(Note {
        text: text.to_owned(),
        about: None,
    })
}

/// How an element of the line-up stands.
pub fn stands(element: &str, position: Position, replaces: Vec<EntryId>) -> Body {
    Body::LineUp(LineUp {
        asset: VALVE,
        element: element.to_owned(),
        position,
        counted: None,
        replaces,
    })
}

pub fn register(element: &str) -> Register {
    Register::Position {
        asset: VALVE,
        element: element.to_owned(),
    }
}

/// A settlement of how an element stands.
pub fn settled(element: &str, position: Position, replaces: Vec<EntryId>) -> Body {
    Body::Resolution(Resolution {
        about: About::Register {
            register: register(element),
            replaces,
            value: Box::new(stands(element, position, Vec::new())),
        },
        reason: "looked again".to_owned(),
    })
}
pub fn withdrawn(entry: EntryId) -> Body {
    Body::Withdrawn(Withdrawn {
        entry,
        reason: "misread".to_owned(),
    })
}

pub fn grant(name: &str, role: Role, replaces: Vec<EntryId>) -> Body {
    Body::Grant(Grant {
        person: PersonId::of_name(name),
        name: name.to_owned(),
        role,
        replaces,
    })
}

pub fn sign_off() -> Body {
    Body::SignOff(SignOff {
        digest: "00".repeat(32),
        heads: Vec::new(),
        clock: std::collections::BTreeMap::new(),
        revision: 1,
        key: None,
        signed_at: None,
        signature: None,
    })
}
