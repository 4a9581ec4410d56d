//! Why a valve does not do what it should: what may be behind it, and what to look at next.

use super::Said;
use crate::diagnosis::{Cause, Sign, Standing, Symptom};
use crate::journal::{AssetId, EntryId};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The fault-finder's screen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DiagnosisView {
    /// The valve.
    pub asset: AssetId,
    /// Whether the screw in hand sets the outlet. What the fault-finder knows is about valves that reduce; for another
    /// kind it is only a hint.
    pub reduces: bool,
    /// Everything that can be wrong.
    pub symptoms: Vec<SymptomView>,
    /// Which of them is looked into.
    pub symptom: Option<Symptom>,
    /// What may be behind it, the likeliest first.
    pub causes: Vec<CauseView>,
    /// Whether everything on the list is ruled out.
    pub nothing_fits: bool,
    /// What to look at next.
    pub next: Option<AskView>,
    /// What was seen that bears on it.
    pub seen: Vec<SignView>,
}

/// Something that can be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SymptomView {
    /// What.
    pub symptom: Symptom,
    /// Whether the record itself shows it.
    pub on_record: bool,
}

/// One thing that may be behind it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CauseView {
    /// What.
    pub cause: Cause,
    /// How it stands.
    pub standing: Standing,
    /// What was seen that speaks for it.
    pub speaks_for: Vec<SightingView>,
    /// What was seen that speaks against it.
    pub speaks_against: Vec<SightingView>,
}

/// A sign, and whether it is so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SightingView {
    /// Which.
    pub sign: Sign,
    /// Whether it is so.
    pub so: bool,
}

/// What to look at, and how the answer is recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AskView {
    /// What.
    pub sign: Sign,
    /// The name of the particular that holds the answer: `yes` or `no` in words.
    pub name: String,
    /// What the answer takes the place of.
    pub replaces: Vec<EntryId>,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SignView {
    /// What, and how it is answered otherwise.
    pub ask: AskView,
    /// Whether it is so.
    pub so: bool,
    /// Whether somebody was asked; else it follows from what is on record.
    pub answered: bool,
    /// Who said what it comes from, the newest.
    pub said: Option<Said>,
}
