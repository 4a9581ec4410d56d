//! The link: how two devices bring each other what the other lacks, and say what they have made durable.
//!
//! ```text
//!   dial, ws        sockets: who connects, how a frame travels in a WebSocket
//!   secure          the same between tablets on a network that nobody vouches for: pairing, TLS, discovery
//!   driver, wire    runs one session over a carriage of frames and a host
//!   host            what a tablet or an office gives the link
//!   session         the state machine: no sockets, no clock, no store
//!   message         what is on the wire: CBOR, one message a frame
//! ```
//!
//! # One link, told once
//!
//! Both sides do the same. After the hello each says in one digest what it may offer; only where the digests
//! differ do lists of job digests follow, and only where those differ do clocks (`Want`). A `Want` is the
//! receiver's leave to be sent the job; what it lacks follows as bundles, at most [`WINDOW`] at a time until
//! the receiver has made them durable and said so (`Stored`). After that every change is sent as it is made.
//! A clock that is said on the wire is always one that the sayer has already committed.
//!
//! # Invariants
//!
//! - A session says `Stored` only after the host has said `Committed`.
//! - A change is not sent back to the peer that brought it.
//! - What a peer can make this side remember is bounded (each bound is a constant here, with its reason); one that exceeds it is dropped, and
//!   no other link notices.
//! - Nothing in `session` reads a clock or a socket.

mod clock;
mod close;
mod dial;
mod driver;
mod host;
mod limits;
mod message;
pub mod secure;
mod session;
mod wire;
pub mod ws;

pub use clock::{beyond, covers, merge};
pub use close::{CloseReason, Fault};
pub use dial::{DialState, Dialer};
pub use driver::{run, run_with};
pub use host::{IntakeError, LinkHost, Missing, PeerState, Unable};
pub use limits::*;
pub use message::*;
pub use session::{Effect, Input, Moment, Session};
