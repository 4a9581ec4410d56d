//! Before the work: what is asked, what is known, what to look at.

use super::{OptionView, Said, SaidValue, Standing, Text};
use crate::findings::history::Compared;
use crate::journal::{AssetId, Gauge, ParticularValue, Request};
use crate::quantity::{Figure, Unit};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The pre-job screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PreJobView {
    /// Requests, the newest last, with those replaced.
    pub requests: Vec<SaidValue<Request>>,
    /// Particulars of the valve and its chamber, the usual ones always, in a fixed order.
    pub particulars: Vec<ParticularView>,
    /// Gauges on the job.
    pub gauges: Vec<Standing<Gauge>>,
    /// Earlier visits, and how this one compares.
    pub history: Compared,
    /// What to look at before going down.
    pub checks: Vec<Check>,
}

/// One particular.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ParticularView {
    /// Of which asset.
    pub asset: AssetId,
    /// Its name (a code).
    pub name: String,
    /// The units to offer; empty where words are wanted.
    pub units: Vec<Unit>,
    /// Its name in words, where the procedure has them.
    pub label: Option<Text>,
    /// The words to offer; empty where free words or a figure are wanted.
    pub choices: Vec<OptionView>,
    /// What stands.
    pub standing: Standing<ParticularValue>,
}

/// One check before the work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Check {
    /// Which (a code).
    pub code: String,
    /// How it comes out.
    pub verdict: Verdict,
    /// The figures it was made from, by name.
    pub figures: Vec<NamedFigure>,
    /// Where the rule comes from.
    pub source: RuleSource,
}

/// How a check comes out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Within the rule.
    Good,
    /// Within, but look closer.
    Look,
    /// Outside the rule.
    Outside,
    /// Not enough is known.
    NotKnown,
}

/// A figure with a name (a code).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct NamedFigure {
    /// Its name.
    pub name: String,
    /// The figure.
    pub figure: Figure,
}

/// Where a rule comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum RuleSource {
    /// Common practice, no source.
    CommonPractice,
    /// The valve's own manual or plate.
    Manual,
    /// A published standard or code.
    Standard,
}

/// An entry that was set aside, as the screens show it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SetAside {
    /// Why (a code).
    pub code: String,
    /// The change's hash, in hex.
    pub hash: String,
    /// Who, where it can be read.
    pub said: Option<Said>,
}
