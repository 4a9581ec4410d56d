//! Tablet to tablet over a network that nobody vouches for: who is who, pairing by a code, and frames inside TLS 1.3.
//!
//! ```text
//!   net           what runs: one listener, one dialer for each paired tablet, discovery
//!   listen, reach who comes, and where to go
//!   pair          pairing over a connection
//!   discover      finding tablets and being found, without a server
//!   shared        what these share; how one link is held
//!   pairing       a code shown on one tablet and typed on the other: no sockets, no clock
//!   tls           version 1.3, both sides with a certificate, none trusted but a pinned one
//!   frames        frames on a stream of bytes, none longer than its cap
//!   pins          the certificates of the tablets that this one was paired with
//!   identity      a key and a certificate of this device's own making
//! ```
//!
//! # Invariants
//!
//! - Nothing of a job is said to anybody whose certificate is not pinned and who has not proved that it has the key.
//! - Who a peer is follows from its certificate; a hello that says otherwise ends the link.
//! - A tablet is pinned only after both sides have proved that they know the same code.
//! - What a stranger can make this side remember, and for how long, is bounded.

mod carriage;
mod discover;
mod door;
mod frames;
mod host;
mod identity;
mod listen;
mod net;
mod pair;
pub mod pairing;
mod pins;
mod reach;
mod shared;
mod state;
#[cfg(test)]
mod tests;
mod tls;

pub use door::{STRANGERS, STRANGERS_AN_ADDRESS};
pub use frames::{FrameError, Frames};
pub use host::CrewHost;
pub use identity::{Fingerprint, Identity, IdentityError};
pub use net::{CrewControl, CrewError, CrewNet, CrewOptions};
pub use pins::{Pinned, Pins};
pub use shared::HANDSHAKE;
pub use state::{CrewState, FOUND, Found, Mark};
pub use tls::TlsError;
