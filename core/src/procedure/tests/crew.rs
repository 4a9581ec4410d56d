//! A crew of two tablets with real journals, for tests that read like the night's work.

use crate::journal::writer::Writer;
pub use crate::journal::writer::{STATION, VALVE};
use crate::journal::{
    AtmosphereTest, Body, Duty, EntryId, FlowEvidence, FlowProof, Gauge, Initials, JobState, Journal, Level,
    LineUp, Outcome, ParticularValue, Particulars, PersonId, PersonJoined, Photo, Position, Purpose, Reading,
    Register, Request, ScrewMove, SpeedControl, StepMark, Water, Withdrawn,
};
use crate::procedure::{Procedure, Procedures, Walk, may_mark, walk};
use crate::quantity::{Figure, Unit};
use std::sync::{Arc, OnceLock};

pub fn figure(digits: &str, unit: Unit) -> Figure {
    Figure::new(digits, unit).unwrap()
}

pub fn psi(digits: &str) -> Figure {
    figure(digits, Unit::Psi)
}

pub fn all_built_in() -> &'static Procedures {
    static READ_ONCE: OnceLock<Procedures> = OnceLock::new();
    READ_ONCE.get_or_init(|| Procedures::built_in().unwrap())
}

pub fn built_in(id: &str) -> Procedure {
    all_built_in().get(id).unwrap().clone()
}

/// One tablet and the person who holds it.
pub struct Tablet {
    pub procedure: Procedure,
    pub person: PersonId,
    writer: Writer,
    water: Water,
}

impl Tablet {
    /// A tablet that opens the job.
    pub fn opens(procedure: &str) -> Self {
        Self::of(Writer::opens(1, "Ana", procedure), procedure)
    }

    /// A second tablet, still empty.
    pub fn joins(procedure: &str, name: &str, number: u128) -> Self {
        Self::of(Writer::new(number, name), procedure)
    }

    fn of(writer: Writer, procedure: &str) -> Self {
        Self {
            procedure: built_in(procedure),
            person: writer.person,
            writer,
            water: Water::Still,
        }
    }

    /// Records a body and says under which id.
    pub fn say(&mut self, body: Body) -> EntryId {
        self.writer.say(body)
    }

    /// What it holds, to be heard by others.
    pub fn into_journal(self) -> Journal {
        self.writer.journal
    }

    pub fn state(&mut self) -> Arc<JobState> {
        self.writer.state()
    }

    /// Both tablets come to hold what either held.
    pub fn meets(&mut self, other: &mut Self) {
        other.writer.hears(&self.writer.journal);
        self.writer.hears(&other.writer.journal);
    }

    fn standing(&mut self, register: &Register) -> Vec<EntryId> {
        self.state().standing_ids(register)
    }

    pub fn requests(&mut self, pressure: &str, limit: Option<&str>) -> EntryId {
        let replaces = self.standing(&Register::Request { valve: VALVE });
        self.say(Body::Request(Request {
            valve: VALVE,
            pressure: psi(pressure),
            tolerance: None,
            datum: "at the valve".to_owned(),
            asked_by: "District".to_owned(),
            zone_limit: limit.map(psi),
            replaces,
        }))
    }

    pub fn request(&mut self) -> Option<EntryId> {
        self.standing(&Register::Request { valve: VALVE })
            .first()
            .copied()
    }

    pub fn knows(&mut self, name: &str, value: ParticularValue) -> EntryId {
        let state = self.state();
        let asset = self.procedure.particular_owner(name).asset(&state, VALVE);
        let replaces = self.standing(&Register::Particular {
            asset,
            name: name.to_owned(),
        });
        self.say(Body::Particulars(Particulars {
            asset,
            name: name.to_owned(),
            value,
            replaces,
        }))
    }

    pub fn knows_word(&mut self, name: &str, word: &str) -> EntryId {
        self.knows(name, ParticularValue::Text(word.to_owned()))
    }

