//! Before the work: what is asked, what is known, what to look at.

use super::{OptionView, Said, SaidValue, Standing, Text};
use crate::findings::history::Compared;
use crate::findings::pre_job::{Check, CheckLimit};
use crate::journal::{AssetId, Gauge, ParticularValue, Request};
use crate::quantity::Unit;
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
    /// What to look at before going down, the worst first.
    pub checks: Vec<Check>,
    /// The limits they are made by.
    pub limits: Vec<LimitView>,
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
    /// Whether only the checks before the work want it; else it is on the plate or comes up in the work.
    pub for_checks: bool,
    /// What stands.
    pub standing: Standing<ParticularValue>,
}

/// One limit of the checks, as it is in force and how to change it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LimitView {
    /// What is in force.
    pub limit: CheckLimit,
    /// The particular that changes it.
    pub particular: String,
    /// Of which asset: the chamber.
    pub asset: AssetId,
    /// The units to offer.
    pub units: Vec<Unit>,
    /// What an owner said.
    pub standing: Standing<ParticularValue>,
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
