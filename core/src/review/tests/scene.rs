//! Devices with real journals, and what their reviews say.

pub use crate::journal::writer::VALVE;
use crate::journal::writer::Writer;
use crate::journal::{
    About, Body, EntryId, FlowEvidence, FlowProof, Gauge, Grant, JobState, Journal, LineUp, Note, PersonId,
    Position, Purpose, ReOpened, Reading, Register, Request, Resolution, Role, ScrewMove, SignOff, Water,
};
use crate::procedure::Procedures;
use crate::quantity::{Figure, Unit};
use crate::review::{Code, Item, open_items, review};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// One device and the person who holds it.
pub struct Device {
    pub person: PersonId,
    writer: Writer,
}

impl Device {
    pub fn new(number: u128) -> Self {
        Self::of(Writer::new(number, &format!("person {number}")))
    }

    pub fn opens() -> Self {
        Self::opens_by("reducing")
    }

    /// A job whose valve is worked by this procedure.
    pub fn opens_by(procedure: &str) -> Self {
        Self::of(Writer::opens(1, "person 1", procedure))
    }

    fn of(writer: Writer) -> Self {
        Self {
            person: writer.person,
            writer,
        }
    }

    pub fn say(&mut self, body: Body) -> EntryId {
        self.writer.say(body)
    }

    pub fn state(&mut self) -> Arc<JobState> {
        self.writer.state()
    }

    /// What it holds, to be heard by others.
    pub fn into_journal(self) -> Journal {
        self.writer.journal
    }

    pub fn hears(&mut self, other: &Device) {
        self.takes_in(&other.writer.journal);
    }

    /// The same, of a journal that nobody holds.
    pub fn takes_in(&mut self, other: &Journal) {
        self.writer.hears(other);
    }

