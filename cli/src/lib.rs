//! The turnwise command as a library, so that tests can run what the command runs.

pub mod calc;
pub mod shell;
