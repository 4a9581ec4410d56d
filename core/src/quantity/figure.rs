//! A figure as it was read: its digits and its unit, never converted in the store.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A figure as somebody read it. The digits stay as they were typed.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
pub struct Figure {
    /// The digits as typed: a decimal number, or for turns a plain fraction such as `-1 1/8`.
    pub digits: String,
    /// The unit they were read in.
    pub unit: Unit,
}

/// The units that people read and type.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
pub enum Unit {
    /// Pound-force per square inch.
    #[serde(rename = "psi")]
    Psi,
}
