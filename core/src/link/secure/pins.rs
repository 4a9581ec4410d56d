//! The tablets that this one was paired with.

use super::Fingerprint;
use crate::journal::DeviceId;
use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::sync::Arc;

/// A paired tablet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pinned {
    /// Which.
    pub device: DeviceId,
    /// The one certificate that stands for it.
    pub fingerprint: Fingerprint,
    /// What it called itself when it was paired.
    pub name: String,
    /// Where it may be: the address reached last comes first.
    pub addresses: Vec<SocketAddr>,
}

/// All of them. Clones are cheap.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pins(Arc<BTreeMap<DeviceId, Pinned>>);

impl Pins {
    /// These.
    pub fn of(pinned: impl IntoIterator<Item = Pinned>) -> Self {
        let pinned = pinned.into_iter().map(|pinned| (pinned.device, pinned));
        Self(Arc::new(pinned.collect()))
    }

    /// The one with this id.
    pub fn get(&self, device: DeviceId) -> Option<&Pinned> {
        self.0.get(&device)
    }

    /// The one that this certificate stands for.
    pub fn by_fingerprint(&self, fingerprint: Fingerprint) -> Option<&Pinned> {
        self.0.values().find(|pinned| pinned.fingerprint == fingerprint)
    }

    /// Each of them, in the order of their ids.
    pub fn iter(&self) -> impl Iterator<Item = &Pinned> {
        self.0.values()
    }

    /// Whether this device still stands under this certificate.
    pub fn holds(&self, device: DeviceId, fingerprint: Fingerprint) -> bool {
        self.get(device)
            .is_some_and(|pinned| pinned.fingerprint == fingerprint)
    }
}
