//! What a tablet gives the crew's link beyond what every link is given.

use super::{Pinned, Pins};
use crate::journal::DeviceId;
use crate::link::{LinkHost, Unable};
use std::net::SocketAddr;
use tokio::sync::watch;

/// The owner of the pairings.
pub trait CrewHost: LinkHost {
    /// The tablets that are paired with this one, now and from now on. Links of others end.
    fn pins(&self) -> watch::Receiver<Pins>;

    /// Two tablets proved to each other that they know the same code. `Ok` once the pairing is durable and in
    /// [`CrewHost::pins`].
    fn paired(&self, pinned: Pinned) -> impl Future<Output = Result<(), Unable>> + Send;

    /// A paired tablet was reached at this address.
    fn reached(&self, device: DeviceId, address: SocketAddr);

    /// Somebody was turned away, with a stable code that says why. Nothing was said to them but that.
    fn refused(&self, from: SocketAddr, code: &'static str);
}
