//! One device that writes to the journal of a job, for the tests of whatever is computed from one.

use super::{
    ActorId, Asset, AssetId, Body, BootId, DeviceId, Entry, EntryId, JobId, JobOpened, JobState, Journal,
    PersonId, Told, ValveOnJob,
};
use std::sync::Arc;
use uuid::Uuid;

/// The valve of the job.
pub const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));
/// Its chamber.
pub const STATION: AssetId = AssetId(Uuid::from_u128(0x57));
const JOB: JobId = JobId(Uuid::from_u128(0x10b));
/// The hour of everything that is said without one.
const AT: &str = "2025-11-25T02:00:00-06:00";

/// A device with a real journal, and the person who holds it.
pub struct Writer {
    /// What it holds.
    pub journal: Journal,
    /// Who holds it.
    pub person: PersonId,
    number: u128,
    told: u128,
}

impl Writer {
    /// A device that has heard nothing yet.
    pub fn new(number: u128, person: &str) -> Self {
        Self {
            journal: Journal::new(JOB, ActorId(number.to_be_bytes())),
            person: PersonId::of_name(person),
            number,
            told: 0,
        }
    }

    /// A device that opens the job: one valve, worked by this procedure.
    pub fn opens(number: u128, person: &str, procedure: &str) -> Self {
        Self::opens_with(number, person, procedure, None)
    }

    /// The same with a second valve beside it, by its id and its procedure.
    pub fn opens_with(number: u128, person: &str, procedure: &str, beside: Option<(AssetId, &str)>) -> Self {
        let valve = |id, name: &str, procedure: &str| ValveOnJob {
            id,
            name: name.to_owned(),
            procedure: procedure.to_owned(),
            size: None,
        };
        let mut valves = vec![valve(VALVE, "PRV", procedure)];
        valves.extend(beside.map(|(id, procedure)| valve(id, "PRV 2", procedure)));
        let mut writer = Self::new(number, person);
        let opened = JobOpened {
            number: "J-1".to_owned(),
            customer: "District".to_owned(),
            site: "Alder Street".to_owned(),
            station: Asset {
                id: STATION,
                name: "Vault".to_owned(),
            },
            valves,
        };
        writer.write(EntryId(JOB.0), writer.person, AT, Body::JobOpened(opened));
        writer
    }

    /// Says something, at the same hour as everything else.
    pub fn say(&mut self, body: Body) -> EntryId {
        self.says(self.person, AT, body)
    }

    /// Somebody says something on this device at a time of their own.
    pub fn say_at(&mut self, by: &str, at: &str, body: Body) -> EntryId {
        self.says(PersonId::of_name(by), at, body)
    }

    fn says(&mut self, by: PersonId, at: &str, body: Body) -> EntryId {
        let id = EntryId(Uuid::from_u128((self.number << 64) | (self.told + 1)));
        self.write(id, by, at, body);
        id
    }

    fn write(&mut self, id: EntryId, by: PersonId, at: &str, body: Body) {
        self.told += 1;
        let told = Told {
            by,
            keyed_by: None,
            device: DeviceId(Uuid::from_u128(self.number)),
            boot: BootId(Uuid::from_u128(self.number)),
            mono_ms: 0,
            at: at.to_owned(),
            body,
        };
        self.journal.append(&Entry { id, told }).unwrap();
    }

    /// Hears whatever of a journal it has not heard.
    pub fn hears(&mut self, other: &Journal) {
        for bundle in other.missing(self.journal.clock()) {
            self.journal.intake(&bundle).unwrap();
        }
    }

    /// What the job says now, as far as this device has heard.
    pub fn state(&mut self) -> Arc<JobState> {
        self.journal.state()
    }
}
