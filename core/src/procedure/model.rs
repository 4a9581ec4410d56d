//! A procedure as its file says it, checked.

use super::{Condition, OwnerMark, Text};
use crate::journal::{AssetId, Duty, JobState, Position, particular};
use crate::quantity::Dimension;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One procedure, checked: whatever it refers to is there.
#[derive(Clone, Debug, PartialEq)]
pub struct Procedure {
    /// Its id: what a step mark and a valve on a job name.
    pub id: String,
    /// SHA-256 of its file followed by the file of common parts, in hex: which text it is, whatever it is called.
    pub digest: String,
    /// Where it is an owner's: its file.
    pub owner: Option<OwnerMark>,
    /// Its name.
    pub title: Text,
    /// The elements of the line-up, in the order of the water.
    pub elements: Vec<Element>,
    /// The points one can read, the main one first.
    pub points: Vec<Point>,
    /// The adjusting screws.
    pub screws: Vec<Screw>,
    /// The speed controls.
    pub speed_controls: Vec<SpeedControl>,
    /// The particulars its steps ask for.
    pub particulars: Vec<ParticularAsked>,
    /// If the outlet climbs: what to shut, in order.
    pub runaway: Vec<RunawayLine>,
    /// The phases, in order.
    pub phases: Vec<Phase>,
    /// What must hold when the job is closed, beside the steps.
    pub closes_with: Vec<Condition>,
}

/// One cock, block valve, vent, bypass or outlet of the line-up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct Element {
    /// Its id.
    pub id: String,
    /// What kind of thing it is.
    pub class: ElementClass,
    /// Where it is drawn.
    pub side: Side,
    /// Which of the station's pipes it stands in.
    pub branch: Branch,
    /// Of the control circuit: what it joins to the pilot, or lets the air out of.
    pub tap: Option<Tap>,
    /// Whose it is.
    pub of: Owner,
    /// How it stands when the work is done and the valve is in service (or, shut down, out of it).
    pub normal: Position,
    /// Whether another position than the normal one may be agreed on at the end: gauge cocks.
    pub agreed: bool,
    /// Its name.
    pub label: Text,
}

impl Element {
    /// Whether air leaves the control circuit there.
    pub fn lets_air_out(&self) -> bool {
        self.class == ElementClass::Vent && self.side == Side::Control
    }
}

/// What kind of thing an element is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ElementClass {
    /// A large isolation valve.
    BlockValve,
    /// The isolation valve of the bypass.
    Bypass,
    /// A small ball valve of the control circuit.
    Cock,
    /// A small ball valve under a gauge.
    GaugeCock,
    /// An opening to the atmosphere: for air, or to let pressure off.
    Vent,
    /// A hydrant, blow-off or tap used to move water.
    Hydrant,
}

/// Where an element is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Before the main valve.
    Upstream,
    /// After the main valve.
    Downstream,
    /// On the control circuit or the cover.
    Control,
    /// Around the main valve.
    Around,
    /// Out in the zone.
    Zone,
}

/// Where the control circuit is joined to the valve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Tap {
    /// Before the main valve: what feeds the pilot.
    Inlet,
    /// At the control chamber.
    Cover,
    /// Behind the main valve: what the pilot lets through goes there.
    Outlet,
    /// At the line that only feels a pressure.
    Sensing,
}

/// Which of a station's pipes an element stands in. They part before the valves and meet again behind them,
/// but for the relief branch, which ends at an outfall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Branch {
    /// The pipe of the valve itself: the only one, unless valves stand side by side.
    #[default]
    Main,
    /// The pipe of the small valve for low flow.
    LowFlow,
    /// The pipe of the large valve beside it.
    Large,
    /// The pipe of the relief valve, off the zone's side, to its outfall.
    Relief,
    /// The pipe around the valves.
    Bypass,
}

/// Whose an element or a particular is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Owner {
    /// The valve's own.
    #[default]
    Valve,
    /// The chamber's, shared by its valves.
    Station,
}

impl Owner {
    /// The asset that its entries name. Until the job's opening has come, the valve's own.
    pub fn asset(self, state: &JobState, valve: AssetId) -> AssetId {
        match self {
            Self::Valve => valve,
            Self::Station => state.opening().map_or(valve, |opening| opening.station.id),
        }
    }
}

/// A point where pressure is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Point {
    /// Its id.
    pub id: String,
    /// Its name.
    pub label: Text,
    /// What is read there.
    pub dimension: Dimension,
    /// What is easily got wrong about it.
    pub note: Option<Text>,
    /// Whether it shows what the zone sees, so that the zone's limit counts there.
    pub zone: bool,
}

/// An adjusting screw.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct Screw {
    /// Its id.
    pub id: String,
    /// Its name.
    pub label: Text,
    /// Whether clockwise raises the setting. Nearly always (common practice, no source); what was seen on the
    /// valve itself is a particular and goes before this.
    pub raises_clockwise: bool,
    /// The point whose pressure it sets: what is read after a turn. In every kind a higher setting means a higher
    /// pressure at this point.
    pub sets: String,
    /// Where it stands before the first pressure comes, so that a wrong setting does no harm.
    pub starts: Start,
    /// Where the water must be seen to move for the setting to show.
    pub flow: FlowSide,
    /// The particular that tells the pressure to set it to. None: the request does.
    pub target: Option<String>,
    /// What stands before the names of its spring's particulars (`spring_low`, `spring_high`, `spring_rate`): nothing
    /// for the first screw of a valve.
    pub spring: String,
}