    pub fn requests(&mut self, pressure: &str) -> EntryId {
        let replaces = self.state().standing_ids(&Register::Request { valve: VALVE });
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

    pub fn turns(&mut self, request: EntryId) -> EntryId {
        self.say(Body::ScrewMove(ScrewMove {
            asset: VALVE,
            screw: "pilot".to_owned(),
            turn: Figure::new("-1/4", Unit::Turn).unwrap(),
            request: Some(request),
            planned_from: None,
        }))
    }

    pub fn leaves(&mut self, pressure: &str, request: EntryId) -> EntryId {
        self.say(Body::Reading(Reading {
            purpose: Purpose::AsLeft,
            request: Some(request),
            ..reading("outlet", pressure)
        }))
    }

    pub fn sets(&mut self, position: Position) -> EntryId {
        let register = Register::Position {
            asset: VALVE,
            element: "downstream_block".to_owned(),
        };
        let replaces = self.state().standing_ids(&register);
        self.say(Body::LineUp(LineUp {
            asset: VALVE,
            element: "downstream_block".to_owned(),
            position,
            counted: None,
            replaces,
        }))
    }

    /// Reads a point, whether water moves or not: nobody says.
    pub fn reads(&mut self, point: &str, digits: &str) -> EntryId {
        self.say(Body::Reading(reading(point, digits)))
    }

    /// Reads the outlet off a gauge.
    pub fn reads_off(&mut self, gauge: &str, digits: &str) -> EntryId {
        self.say(Body::Reading(Reading {
            gauge: Some(gauge.to_owned()),
            ..reading("outlet", digits)
        }))
    }

    /// Reads the outlet and says that water moves.
    pub fn reads_flowing(&mut self, digits: &str, purpose: Purpose) -> EntryId {
        self.say(Body::Reading(Reading {
            purpose,
            water: Water::Flowing,
            ..reading("outlet", digits)
        }))
    }

    /// Turns the screw as planned from a reading.
    pub fn turns_from(&mut self, reading: EntryId) -> EntryId {
        self.say(Body::ScrewMove(ScrewMove {
            planned_from: Some(reading),
            ..turn("-1/4")
        }))
    }

    /// Turns the screw.
    pub fn turns_by(&mut self, digits: &str) -> EntryId {
        self.say(Body::ScrewMove(turn(digits)))
    }

    /// Says what shows that water moves, or that it stopped.
    pub fn flow(&mut self, how: FlowProof) -> EntryId {
        self.say(Body::FlowEvidence(FlowEvidence {
            asset: VALVE,
            how,
            flow: None,
            place: None,
        }))
    }

    /// Puts a gauge on record: 0-200 psi, 0.5 % of span, read to 1 psi, good until the end of January 2026.
    pub fn gauge(&mut self, serial: &str, but: impl FnOnce(&mut Gauge)) -> EntryId {
        let mut gauge = Gauge {
            serial: serial.to_owned(),
            point: Some("outlet".to_owned()),
            span: psi("200"),
            grade: Some("0.5 %".to_owned()),
            resolution: Some(psi("1")),
            calibration_due: Some("2026-01-31".to_owned()),
            zero_before: Some(psi("0")),
            zero_after: None,
            replaces: self.state().standing_ids(&Register::Gauge {
                serial: serial.to_owned(),
            }),
        };
        but(&mut gauge);
        self.say(Body::Gauge(gauge))
    }

    /// Gives somebody a role, as the office does.
    pub fn grants(&mut self, person: PersonId, role: Role) -> EntryId {
        let replaces = self.state().standing_ids(&Register::Grant { person });
        self.say(Body::Grant(Grant {
            person,
            name: format!("{role:?}"),
            role,
            replaces,
        }))
    }

    /// Writes a note.
    pub fn notes(&mut self, text: &str) -> EntryId {
        self.say(Body::Note(Note {
            text: text.to_owned(),
            about: None,
        }))
    }

    /// Signs. What is signed does not matter here.
    pub fn signs(&mut self, revision: u32) -> EntryId {
        self.say(Body::SignOff(SignOff {
            digest: "00".to_owned(),
            heads: Vec::new(),
            clock: BTreeMap::new(),
            revision,
            key: None,
            signed_at: None,
            signature: None,
        }))
    }

    /// Opens a signed job again.
    pub fn re_opens(&mut self, sign_off: EntryId) -> EntryId {
        self.say(Body::ReOpened(ReOpened {
            sign_off,
            reason: "a late entry matters".to_owned(),
        }))
    }

    /// Settles an item by words.
    pub fn settles(&mut self, item: &Item) -> EntryId {
        self.say(Body::Resolution(Resolution {
            about: About::Item {
                code: item.key.clone(),
                entries: item.entries.iter().rev().copied().collect(),
            },
            reason: "looked into together".to_owned(),
        }))
    }

    /// The whole review.
    pub fn review(&mut self) -> Vec<Item> {
        review(&self.state(), procedures())
    }

    /// The items of one kind, settled ones too.
    pub fn items(&mut self, code: Code) -> Vec<Item> {
        let mut items = self.review();
        items.retain(|item| item.code == code);
        items
    }

    /// The one item of a kind.
    pub fn item(&mut self, code: Code) -> Item {
        let items = self.items(code);
        assert_eq!(items.len(), 1, "{items:#?}");
        items.into_iter().next().unwrap()
    }

    /// What needs a decision.
    pub fn open(&mut self) -> Vec<(Code, Vec<EntryId>)> {
        let review = self.review();
        open_items(&review)
            .map(|item| (item.code, item.entries.clone()))
            .collect()
    }
}

pub fn procedures() -> &'static Procedures {
    static READ_ONCE: OnceLock<Procedures> = OnceLock::new();
    READ_ONCE.get_or_init(|| Procedures::built_in().unwrap())
}

pub fn psi(digits: &str) -> Figure {
    Figure::new(digits, Unit::Psi).unwrap()
}

pub fn reading(point: &str, digits: &str) -> Reading {
    Reading {
        asset: VALVE,
        point: point.to_owned(),
        place: None,
        figure: psi(digits),
        gauge: None,
        purpose: Purpose::Working,
        water: Water::Still,
        request: None,
    }
}

fn turn(digits: &str) -> ScrewMove {
    ScrewMove {
        asset: VALVE,
        screw: "pilot".to_owned(),
        turn: Figure::new(digits, Unit::Turn).unwrap(),
        request: None,
        planned_from: None,
    }
}

/// Two devices hear one another, the one or the other first: both then show the same review, word for word, and so
/// does one that hears of them in the one order, and one that hears of them in the other.
pub fn meet(a: &mut Device, b: &mut Device) {
    let mut one = Device::new(901);
    one.hears(a);
    one.hears(b);
    let mut other = Device::new(902);
    other.hears(b);
    other.hears(a);
    b.hears(a);
    a.hears(b);
    let review = a.review();
    for told in [b, &mut one, &mut other] {
        assert_eq!(told.review(), review);
    }
}
