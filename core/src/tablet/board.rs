//! Who was heard on the link, and who is there now.

use super::view::{CrewLinkView, Links, PeerView};
use crate::journal::DeviceId;
use crate::link::{DeviceRole, Hello, PeerState};
use crate::store::{JournalStore, Peer, StoreError};
use std::collections::BTreeMap;

/// Everybody this tablet ever heard.
#[derive(Debug, Default)]
pub(super) struct Board {
    peers: BTreeMap<DeviceId, Heard>,
}

#[derive(Debug, Clone)]
struct Heard {
    row: Peer,
    links: u32,
    clock_offset_ms: Option<i64>,
}

impl Board {
    /// What the store remembers; nobody is linked yet.
    pub fn load(store: &JournalStore) -> Result<Self, StoreError> {
        let peers = store
            .store()
            .peers()?
            .into_iter()
            .map(|row| {
                (
                    row.device,
                    Heard {
                        row,
                        links: 0,
                        clock_offset_ms: None,
                    },
                )
            })
            .collect();
        Ok(Self { peers })
    }

    /// A peer came, changed its hello or went. Gives the row to keep.
    pub fn seen(&mut self, hello: &Hello, state: PeerState, at: &str) -> Peer {
        let row = Peer {
            device: hello.device,
            name: hello.name.clone(),
            person: hello.person.clone(),
            office: hello.role == DeviceRole::Office,
            addresses: Vec::new(),
            last_heard: Some(at.to_owned()),
        };
        let heard = self.peers.entry(hello.device).or_insert_with(|| Heard {
            row: row.clone(),
            links: 0,
            clock_offset_ms: None,
        });
        heard.row = row.clone();
        match state {
            PeerState::Here => heard.links += 1,
            PeerState::Changed => {}
            PeerState::Gone => heard.links = heard.links.saturating_sub(1),
        }
        row
    }

    /// The other clock was measured.
    pub fn clock_measured(&mut self, peer: DeviceId, offset_ms: i64) {
        if let Some(heard) = self.peers.get_mut(&peer) {
            heard.clock_offset_ms = Some(offset_ms);
        }
    }

    /// What a peer is, if it was ever heard.
    pub fn role(&self, peer: DeviceId) -> Option<DeviceRole> {
        self.peers.get(&peer).map(|heard| {
            if heard.row.office {
                DeviceRole::Office
            } else {
                DeviceRole::Tablet
            }
        })
    }

    /// For the screens: the linked first, then by name.
    pub fn links(&self, on: bool) -> Links {
        let mut peers: Vec<_> = self
            .peers
            .values()
            .map(|heard| PeerView {
                device: Some(heard.row.device),
                name: heard.row.name.clone(),
                person: heard.row.person.clone(),
                office: heard.row.office,
                linked: heard.links > 0,
                last_heard: heard.row.last_heard.clone(),
                clock_offset_ms: heard.clock_offset_ms,
            })
            .collect();
        peers.sort_by(|a, b| (!a.linked, &a.name).cmp(&(!b.linked, &b.name)));
        Links {
            on,
            peers,
            crew: CrewLinkView::default(),
        }
    }
}
