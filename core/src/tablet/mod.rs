//! The tablet: commands in, views out.

mod command;
mod query;
pub mod view;

pub use command::*;
pub use query::*;
