//! What the moves of a screw taught, and the next one.
//!
//! | Question | Function |
//! |---|---|
//! | What does one turn do, how much is lost on reversal, what is odd? | [`learned`] |
//! | How far to turn now, and what will the gauge then read? | [`plan`] |
//!
//! From the journal come the moves of one screw and the readings of the point that it sets ([`Evidence`]); from
//! [`crate::setting`] what they mean. Only the causal order decides which reading belongs to which move:
//!
//! - a reading lies *between two moves* where it was made in knowledge of the first, and the second was made in
//!   knowledge of it;
//! - a move teaches by the last reading on either side of it, both on one gauge in one place, both with water shown
//!   to move, the later one not known to be still on its way;
//! - a reading drives the next move only where its writer knew of every move of every screw of the valve.

mod beside;
mod evidence;
mod learned;
mod plan;

pub use evidence::{Evidence, Unseen};
pub use learned::{DeadBandFound, Learned, LinePoint, MoveFound, RateFound, RatePoint, learned};
pub use plan::{Planned, Tolerated, plan, target, tolerance};

#[cfg(test)]
mod tests;
