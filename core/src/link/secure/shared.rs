//! What everything that runs for the crew's link shares, and how one link is held.

use super::carriage::Ahead;
use super::frames::{FrameError, Frames};
use super::host::CrewHost;
use super::pins::{Pinned, Pins};
use super::state::CrewState;
use super::tls::Tls;
use crate::journal::DeviceId;
use crate::link::{CloseReason, run_with};
use std::collections::BTreeMap;
use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::sync::watch;
use tokio::time::Instant;
use tokio_rustls::rustls::{AlertDescription, CertificateError, Error};
use tokio_util::codec::Framed;

/// How long a handshake may take, from the connection to the first word inside.
pub const HANDSHAKE: Duration = Duration::from_secs(5);

pub(super) struct Shared<H> {
    pub(super) host: H,
    pub(super) tls: Tls,
    pub(super) pins: watch::Receiver<Pins>,
    pub(super) state: watch::Sender<CrewState>,
    /// The tablets that are linked, each with the number of its link.
    pub(super) links: watch::Sender<BTreeMap<DeviceId, u64>>,
    /// True while links are to be left.
    pub(super) stop: watch::Receiver<bool>,
    pub(super) began: Instant,
    numbers: AtomicU64,
}

impl<H: CrewHost> Shared<H> {
    pub(super) fn new(
        host: H,
        tls: Tls,
        state: watch::Sender<CrewState>,
        stop: watch::Receiver<bool>,
        began: Instant,
    ) -> Arc<Self> {
        Arc::new(Self {
            pins: host.pins(),
            host,
            tls,
            state,
            links: watch::Sender::new(BTreeMap::new()),
            stop,
            began,
            numbers: AtomicU64::new(0),
        })
    }

    pub(super) fn now_ms(&self) -> u64 {
        u64::try_from(self.began.elapsed().as_millis()).unwrap_or(u64::MAX)
    }

    pub(super) fn is_linked(&self, device: DeviceId) -> bool {
        self.links.borrow().contains_key(&device)
    }

    /// Holds a link with a tablet that has proved who it is, until it ends. An older one with the same tablet ends: where
    /// both are alive one is enough, and where a new one was needed the old one is dead.
    pub(super) async fn hold<S>(
        &self,
        pinned: &Pinned,
        first: Option<Vec<u8>>,
        carriage: Framed<S, Frames>,
    ) -> CloseReason
    where
        S: AsyncRead + AsyncWrite + Unpin + Send,
    {
        let held = Held {
            links: &self.links,
            device: pinned.device,
            number: self.numbers.fetch_add(1, Ordering::Relaxed),
        };
        self.links.send_modify(|links| {
            links.insert(held.device, held.number);
        });
        let (leave, leaving) = watch::channel(false);
        let link = run_with(
            self.host.clone(),
            Ahead::new(first, carriage),
            leaving,
            pinned.device,
        );
        tokio::pin!(link);
        tokio::select! {
            reason = &mut link => return reason,
            () = self.to_be_left(pinned, held.number) => {}
        }
        leave.send_replace(true);
        link.await
    }

    /// Returns when the link with this number is to end.
    async fn to_be_left(&self, pinned: &Pinned, number: u64) {
        let (mut stop, mut pins, mut links) = (self.stop.clone(), self.pins.clone(), self.links.subscribe());
        loop {
            let paired = pins.borrow_and_update().holds(pinned.device, pinned.fingerprint);
            let newest = links.borrow_and_update().get(&pinned.device) == Some(&number);
            if *stop.borrow_and_update() || !paired || !newest {
                return;
            }
            let changed = tokio::select! {
                changed = stop.changed() => changed,
                changed = pins.changed() => changed,
                changed = links.changed() => changed,
            };
            if changed.is_err() {
                return;
            }
        }
    }
}

/// A link in the list of links, until it is dropped.
struct Held<'a> {
    links: &'a watch::Sender<BTreeMap<DeviceId, u64>>,
    device: DeviceId,
    number: u64,
}

impl Drop for Held<'_> {
    fn drop(&mut self) {
        self.links.send_if_modified(|links| {
            let ours = links.get(&self.device) == Some(&self.number);
            if ours {
                links.remove(&self.device);
            }
            ours
        });
    }
}

/// The code of a handshake that failed, as the side that listens sees it.
pub(super) fn refusal_of(error: &io::Error) -> &'static str {
    match tls_error(error) {
        Some(Error::InvalidCertificate(CertificateError::ApplicationVerificationFailure)) => "unpaired",
        Some(Error::InvalidCertificate(CertificateError::BadSignature)) => "bad_signature",
        Some(Error::NoCertificatesPresented) => "no_certificate",
        Some(_) => "no_tls",
        None => "lost",
    }
}

/// The code of a handshake that failed, as the side that connects sees it.
pub(super) fn failure_of(error: &io::Error) -> &'static str {
    match tls_error(error) {
        Some(Error::InvalidCertificate(CertificateError::ApplicationVerificationFailure)) => "wrong_key",
        Some(Error::InvalidCertificate(CertificateError::BadSignature)) => "bad_signature",
        Some(Error::AlertReceived(
            AlertDescription::CertificateUnknown
            | AlertDescription::AccessDenied
            | AlertDescription::BadCertificate,
        )) => "unpaired_there",
        Some(_) => "no_tls",
        None => "lost",
    }
}

/// The same for the first frame, which is where the side that connects learns that it was refused.
pub(super) fn no_welcome(error: &FrameError) -> &'static str {
    match error {
        FrameError::Io(error) => failure_of(error),
        FrameError::TooLong(_) => error.code(),
    }
}

fn tls_error(error: &io::Error) -> Option<&Error> {
    error.get_ref().and_then(|inner| inner.downcast_ref::<Error>())
}
