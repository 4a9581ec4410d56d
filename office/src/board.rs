//! Which tablets were heard, and which are linked now.

use std::collections::BTreeMap;
use turnwise_core::journal::DeviceId;
use turnwise_core::link::{DeviceRole, Hello, PeerState};
use turnwise_core::store::{Peer, Store, StoreError};
use turnwise_core::tablet::view::PeerView;

/// Every tablet this office ever heard from.
#[derive(Debug, Default)]
pub(crate) struct Board {
    tablets: BTreeMap<DeviceId, Heard>,
}

/// One tablet, and how many links to it are open.
#[derive(Debug)]
struct Heard {
    view: PeerView,
    links: u32,
}

impl Board {
    /// What the store remembers; nobody is linked yet.
    pub fn load(store: &Store) -> Result<Self, StoreError> {
        let tablets = store
            .peers()?
            .into_iter()
            .map(|peer| {
                let view = PeerView {
                    device: Some(peer.device),
                    name: peer.name,
                    person: peer.person,
                    office: peer.office,
                    linked: false,
                    last_heard: peer.last_heard,
                    clock_offset_ms: None,
                };
                (peer.device, Heard { view, links: 0 })
            })
            .collect();
        Ok(Self { tablets })
    }

    /// A tablet came, changed its hello or went. Gives the row to keep.
    pub fn seen(&mut self, hello: &Hello, state: PeerState, at: &str) -> Peer {
        let known = self.tablets.get(&hello.device);
        let links = known.map_or(0, |known| known.links);
        let links = match state {
            PeerState::Here => links + 1,
            PeerState::Changed => links,
            PeerState::Gone => links.saturating_sub(1),
        };
        let view = PeerView {
            device: Some(hello.device),
            name: hello.name.clone(),
            person: hello.person.clone(),
            office: hello.role == DeviceRole::Office,
            linked: links > 0,
            last_heard: Some(at.to_owned()),
            clock_offset_ms: known.and_then(|known| known.view.clock_offset_ms),
        };
        self.tablets.insert(hello.device, Heard { view, links });
        Peer {
            device: hello.device,
            name: hello.name.clone(),
            person: hello.person.clone(),
            office: hello.role == DeviceRole::Office,
            addresses: Vec::new(),
            last_heard: Some(at.to_owned()),
        }
    }

    /// A tablet's clock was compared with the office's.
    pub fn clock_measured(&mut self, tablet: DeviceId, offset_ms: i64) {
        if let Some(heard) = self.tablets.get_mut(&tablet) {
            heard.view.clock_offset_ms = Some(offset_ms);
        }
    }

    /// For the page: those linked first, then by name.
    pub fn tablets(&self) -> Vec<PeerView> {
        let mut all: Vec<_> = self.tablets.values().map(|heard| heard.view.clone()).collect();
        all.sort_by(|a, b| (!a.linked, &a.name, a.device).cmp(&(!b.linked, &b.name, b.device)));
        all
    }
}
