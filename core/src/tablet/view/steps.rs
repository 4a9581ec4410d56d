//! The procedure, one step at a time.

use super::{Standing, Text};
use crate::journal::{Duty, Outcome};
pub use crate::procedure::{OwnerMark, ProcedureName};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The steps screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StepsView {
    /// The procedure shown.
    pub procedure: String,
    /// Its name.
    pub title: Text,
    /// Where it is an owner's and not the product's.
    pub owner: Option<OwnerMark>,
    /// The procedures one can show for this valve.
    pub procedures: Vec<ProcedureName>,
    /// The whole, in order.
    pub phases: Vec<PhaseView>,
    /// The step in hand: the first in order that is not settled.
    pub in_hand: Option<String>,
    /// The step shown.
    pub step: Option<StepView>,
    /// Steps settled.
    pub done: u32,
    /// Steps that apply.
    pub total: u32,
}

/// One phase.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PhaseView {
    /// Its id.
    pub id: String,
    /// Its name.
    pub title: Text,
    /// Its steps that apply.
    pub steps: Vec<StepLine>,
}

/// One step in the whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StepLine {
    /// Its id.
    pub id: String,
    /// Its name.
    pub title: Text,
    /// How it stands.
    pub status: StepStatus,
    /// Whether it is a hold point.
    pub hold: bool,
    /// Whether it may be left out without a word.
    pub optional: bool,
}

/// How a step stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum StepStatus {
    /// Done, all needs met.
    Done,
    /// Done with an override that gives its reason.
    Overridden,
    /// Left out, with a reason.
    NotDone,
    /// Marked differently by two people.
    Disagreed,
    /// The next one, or any later one that could be done now.
    Ready,
    /// Waits for what it needs.
    Waiting,
    /// Stopped: there is no override.
    Stopped,
    /// Marked over a hard stop, on another device: the mark has no effect.
    Refused,
}

/// The step shown.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct StepView {
    /// Its id.
    pub id: String,
    /// Its phase.
    pub phase: String,
    /// Its name.
    pub title: Text,
    /// What to do.
    pub say: Text,
    /// Why.
    pub why: Text,
    /// What could hurt.
    pub caution: Option<Text>,
    /// Whose step it is. None: either hand.
    pub who: Option<Duty>,
    /// A hold point: nobody goes on before it holds.
    pub hold: bool,
    /// May be left out without a word.
    pub optional: bool,
    /// The screen where it is done, if not here (a code).
    pub screen: Option<String>,
    /// What it needs first.
    pub needs: Vec<ConditionView>,
    /// What it leaves behind.
    pub evidence: Vec<ConditionView>,
    /// Hard stops of this step.
    pub stops: Vec<StopView>,
    /// The answers, where it is a question.
    pub options: Vec<OptionView>,
    /// How it stands.
    pub status: StepStatus,
    /// What to warn the person using this tablet of before they take it (a code).
    pub warning: Option<String>,
    /// The stops that a mark went over, in words: it has no effect.
    pub went_over: Vec<Text>,
    /// What was unmet when it was marked, and the mark does not say so.
    pub unsaid: Vec<Text>,
    /// What was marked.
    pub mark: Standing<Outcome>,
    /// The reasons given, newest last.
    pub reasons: Vec<String>,
    /// Its neighbours in order, for stepping.
    pub previous: Option<String>,
    /// The one after.
    pub next: Option<String>,
}

/// A need or a piece of evidence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ConditionView {
    /// Its code, as an override names it.
    pub code: String,
    /// In words.
    pub say: Text,
    /// Whether it is met.
    pub met: bool,
    /// The screen where it is met (a code), if one.
    pub screen: Option<String>,
}

/// A hard stop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct StopView {
    /// Its code.
    pub code: String,
    /// What to do when it is in force.
    pub say: Text,
    /// Whether it is.
    pub in_force: bool,
}

/// One answer to a question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OptionView {
    /// Its id.
    pub id: String,
    /// In words.
    pub say: Text,
}
