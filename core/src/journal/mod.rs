//! The job journal: entries, the one door by which foreign changes come in, and the fold that says what
//! stands.
//!
//! An [`Entry`] is immutable. Nothing is edited; a correction is a new entry that names the old one.

mod body;
mod entry;
mod id;
mod register;
mod state;

pub use body::*;
pub use entry::*;
pub use id::*;
pub use register::*;
pub use state::*;