    pub fn puts(&mut self, element: &str, position: Position) -> EntryId {
        let state = self.state();
        let asset = self.procedure.element(element).unwrap().of.asset(&state, VALVE);
        let replaces = self.standing(&Register::Position {
            asset,
            element: element.to_owned(),
        });
        let element = element.to_owned();
        self.say(Body::LineUp(LineUp {
            asset,
            element,
            position,
            counted: None,
            replaces,
        }))
    }

    pub fn opens_up(&mut self, element: &str) -> EntryId {
        self.puts(element, Position::Open)
    }

    pub fn shuts(&mut self, element: &str) -> EntryId {
        self.puts(element, Position::Shut)
    }

    /// From here on readings say so of the water.
    pub fn water(&mut self, water: Water) {
        self.water = water;
    }

    pub fn reads_for(&mut self, point: &str, digits: &str, purpose: Purpose) -> EntryId {
        let request = self.request().filter(|_| purpose == Purpose::AsLeft);
        let unit = if point == "stem" {
            Unit::Millimetre
        } else {
            Unit::Psi
        };
        self.say(Body::Reading(Reading {
            asset: VALVE,
            point: point.to_owned(),
            place: None,
            figure: figure(digits, unit),
            gauge: Some("G-2".to_owned()),
            purpose,
            water: self.water,
            request,
        }))
    }

    pub fn reads(&mut self, point: &str, digits: &str) -> EntryId {
        self.reads_for(point, digits, Purpose::Working)
    }

    pub fn turns(&mut self, digits: &str) -> EntryId {
        let request = self.request();
        self.say(Body::ScrewMove(ScrewMove {
            asset: VALVE,
            screw: "pilot".to_owned(),
            turn: figure(digits, Unit::Turn),
            request,
            planned_from: None,
        }))
    }

    pub fn counts(&mut self, control: &str, turns: &str) -> EntryId {
        let replaces = self.standing(&Register::SpeedControl {
            asset: VALVE,
            control: control.to_owned(),
        });
        let open = figure(turns, Unit::Turn);
        self.say(Body::SpeedControl(SpeedControl {
            asset: VALVE,
            control: control.to_owned(),
            open,
            replaces,
        }))
    }

    pub fn sees_flow(&mut self, how: FlowProof) -> EntryId {
        self.say(Body::FlowEvidence(FlowEvidence {
            asset: VALVE,
            how,
            flow: None,
            place: None,
        }))
    }

    pub fn photographs(&mut self) -> EntryId {
        self.say(Body::Photo(Photo {
            sha256: "0".repeat(64),
            size: 1,
            caption: "as is".to_owned(),
            about: None,
        }))
    }

    pub fn has_duty(&mut self, name: &str, duties: &[Duty]) -> EntryId {
        let person = PersonId::of_name(name);
        let replaces = self.standing(&Register::Duty { person });
        let (name, duties) = (name.to_owned(), duties.to_vec());
        self.say(Body::PersonJoined(PersonJoined {
            person,
            name,
            duties,
            replaces,
        }))
    }

    pub fn gauge(&mut self, serial: &str, point: &str, after: Option<&str>) -> EntryId {
        let replaces = self.standing(&Register::Gauge {
            serial: serial.to_owned(),
        });
        self.say(Body::Gauge(Gauge {
            serial: serial.to_owned(),
            point: Some(point.to_owned()),
            span: psi("200"),
            grade: None,
            resolution: None,
            calibration_due: None,
            zero_before: Some(psi("0")),
            zero_after: after.map(psi),
            replaces,
        }))
    }

    pub fn tests_air(&mut self, level: Level, oxygen: &str, flammable: &str) -> EntryId {
        self.tests_all(level, [oxygen, flammable, "0", "0"])
    }

    /// Oxygen, flammable, carbon monoxide, hydrogen sulphide.
    pub fn tests_all(&mut self, level: Level, [oxygen, flammable, co, h2s]: [&str; 4]) -> EntryId {
        self.say(Body::AtmosphereTest(AtmosphereTest {
            asset: STATION,
            level,
            oxygen: figure(oxygen, Unit::Percent),
            flammable: figure(flammable, Unit::PercentLfl),
            carbon_monoxide: figure(co, Unit::PartsPerMillion),
            hydrogen_sulphide: figure(h2s, Unit::PartsPerMillion),
            meter: "M-7".to_owned(),
            bump_tested: true,
        }))
    }

