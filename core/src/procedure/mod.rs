//! Procedures: what a crew does, in which order, what each step needs and leaves behind, and what stops it.
//!
//! A procedure is data (`core/procedures/*.toml`); this module reads it, refuses a broken file with its line and
//! reason, and judges a job against it from the folded journal alone. "After" is causal everywhere: an entry is
//! after another if its writer had seen it. No clock decides anything.
//!
//! An unmet need may be overridden with a reason, which reaches the record. A hard stop may not: the tool says
//! what to do, and the entry supervisor decides, outside the tool.

mod beside;
mod built_in;
mod check;
mod close;
mod code;
mod condition;
mod draft;
mod error;
mod file;
mod initials;
mod instead;
mod judge;
pub mod limits;
mod mark;
mod model;
mod parse;
mod parts;
mod scene;
mod shelf;
mod source;
mod step_table;
mod text;
mod walk;
mod watch;
mod words;
mod written;

pub use built_in::*;
pub use close::*;
pub use condition::*;
pub use error::*;
pub use initials::*;
pub use mark::*;
pub use model::*;
pub use parts::Parts;
pub use shelf::*;
pub use text::*;
pub use walk::*;
pub use watch::*;

use words::element_is;

#[cfg(test)]
pub(crate) mod tests;
