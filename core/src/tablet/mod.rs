//! The tablet: commands in, views out, and what it gives the link.

mod admit;
mod board;
mod command;
mod compose;
mod crew;
mod engine;
mod handle;
mod host;
mod logger;
mod moment;
mod query;
mod records;
mod show;
pub mod view;

pub use admit::MAX_WORDS;
pub use command::*;
pub use compose::check_new_job;
pub use crew::{CODE_LIVES, CREW_PORT, CrewLink, CrewStartError};
pub use handle::{OpenError, Options, PROCEDURES, TabletHandle};
pub use host::may_see;
pub use moment::{Clocks, DeviceClocks, Moment};
pub use query::*;
