//! Identities. Each is a UUID of its own type, so that one cannot stand where another belongs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use ts_rs::TS;
use uuid::Uuid;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema)]
        #[serde(transparent)]
        #[ts(type = "string")]
        pub struct $name(pub Uuid);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl std::str::FromStr for $name {
            type Err = uuid::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Uuid::parse_str(text).map(Self)
            }
        }
    };
}

id! {
    /// One entry of a journal: a UUIDv7, made where the entry was made.
    EntryId
}
id! {
    /// One job: a UUIDv7. There is one journal a job.
    JobId
}
id! {
    /// One person.
    PersonId
}
id! {
    /// One tablet or office installation: made once, when its store is made.
    DeviceId
}
id! {
    /// One start of the program on a device. Monotonic times compare only within one boot.
    BootId
}
id! {
    /// A valve or a station: made by the office once, the same at every visit.
    AssetId
}

/// Where the namespace of person ids starts: an arbitrary, fixed UUID of this project.
const PERSON_NAMESPACE: Uuid = Uuid::from_u128(0x6f0d_7c0e_5a53_4b0e_9d0c_7e1d_51a6_20b7);

/// The name under which an office writes, until people sign in there. Nobody joins or is granted anything by it.
pub const OFFICE_NAME: &str = "Office";

impl PersonId {
    /// Whoever writes at an office, until people sign in there.
    pub fn office() -> Self {
        Self::of_name(OFFICE_NAME)
    }

    /// The id of a person known only by name: the same on every device, case and outer blanks aside.
    ///
    /// Until the office vouches for people, a name is all that a crew has in common; two people who give the
    /// same name are one person to the journal.
    pub fn of_name(name: &str) -> Self {
        Self(Uuid::new_v5(
            &PERSON_NAMESPACE,
            name.trim().to_lowercase().as_bytes(),
        ))
    }
}

/// The hash of one change: SHA-256 of its content, what Automerge calls a change hash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ChangeHash(pub [u8; 32]);

/// One run of one program, as Automerge knows it: random at every start, never used again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ActorId(pub [u8; 16]);

/// How far one actor's changes have come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reach {
    /// The newest change's number, from 1.
    pub seq: u64,
    /// Its hash, which stands for everything before it.
    pub hash: ChangeHash,
}

/// What a journal holds: per actor, how far. Two journals with equal clocks hold the same changes.
pub type Clock = std::collections::BTreeMap<ActorId, Reach>;
