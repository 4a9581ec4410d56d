//! The turnwise command as a library, so that tests can run what the command runs.

pub mod calc;
pub mod demo;
pub mod office;
pub mod print;
pub mod shell;
pub mod tablet;
pub mod verify;
pub mod vouch;
