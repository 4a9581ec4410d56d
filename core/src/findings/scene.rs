//! A job to find something out about: a station, a reducing valve, and whatever a test lets be said.

use crate::journal::{
    ActorId, Asset, AssetId, Body, BootId, DeviceId, Entry, EntryId, JobId, JobOpened, JobState, Journal,
    PersonId, Told, ValveOnJob,
};
use crate::quantity::{Figure, Unit};
use std::sync::Arc;
use uuid::Uuid;

const JOB: JobId = JobId(Uuid::from_u128(0x10b));

/// One writer's job.
pub(in crate::findings) struct Scene {
    journal: Journal,
    told: u128,
}

impl Scene {
    /// The valve.
    pub const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));
    /// Its chamber.
    pub const STATION: AssetId = AssetId(Uuid::from_u128(0x57));

    /// A job that was opened, and nothing else.
    pub fn new() -> Self {
        let mut scene = Self {
            journal: Journal::new(JOB, ActorId(1_u128.to_be_bytes())),
            told: 0,
        };
        let valve = |id, name: &str| ValveOnJob {
            id,
            name: name.to_owned(),
            procedure: "reducing".to_owned(),
            size: None,
        };
        let opened = JobOpened {
            number: "J-1".to_owned(),
            customer: "District".to_owned(),
            site: "Alder Street".to_owned(),
            station: Asset {
                id: Self::STATION,
                name: "Vault".to_owned(),
            },
            valves: vec![valve(Self::VALVE, "PRV")],
        };
        scene.write(EntryId(JOB.0), Body::JobOpened(opened));
        scene
    }

    /// Says something, at the same hour as everything else.
    pub fn say(&mut self, body: Body) -> EntryId {
        let id = EntryId(Uuid::from_u128(self.told + 1));
        self.write(id, body);
        id
    }

    /// Somebody says something at a time of their own.
    pub fn say_at(&mut self, by: &str, at: &str, body: Body) -> EntryId {
        let id = EntryId(Uuid::from_u128(self.told + 1));
        self.write_by(id, by, at, body);
        id
    }

    fn write(&mut self, id: EntryId, body: Body) {
        self.write_by(id, "Ana", "2025-11-25T02:00:00-06:00", body);
    }

    fn write_by(&mut self, id: EntryId, by: &str, at: &str, body: Body) {
        self.told += 1;
        let told = Told {
            by: PersonId::of_name(by),
            keyed_by: None,
            device: DeviceId(Uuid::from_u128(1)),
            boot: BootId(Uuid::from_u128(1)),
            mono_ms: 0,
            at: at.to_owned(),
            body,
        };
        self.journal.append(&Entry { id, told }).unwrap();
    }

    /// What the job says now.
    pub fn state(&mut self) -> Arc<JobState> {
        self.journal.state()
    }
}

/// A pressure as read.
pub(in crate::findings) fn psi(digits: &str) -> Figure {
    Figure::new(digits, Unit::Psi).unwrap()
}
