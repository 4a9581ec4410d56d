//! What the readings come to: how sure each is, whether it has settled, and whether the valve is right.

use super::{Said, Text};
use crate::findings::verdict::{
    AsLeft, Droop, LockUp, ReadingPair, Repeatability, Settled, StaticDifference,
};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How sure the newest reading of a point is, and whether the pressure there has settled.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PointSure {
    /// The point's id.
    pub point: String,
    /// The reading's expanded uncertainty (k = 2), in its own unit. None: it is no pressure.
    pub uncertainty: Option<Figure>,
    /// Whether a gauge had to be assumed.
    pub gauge_assumed: bool,
    /// What is wrong with the gauge or not known of it, as codes.
    pub problems: Vec<String>,
    /// Whether the pressure there has settled since the last turn.
    pub settled: Option<Settled>,
}

/// What a valve's readings come to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct VerdictsView {
    /// The name of the point whose pressure the screw in hand sets.
    pub point_name: Text,
    /// Is it left where it was asked to be?
    pub as_left: AsLeft,
    /// Who read it.
    pub as_left_said: Option<Said>,
    /// How far does the outlet sag as the flow rises?
    pub droop: Option<Droop>,
    /// Does it come back to the same pressure?
    pub repeatability: Option<Repeatability>,
    /// Does it close tight, and stay?
    pub lock_up: Option<LockUp>,
    /// Where lock-up was read.
    pub lock_up_name: Option<Text>,
    /// How far is it on line from where it was set statically?
    pub static_difference: Option<StaticDifference>,
    /// Two gauges or two people on the same water, the newest first.
    pub pairs: Vec<PairView>,
}

/// Two readings of one thing, close together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PairView {
    /// The point's name.
    pub point_name: Text,
    /// How they compare.
    pub pair: ReadingPair,
    /// Who read the first.
    pub first: Said,
    /// Who read the second.
    pub second: Said,
}
