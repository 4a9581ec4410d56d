//! Is it right, and how does it behave: what the readings of a valve come to.
//!
//! | Question | Function |
//! |---|---|
//! | Is it left where it was asked to be? | [`as_left`] |
//! | How far does the outlet sag as the flow rises? | [`droop`] |
//! | Does it come back to the same pressure? | [`repeatability`] |
//! | Does it close tight, and stay? | [`lock_up`] |
//! | How far is it on line from where it was set statically? | [`static_difference`] |
//! | Do two gauges, or two people, agree? | [`pairs`] |
//! | Has the pressure at a point settled? | [`settled`] |
//!
//! All of it is computed from the folded journal and serializes with figures as digits and unit, ready for a screen and
//! for the record. Reasons are stable codes. Readings that were taken back do not count.

mod as_left;
mod droop;
mod lock_up;
mod pairs;
pub(in crate::findings) mod read;
mod repeatability;
mod settled;
mod static_difference;

pub use as_left::{AsLeft, AsLeftVerdict, as_left, judge_by_guard_band};
pub use droop::{Droop, DroopRow, droop};
pub use lock_up::{Creep, LockUp, lock_up};
pub use pairs::{PairVerdict, ReadingPair, pairs};
pub use repeatability::{Repeatability, repeatability};
pub use settled::{Settled, settled};
pub use static_difference::{StaticDifference, static_difference};

/// The point whose pressure a reducing valve's screw sets.
pub const OUTLET: &str = "outlet";

#[cfg(test)]
mod tests;
