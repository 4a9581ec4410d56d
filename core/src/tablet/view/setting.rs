//! The screw: where it is, where it must go, which way, how much, and what that will do. And the readings.

use super::{PointSure, ReadingView, Said, SaidValue, Subject, Text, Turn, VerdictsView};
use crate::findings::history::Compared;
use crate::findings::rate::{DeadBandFound, RateFound, Unseen};
use crate::findings::verdict::Settled;
use crate::journal::{AssetId, AtmosphereTest, EntryId, FlowEvidence, ScrewMove};
use crate::quantity::{Figure, Unit};
use crate::setting::LeaveIt;
use crate::setting::learn::Answered;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The setting screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SettingView {
    /// The valve.
    pub asset: AssetId,
    /// Which screw.
    pub screw: String,
    /// Its name.
    pub screw_name: Text,
    /// What is asked, in its own unit.
    pub target: Option<Figure>,
    /// The request that stands: what a move and an as-left reading name.
    pub request: Option<EntryId>,
    /// How far off it may be, in the target's unit, and whether the request says so or the default rule.
    pub tolerance: Option<Tolerance>,
    /// The newest reading of the outlet.
    pub outlet: Option<ReadingView>,
    /// The newest reading of the inlet.
    pub inlet: Option<ReadingView>,
    /// What shows that water moves now.
    pub flow: Option<SaidValue<FlowEvidence>>,
    /// Whether the pressure has settled since the last turn. None: it has not been read since.
    pub settled: Option<Settled>,
    /// The next move.
    pub plan: Option<Plan>,
    /// Why there is no plan (codes): `no_request`, `no_rate`, `no_reading`, `reading_older_than_turn`,
    /// `request_disagreed`, `still_settling`, `prove_flow_again`, ...
    pub no_plan: Vec<String>,
    /// What to look out for (codes): `no_flow_evidence`, `out_of_range`, `near_end`, `wrong_way`, `no_answer`, ...
    pub warnings: Vec<String>,
    /// The rate as far as it is known, with its 95 % interval.
    pub rate: Option<RateFound>,
    /// How many moves taught something of it.
    pub taught: u32,
    /// What is lost on reversal, with its 95 % interval. None: the screw was never turned back.
    pub dead_band: Option<DeadBandFound>,
    /// Every move so far, oldest first.
    pub moves: Vec<MoveView>,
    /// All moves together.
    pub total: Option<Turn>,
    /// The way back to as found. None: it stands there.
    pub back: Option<Turn>,
    /// Reading against turns since as found, for the plot.
    pub plot: Vec<PlotPoint>,
    /// What the point should read with the screw elsewhere, from where it stands now.
    pub line: Vec<PlotLine>,
    /// The points one can read, the outlet first.
    pub points: Vec<PointView>,
    /// The unit to offer first.
    pub unit: Unit,
    /// Ways to turn that a screen offers in fractions of a turn.
    pub common_turns: Vec<String>,
    /// The screws one can have in hand, where there are several.
    pub screws: Vec<ScrewChoice>,
    /// What earlier visits say, and how this one compares.
    pub history: Compared,
}

/// A screw that can be taken in hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ScrewChoice {
    /// Its id: what a query names.
    pub screw: String,
    /// Its name.
    pub name: Text,
    /// The point that it sets.
    pub sets: Text,
}

/// How far off a set point may be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Tolerance {
    /// Either way.
    pub figure: Figure,
    /// Whether the request names it; else it is the default rule.
    pub from_request: bool,
}

/// The next move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Plan {
    /// What to turn now.
    pub turn: Turn,
    /// What the whole way is, where it takes several moves.
    pub whole: Turn,
    /// How many moves the whole way takes.
    pub moves: u32,
    /// What the gauge should then read, in the reading's unit.
    pub expected: Figure,
    /// The lower end of what it should then read: 95 of 100 readings lie between the ends.
    pub expected_low: Figure,
    /// The upper end.
    pub expected_high: Figure,
    /// How likely the pressure is then within tolerance, in percent.
    pub chance: u32,
    /// Whether the turn stops short on purpose, because too little is known yet.
    pub short: bool,
    /// The reading it starts from.
    pub from: EntryId,
    /// The rate it uses.
    pub rate: Figure,
    /// Where the rate comes from (a code: `printed` or `learned`).
    pub rate_from: String,
    /// Whether the screw is better left.
    pub leave_it: bool,
    /// Why, if so.
    pub leave: Option<LeaveIt>,
}

/// One move and what followed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct MoveView {
    /// Who and when.
    pub said: Said,
    /// The move as it was said.
    pub body: ScrewMove,
    /// The same in every way people say it.
    pub turn: Turn,
    /// The first outlet reading made in knowledge of it, before any later move.
    pub after: Option<ReadingView>,
    /// What the water said to it.
    pub answered: Answered,
    /// Why it taught nothing, if so.
    pub unseen: Option<Unseen>,
}

/// One point of the plot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PlotPoint {
    /// Turns since as found, clockwise positive.
    pub turns: f64,
    /// The outlet, in the screen's unit.
    pub pressure: f64,
    /// Whether water moved.
    pub flowing: bool,
}

/// One point of the learned line in the plot, with its 95 % band.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PlotLine {
    /// Turns since as found, clockwise positive.
    pub turns: f64,
    /// The mean, in the screen's unit.
    pub pressure: f64,
    /// The lower end of the band.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// A point one can read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PointView {
    /// Its id.
    pub point: String,
    /// Its name.
    pub name: Text,
    /// A remark, where a point is easily taken for another.
    pub note: Option<Text>,
    /// The unit of the last reading there, or the job's.
    pub unit: Unit,
    /// The gauge last used there.
    pub gauge: Option<String>,
    /// Its newest reading.
    pub newest: Option<ReadingView>,
}

/// The readings screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ReadingsView {
    /// The points one can read.
    pub points: Vec<PointView>,
    /// How sure the newest reading of each point is that has one.
    pub sure: Vec<PointSure>,
    /// What the readings come to.
    pub verdicts: VerdictsView,
    /// The request that stands, for an as-left reading.
    pub request: Option<EntryId>,
    /// Gauge serials on the job.
    pub gauges: Vec<String>,
    /// What shows that water moves now.
    pub flow: Option<SaidValue<FlowEvidence>>,
    /// Tests of the air, newest first.
    pub air: Vec<SaidValue<AtmosphereTest>>,
    /// Everything that happened, newest first.
    pub timeline: Vec<TimelineItem>,
    /// How many there are in all.
    pub total: u32,
}

/// One entry in the story of the job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct TimelineItem {
    /// Who and when.
    pub said: Said,
    /// What kind of entry.
    pub kind: String,
    /// What it is about, where there is a word for it.
    pub subject: Option<Subject>,
    /// What it says: a figure, words, a position, an outcome.
    pub value: TimelineValue,
    /// Whether it was taken back.
    pub withdrawn: bool,
    /// Why it has no effect (a code), if so.
    pub no_effect: Option<String>,
    /// Whether it can be taken back from here.
    pub can_withdraw: bool,
}

/// What an entry says, ready to print.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum TimelineValue {
    /// Nothing more to say.
    None,
    /// A figure as read.
    Figure(Figure),
    /// Words as typed.
    Words(String),
    /// A code of the catalogue.
    Code(String),
}
