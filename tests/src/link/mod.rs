//! Links under test: a device without a disk, a server that takes links, and a cable that can be cut.

mod cable;
mod device;
mod mate;
mod served;

pub use cable::Cable;
pub use device::{Device, Held};
pub use mate::{Mate, Recorder, random};
pub use served::Served;
