//! A job to find something out about: a station, a reducing valve, and whatever a test lets be said.

use crate::journal::writer::{STATION, VALVE, Writer};
use crate::journal::{AssetId, Body, EntryId, JobState};
use crate::quantity::{Figure, Unit};
use std::sync::Arc;
use uuid::Uuid;

/// One writer's job.
pub(in crate::findings) struct Scene(Writer);

impl Scene {
    /// The valve.
    pub const VALVE: AssetId = VALVE;
    /// Its chamber.
    pub const STATION: AssetId = STATION;

    /// Another valve, on jobs that have one.
    pub const BESIDE: AssetId = AssetId(Uuid::from_u128(0xa2));

    /// A job that was opened, and nothing else.
    pub fn new() -> Self {
        Self(Writer::opens(1, "Ana", "reducing"))
    }

    /// The same worked by another procedure, and a second valve beside it by a procedure of its own.
    pub fn worked_by(procedure: &str, beside: Option<&str>) -> Self {
        let beside = beside.map(|procedure| (Self::BESIDE, procedure));
        Self(Writer::opens_with(1, "Ana", procedure, beside))
    }

    /// A crew mate's tablet, which holds the job as it is here by now.
    pub fn mate(&self) -> Self {
        let mut mate = Self(Writer::new(2, "Ben"));
        mate.hears(self);
        mate
    }

    /// Takes in what the other tablet holds.
    pub fn hears(&mut self, other: &Self) {
        self.0.hears(&other.0.journal);
    }

    /// Says something, at the same hour as everything else.
    pub fn say(&mut self, body: Body) -> EntryId {
        self.0.say(body)
    }

    /// Somebody says something at a time of their own.
    pub fn say_at(&mut self, by: &str, at: &str, body: Body) -> EntryId {
        self.0.say_at(by, at, body)
    }

    /// What the job says now.
    pub fn state(&mut self) -> Arc<JobState> {
        self.0.state()
    }
}

/// A pressure as read.
pub(in crate::findings) fn psi(digits: &str) -> Figure {
    Figure::new(digits, Unit::Psi).unwrap()
}
