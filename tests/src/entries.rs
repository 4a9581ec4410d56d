//! Entries to write, as a crew would.

use turnwise_core::journal::{
    Asset, AssetId, Body, BootId, DeviceId, Entry, EntryId, JobId, JobOpened, Note, PersonId, Purpose,
    Reading, ScrewMove, Told, ValveOnJob, Water,
};
use turnwise_core::quantity::{Figure, Unit};
use uuid::Uuid;

/// The valve that the entries are about.
pub const VALVE: AssetId = AssetId(Uuid::from_u128(2));

/// An id that nothing else has.
pub fn new_job() -> JobId {
    JobId(Uuid::now_v7())
}

/// The opening of a job with one reducing valve.
pub fn opening(job: JobId) -> Entry {
    entry(
        job.0,
        Body::JobOpened(JobOpened {
            number: "2026-0117".to_owned(),
            customer: "Water works".to_owned(),
            site: "Mill Street".to_owned(),
            station: Asset {
                id: AssetId(Uuid::from_u128(1)),
                name: "Mill Street vault".to_owned(),
            },
            valves: vec![ValveOnJob {
                id: VALVE,
                name: "6 in reducing valve".to_owned(),
                procedure: "reducing".to_owned(),
                size: None,
            }],
        }),
    )
}

/// A note of so many characters.
pub fn note(length: usize) -> Entry {
    entry(
        Uuid::now_v7(),
        Body::Note(Note {
            text: "x".repeat(length),
            about: None,
        }),
    )
}

/// A reading off the outlet gauge.
pub fn reading(digits: &str) -> Entry {
    entry(
        Uuid::now_v7(),
        Body::Reading(Reading {
            asset: VALVE,
            point: "outlet".to_owned(),
            place: None,
            figure: Figure {
                digits: digits.to_owned(),
                unit: Unit::Psi,
            },
            gauge: Some("G-1042".to_owned()),
            purpose: Purpose::Working,
            water: Water::Flowing,
            request: None,
        }),
    )
}

/// A turn of the pilot's screw.
pub fn turn(digits: &str) -> Entry {
    entry(
        Uuid::now_v7(),
        Body::ScrewMove(ScrewMove {
            asset: VALVE,
            screw: "pilot".to_owned(),
            turn: Figure {
                digits: digits.to_owned(),
                unit: Unit::Turn,
            },
            request: None,
            planned_from: None,
        }),
    )
}

/// An entry that says this.
pub fn says(body: Body) -> Entry {
    entry(Uuid::now_v7(), body)
}

fn entry(id: Uuid, body: Body) -> Entry {
    Entry {
        id: EntryId(id),
        told: Told {
            by: PersonId::of_name("Ann"),
            keyed_by: Some(PersonId::of_name("Bo")),
            device: DeviceId(Uuid::from_u128(3)),
            boot: BootId(Uuid::from_u128(4)),
            mono_ms: 120_000,
            at: "2026-03-04T10:00:00+01:00".to_owned(),
            body,
        },
    }
}
