//! Networks of this machine's own, for tablets that share nothing but a cable: network namespaces joined by veth, with
//! no way out.

mod place;
mod tablet;
mod wire;

pub use place::{Cable, Place};
pub use tablet::Tablet;
pub use wire::Wire;
