//! One file a command.

pub mod app;
pub mod bench;
pub mod demo;
pub mod test;
pub mod tidy;
pub mod types;
