//! The identities of one start of the program. They are random, and the store never draws them itself.

use crate::journal::{ActorId, BootId, DeviceId};
use sha2::{Digest, Sha256};
use std::fmt;
use uuid::Builder;

/// The identities of one start of the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seed {
    /// The writer's id of this start. Never used again.
    pub actor: ActorId,
    /// This start.
    pub boot: BootId,
    /// The id that this device takes if its store is new.
    pub device: DeviceId,
    /// What this device's signing key is made from if its store has none yet.
    pub key: KeySeed,
}

/// The secret half of a signing key. It is never shown: what prints it prints that it is here.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct KeySeed(pub [u8; 32]);

impl fmt::Debug for KeySeed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("KeySeed(not shown)")
    }
}

impl Seed {
    /// A seed from random bytes: 80 that nobody can guess and nobody has used before.
    pub fn from_random(bytes: [u8; 80]) -> Self {
        let part = |from: usize| -> [u8; 16] { std::array::from_fn(|at| bytes[from + at]) };
        Self {
            actor: ActorId(part(0)),
            boot: BootId(Builder::from_random_bytes(part(16)).into_uuid()),
            device: DeviceId(Builder::from_random_bytes(part(32)).into_uuid()),
            key: KeySeed(std::array::from_fn(|at| bytes[48 + at])),
        }
    }

    /// A seed from the system's source of randomness.
    ///
    /// # Errors
    /// Where the system has none to give.
    pub fn draw() -> Result<Self, getrandom::Error> {
        let mut bytes = [0; 80];
        getrandom::fill(&mut bytes)?;
        Ok(Self::from_random(bytes))
    }

    /// The writer's id to go on with after so many failed commits; the seed's own after none. After a failure the disk
    /// may hold more than it admitted, so the number that failed is not given out again under the same id.
    pub(super) fn actor_after(&self, failures: u64) -> ActorId {
        if failures == 0 {
            return self.actor;
        }
        let digest = Sha256::new()
            .chain_update(b"turnwise actor after a failed commit")
            .chain_update(self.actor.0)
            .chain_update(failures.to_be_bytes())
            .finalize();
        ActorId(std::array::from_fn(|at| digest[at]))
    }
}