/// Where a screw stands before the first pressure comes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Start {
    /// Backed out, below the target: the first pressure that the zone sees is a low one.
    #[default]
    Out,
    /// Turned in, above anything it may meet: the valve stays shut until it is set.
    In,
}

/// Where flow is proven for a setting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum FlowSide {
    /// Drawn downstream; the outlet answering a downward turn proves it too.
    #[default]
    Downstream,
    /// Drawn through the valve so hard that the inlet comes down to the setting; the outlet proves nothing.
    Upstream,
    /// Seen at the outfall.
    Outfall,
}

/// A needle valve that slows a stroke.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct SpeedControl {
    /// Its id.
    pub id: String,
    /// Its name.
    pub label: Text,
}

/// A particular that steps of this procedure ask for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParticularAsked {
    /// Its name: one of [`particular`]'s, or the procedure's own.
    pub name: String,
    /// Its name in words.
    pub label: Text,
    /// Whose it is.
    pub of: Owner,
    /// What it is told as.
    pub told_as: ToldAs,
}

/// What a particular is told as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ToldAs {
    /// A figure of one of these dimensions.
    Figure(Vec<Dimension>),
    /// One of these words.
    Choice(Vec<Word>),
    /// Free words.
    Words,
}

/// A word that a particular can be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct Word {
    /// As it is stored.
    pub id: String,
    /// In words.
    pub label: Text,
}

/// One line of the runaway card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct RunawayLine {
    /// What to do.
    pub say: Text,
    /// The element it is about, if one.
    pub element: Option<String>,
}

/// A part of the job, with its steps in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// Its id; every step's id begins with it and a point.
    pub id: String,
    /// Its name.
    pub title: Text,
    /// Its steps.
    pub steps: Vec<Step>,
}

/// One step: one thing to do.
#[derive(Clone, Debug, PartialEq)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is said of a step by itself, and any of them go together"
)]
pub struct Step {
    /// Its id.
    pub id: String,
    /// Its name, in a few words.
    pub title: Text,
    /// What to do, in one sentence.
    pub say: Text,
    /// Why, in one sentence.
    pub why: Text,
    /// What could hurt.
    pub caution: Option<Text>,
    /// Whose step it is. None: either hand.
    pub who: Option<Duty>,
    /// Whose it is: a step of the chamber is done once for all the valves of a job, marked at any of them.
    pub of: Owner,
    /// When it applies: all of these hold (its phase's own among them). Empty: always.
    pub when: Vec<Condition>,
    /// What it needs first (its phase's own among them).
    pub needs: Vec<Condition>,
    /// What it leaves behind.
    pub evidence: Vec<Condition>,
    /// What stops it, with no way around (its phase's own among them).
    pub stops: Vec<Condition>,
    /// Whether it is a hold point: later steps need it.
    pub hold: bool,
    /// Whether it may be left out without a word.
    pub optional: bool,
    /// Whether its evidence alone settles it: nobody needs to mark it. What it leaves behind lasts.
    pub by_evidence: bool,
    /// Whether it comes after the signature, so that nobody waits for it before signing.
    pub after_signing: bool,
    /// Whether it tightens what holds the screw: a pressure that was read before it may not be the one that is left.
    pub locks_screw: bool,
    /// Whether it lets the air out of the control circuit where no vent of the line-up says so.
    pub bleeds: bool,
    /// The screen where it is done, if not on its own (a code).
    pub screen: Option<String>,
    /// The answers, where it is a question. Else empty.
    pub options: Vec<Choice>,
}

/// One answer to a question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct Choice {
    /// Its id.
    pub id: String,
    /// In words.
    pub label: Text,
    /// What the record and every screen of the valve must say when this was chosen: a limit on what the
    /// setting is worth.
    pub remark: Option<Text>,
}

impl Screw {
    /// The name of one of its spring's particulars: [`particular::SPRING_LOW`], `SPRING_HIGH` or `SPRING_RATE`.
    pub fn spring_particular(&self, name: &str) -> String {
        format!("{}{name}", self.spring)
    }
}

impl Procedure {
    /// Every step, in order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.phases.iter().flat_map(|phase| &phase.steps)
    }

    /// A step by its id.
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps().find(|step| step.id == id)
    }

    /// An element by its id.
    pub fn element(&self, id: &str) -> Option<&Element> {
        self.elements.iter().find(|element| element.id == id)
    }

    /// A point by its id.
    pub fn point(&self, id: &str) -> Option<&Point> {
        self.points.iter().find(|point| point.id == id)
    }

    /// A screw by its id.
    pub fn screw(&self, id: &str) -> Option<&Screw> {
        self.screws.iter().find(|screw| screw.id == id)
    }

    /// A speed control by its id.
    pub fn speed_control(&self, id: &str) -> Option<&SpeedControl> {
        self.speed_controls.iter().find(|control| control.id == id)
    }

    /// A particular by its name.
    pub fn particular(&self, name: &str) -> Option<&ParticularAsked> {
        self.particulars.iter().find(|asked| asked.name == name)
    }

    /// Whose a particular is: as the procedure says, else the chamber's for what is known to be the chamber's,
    /// else the valve's.
    pub fn particular_owner(&self, name: &str) -> Owner {
        match self.particular(name) {
            Some(asked) => asked.of,
            None if name == particular::PERMIT_SPACE => Owner::Station,
            None => Owner::Valve,
        }
    }

    /// The runaway card: if the outlet climbs, what to shut, in order.
    pub fn runaway(&self) -> &[RunawayLine] {
        &self.runaway
    }
}
