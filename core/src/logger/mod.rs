//! A pressure logger's file: what its columns are, read into a series, and the part of it that a screen can draw.
//!
//! [`look`] says what a file holds and how it would be read; [`read`] reads it; [`outline`] makes of a window of it what
//! fits on so many pixels; [`pack`] and [`unpack`] keep the file itself, byte for byte, in less room.
//!
//! Nothing is guessed that can be two things: a date whose day and month could change places, or a column without a unit, is
//! refused with a code until somebody says which. Values stay in the unit of the file.

mod column;
mod error;
mod layout;
mod number;
mod outline;
mod pack;
mod read;
mod text;
mod time;

pub use column::Column;
pub use error::LoggerError;
pub use layout::{Look, look};
pub use outline::{Bar, Window, outline};
pub use pack::{MAX_PACKED, pack, unpack};
pub use read::{Reading, Remark, Series, read};

/// The most rows that are read: more than a day at 10 Hz.
pub const MAX_ROWS: usize = 1_000_000;
/// The largest file that is read.
pub const MAX_BYTES: usize = 160 * 1024 * 1024;

#[cfg(test)]
mod tests;
