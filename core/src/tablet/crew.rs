//! A tablet's part in the crew's link: its identity, who is paired with it, and what the screens ask.

use super::engine::{Engine, from_store};
use super::view::{CodeView, CrewLinkView, FoundView, PairedView, PeerView};
use super::{CommandError, CrewCommand, Reply, TabletHandle};
use crate::journal::DeviceId;
use crate::link::Unable;
use crate::link::secure::pairing::PairFault;
use crate::link::secure::{
    CrewControl, CrewError, CrewHost, CrewNet, CrewOptions, CrewState, Fingerprint, Identity, IdentityError,
    Pinned, Pins,
};
use crate::store::{LinkIdentity, Pin, StoreError};
use std::net::{IpAddr, SocketAddr};
use std::time::Duration;
use tokio::sync::watch;
use tokio::task::JoinHandle;

/// The port that a tablet listens on for crew mates unless it is told another (one that nobody has registered, from
/// memory).
pub const CREW_PORT: u16 = 47_800;

/// For how long a code is shown.
pub const CODE_LIVES: Duration = Duration::from_mins(2);

/// Why the crew's link did not start.
#[derive(Debug, thiserror::Error)]
pub enum CrewStartError {
    /// The store could not give or keep the identity.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// No identity could be made.
    #[error(transparent)]
    Identity(#[from] IdentityError),
    /// It could not be started.
    #[error(transparent)]
    Net(#[from] CrewError),
    /// The engine is gone.
    #[error(transparent)]
    Gone(#[from] CommandError),
}

impl CrewStartError {
    /// A stable code.
    pub fn code(&self) -> &str {
        match self {
            Self::Store(error) => error.code(),
            Self::Identity(error) => error.code(),
            Self::Net(error) => error.code(),
            Self::Gone(error) => &error.code,
        }
    }
}

/// A tablet's link with its crew while it runs. Dropped, it ends.
#[derive(Debug)]
pub struct CrewLink {
    net: CrewNet,
    crew: watch::Sender<Option<CrewControl>>,
    telling: JoinHandle<()>,
}

impl CrewLink {
    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.net.address()
    }
}

impl Drop for CrewLink {
    fn drop(&mut self) {
        self.crew.send_replace(None);
        self.telling.abort();
    }
}

impl TabletHandle {
    /// Starts the link with crew mates: listens, links with whoever is paired, finds and is found. `new_key` is 32 random
    /// bytes that nobody can guess; they become this tablet's private key if it has none yet.
    ///
    /// # Errors
    /// Why it did not start. The tablet works without it.
    pub async fn start_crew(
        &self,
        options: CrewOptions,
        new_key: [u8; 32],
    ) -> Result<CrewLink, CrewStartError> {
        let identity = self.ask(move |engine| engine.identity(new_key)).await??;
        let net = CrewNet::start(self.clone(), identity, options, self.link_stop()).await?;
        let control = net.control().clone();
        let telling = tokio::spawn(tell(control.state(), self.signals.revision.clone()));
        self.signals.crew.send_replace(Some(control));
        self.tell(|engine| engine.shown_changed());
        Ok(CrewLink {
            net,
            crew: self.signals.crew.clone(),
            telling,
        })
    }

    /// Pairs with a tablet that shows a code.
    pub(super) async fn pair(&self, code: &str, address: &str) -> Result<Reply, CommandError> {
        let address = read_address(address).ok_or_else(|| {
            CommandError::new(
                "bad_address",
                "an address is like 192.168.43.1 or 192.168.43.1:47800",
            )
        })?;
        let control = self.signals.crew.borrow().clone();
        let control = control.ok_or_else(|| refused(PairFault::LinkOff))?;
        let pinned = control.pair(code, address).await.map_err(refused)?;
        tracing::info!(device = %pinned.device, "paired");
        Ok(Reply::default())
    }
}

/// An address as a person types it, with or without the port.
fn read_address(text: &str) -> Option<SocketAddr> {
    let text = text.trim();
    text.parse()
        .ok()
        .or_else(|| Some(SocketAddr::new(text.parse::<IpAddr>().ok()?, CREW_PORT)))
}

/// Draws the screens anew whenever something around changes.
async fn tell(mut state: watch::Receiver<CrewState>, revision: watch::Sender<u64>) {
    while state.changed().await.is_ok() {
        revision.send_modify(|revision| *revision += 1);
    }
}

fn refused(fault: PairFault) -> CommandError {
    CommandError::new(fault.code(), fault.to_string())
}

impl CrewHost for TabletHandle {
    fn pins(&self) -> watch::Receiver<Pins> {
        self.signals.pins.subscribe()
    }

    async fn paired(&self, pinned: Pinned) -> Result<(), Unable> {
        self.ask(move |engine| engine.paired(pinned))
            .await
            .map_err(|_| Unable { code: "engine_gone" })?
            .map_err(|error| {
                tracing::warn!(code = error.code(), "a pairing was not kept: {error}");
                Unable { code: error.code() }
            })
    }

    fn reached(&self, device: DeviceId, address: SocketAddr) {
        self.tell(move |engine| {
            if let Err(error) = engine.reached_at(device, address) {
                tracing::warn!(code = error.code(), "an address was not kept: {error}");
            }
        });
    }

    fn refused(&self, from: SocketAddr, code: &'static str) {
        tracing::warn!(%from, code, "turned away at the crew's link");
    }
}

impl Engine {
    /// This tablet's identity: the one that is kept, or a new one from now on.
    fn identity(&mut self, new_key: [u8; 32]) -> Result<Identity, CrewStartError> {
        if let Some(kept) = self.store.store().link_identity()? {
            return Ok(Identity::kept(kept.key, kept.certificate));
        }
        let made = Identity::make(new_key)?;
        self.store.store_mut().keep_link_identity(&LinkIdentity {
            key: made.key(),
            certificate: made.certificate().to_vec(),
        })?;
        Ok(made)
    }

    /// What a screen asks, but for pairing, which takes time.
    pub(super) fn crew_command(&mut self, command: &CrewCommand) -> Result<Reply, CommandError> {
        match command {
            CrewCommand::ShowCode => {
                let mut random = [0; 8];
                getrandom::fill(&mut random)
                    .map_err(|error| CommandError::new("no_randomness", error.to_string()))?;
                self.control()?.show_code(random, CODE_LIVES).map_err(refused)?;
            }
            CrewCommand::HideCode => self.control()?.hide_code(),
            CrewCommand::Pair { .. } => return Err(refused(PairFault::LinkOff)),
            CrewCommand::Forget { device } => {
                self.store
                    .store_mut()
                    .forget_pin(*device)
                    .map_err(|error| from_store(&error))?;
                self.tell_pins().map_err(|error| from_store(&error))?;
                self.shown_changed();
            }
        }
        Ok(Reply::default())
    }

    fn control(&self) -> Result<CrewControl, CommandError> {
        self.signals
            .crew
            .borrow()
            .clone()
            .ok_or_else(|| refused(PairFault::LinkOff))
    }

    fn paired(&mut self, pinned: Pinned) -> Result<(), StoreError> {
        let pin = Pin {
            device: pinned.device,
            fingerprint: pinned.fingerprint.0,
            name: pinned.name,
            paired_at: self.wall(),
            addresses: pinned.addresses.iter().map(ToString::to_string).collect(),
        };
        self.store.store_mut().keep_pin(&pin)?;
        self.tell_pins()?;
        self.shown_changed();
        Ok(())
    }

    fn reached_at(&mut self, device: DeviceId, address: SocketAddr) -> Result<(), StoreError> {
        let first = |pins: &Pins| {
            pins.get(device)
                .and_then(|pinned| pinned.addresses.first().copied())
        };
        if first(&self.signals.pins.borrow()) == Some(address) {
            return Ok(());
        }
        self.store.store_mut().pin_reached(device, &address.to_string())?;
        self.tell_pins()
    }

    /// Tells the crew's link who is paired, as the disk has it.
    pub(super) fn tell_pins(&mut self) -> Result<(), StoreError> {
        self.pins = self.store.store().pins()?;
        let pins = self.pins.iter().map(|pin| Pinned {
            device: pin.device,
            fingerprint: Fingerprint(pin.fingerprint),
            name: pin.name.clone(),
            addresses: pin
                .addresses
                .iter()
                .filter_map(|address| address.parse().ok())
                .collect(),
        });
        self.signals.pins.send_replace(Pins::of(pins));
        Ok(())
    }

    /// Pairing, as the screens show it.
    pub(super) fn crew_link(&self, peers: &[PeerView]) -> CrewLinkView {
        let state = match &*self.signals.crew.borrow() {
            Some(control) => control.state().borrow().clone(),
            None => CrewState::default(),
        };
        let mut found: Vec<_> = state
            .found
            .values()
            .filter_map(|found| {
                Some(FoundView {
                    name: found.name.clone()?,
                    address: found.addresses.first()?.to_string(),
                })
            })
            .collect();
        found.sort_by(|a, b| (&a.name, &a.address).cmp(&(&b.name, &b.address)));
        let mut paired: Vec<_> = self.pins.iter().map(|pin| paired(pin, peers)).collect();
        paired.sort_by(|a, b| (!a.linked, &a.name).cmp(&(!b.linked, &b.name)));
        CrewLinkView {
            on: state.listening.is_some(),
            code: state.code.as_ref().map(|code| CodeView {
                digits: in_groups(code.digits()),
                tries_left: code.tries_left(),
                minutes: u32::try_from(CODE_LIVES.as_secs() / 60).unwrap_or(0),
                here: state.here.iter().map(ToString::to_string).collect(),
            }),
            found,
            paired,
        }
    }
}

/// Six digits as people read them out.
fn in_groups(digits: &str) -> String {
    match digits.split_at_checked(3) {
        Some((first, second)) => format!("{first} {second}"),
        None => digits.to_owned(),
    }
}

fn paired(pin: &Pin, peers: &[PeerView]) -> PairedView {
    let heard = peers.iter().find(|peer| peer.device == Some(pin.device));
    PairedView {
        device: pin.device,
        name: heard
            .map(|peer| peer.name.clone())
            .filter(|name| !name.is_empty())
            .unwrap_or_else(|| pin.name.clone()),
        person: heard.and_then(|peer| peer.person.clone()),
        linked: heard.is_some_and(|peer| peer.linked),
        last_heard: heard.and_then(|peer| peer.last_heard.clone()),
        paired_at: pin.paired_at.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_may_be_typed_without_its_port() {
        let with_port = |text: &str| read_address(text).map(|address| address.to_string());
        assert_eq!(with_port(" 192.168.43.1 ").as_deref(), Some("192.168.43.1:47800"));
        assert_eq!(with_port("10.0.0.7:4700").as_deref(), Some("10.0.0.7:4700"));
        assert_eq!(with_port("fd00::7").as_deref(), Some("[fd00::7]:47800"));
        assert_eq!(with_port("ana's tablet"), None);
    }

    #[test]
    fn a_code_is_read_out_in_two_groups() {
        assert_eq!(in_groups("012345"), "012 345");
    }
}
