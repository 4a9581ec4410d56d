//! The job journal: entries, the one door by which foreign changes come in, and the fold that says what
//! stands.
//!
//! An [`Entry`] is immutable. Nothing is edited; a correction is a new entry that names the old one.

mod body;
mod bundling;
mod bytes;
mod canonical;
mod change;
mod chunk;
mod column;
mod content;
mod entry;
mod figures;
mod files;
mod fold;
mod grants;
mod graph;
mod id;
#[expect(clippy::module_inception, reason = "the journal is what this folder is about")]
mod journal;
pub mod limits;
mod refusal;
mod register;
mod same;
mod state;
#[cfg(test)]
pub(crate) mod writer;

pub use body::*;
pub use entry::*;
pub use files::*;
pub use id::*;
pub use journal::*;
pub use refusal::Refusal;
pub use register::*;
pub use state::*;