    pub fn tests_good_air(&mut self) {
        for level in [Level::Top, Level::Middle, Level::Bottom] {
            self.tests_air(level, "20.9", "0");
        }
    }

    pub fn takes_back(&mut self, entry: EntryId) -> EntryId {
        self.say(Body::Withdrawn(Withdrawn {
            entry,
            reason: "misread".to_owned(),
        }))
    }

    pub fn initials(&mut self) -> EntryId {
        self.say(Body::Initials(Initials { entries: 0 }))
    }

    /// Writes a mark as it is, without asking whether it may be made.
    pub fn forces(
        &mut self,
        step: &str,
        outcome: Outcome,
        overridden: &[&str],
        reason: Option<&str>,
    ) -> EntryId {
        let procedure = self.procedure.id.clone();
        let register = Register::Step {
            asset: VALVE,
            procedure: procedure.clone(),
            step: step.to_owned(),
        };
        let replaces = self.standing(&register);
        self.say(Body::StepMark(StepMark {
            asset: VALVE,
            procedure,
            step: step.to_owned(),
            outcome,
            overridden: overridden.iter().map(|&code| code.to_owned()).collect(),
            reason: reason.map(str::to_owned),
            replaces,
        }))
    }

    /// Marks as a tablet does: only what may be marked.
    pub fn marks(&mut self, step: &str, outcome: Outcome, reason: Option<&str>) -> EntryId {
        let state = self.state();
        if let Err(error) = may_mark(&self.procedure, &state, VALVE, step, &outcome, &[], reason) {
            panic!("{step}: {error}");
        }
        self.forces(step, outcome, &[], reason)
    }

    pub fn does(&mut self, step: &str) -> EntryId {
        self.marks(step, Outcome::Done, None)
    }

    pub fn chooses(&mut self, step: &str, answer: &str) -> EntryId {
        self.marks(step, Outcome::Chosen(answer.to_owned()), None)
    }

    /// Answers a question before its turn, with every need overridden.
    pub fn chooses_anyway(&mut self, step: &str, answer: &str) -> EntryId {
        self.forces(step, Outcome::Chosen(answer.to_owned()), &[], Some("out of turn"))
    }

    pub fn leaves_out(&mut self, step: &str, reason: &str) -> EntryId {
        self.marks(step, Outcome::NotDone, Some(reason))
    }

    /// Why a step may not be marked done now, as a code and what it is about.
    pub fn refuses(&mut self, step: &str) -> Option<(&'static str, Vec<String>)> {
        self.refuses_over(step, &[], None)
    }

    /// The same with an override.
    pub fn refuses_over(
        &mut self,
        step: &str,
        overridden: &[&str],
        reason: Option<&str>,
    ) -> Option<(&'static str, Vec<String>)> {
        use crate::procedure::MarkError;
        let state = self.state();
        let asks = !self.procedure.step(step).unwrap().options.is_empty();
        let answer = || self.procedure.step(step).unwrap().options[0].id.clone();
        let outcome = if asks {
            Outcome::Chosen(answer())
        } else {
            Outcome::Done
        };
        let overridden: Vec<String> = overridden.iter().map(|&code| code.to_owned()).collect();
        let error = may_mark(
            &self.procedure,
            &state,
            VALVE,
            step,
            &outcome,
            &overridden,
            reason,
        )
        .err()?;
        let codes = match &error {
            MarkError::Stopped(codes) | MarkError::Unmet(codes) => codes.clone(),
            _ => Vec::new(),
        };
        Some((error.code(), codes))
    }

    pub fn walk(&mut self) -> Walk<'_> {
        let state = self.writer.state();
        walk(&self.procedure, &state, VALVE)
    }

    pub fn status(&mut self, step: &str) -> &'static str {
        self.walk()
            .step(step)
            .map_or("does_not_apply", |state| state.status.code())
    }
}
