//! What was done, what was not, and why.

use super::Said;
use crate::journal::Outcome;
use crate::procedure::Text;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One step of a procedure as it stands at the end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StepLine {
    /// The procedure.
    pub procedure: String,
    /// The phase's id.
    pub phase: String,
    /// The phase's name.
    pub phase_title: Text,
    /// The step's id.
    pub step: String,
    /// The step's name.
    pub title: Text,
    /// How it stands: a code such as `done`, `overridden`, `not_done`, `disagreed`, `refused`, `waiting`.
    pub status: String,
    /// Whether it was optional and passed over without a word.
    pub passed: bool,
    /// Whether it applies as things stand. False: it was marked, and then the crew went another way.
    pub applies: bool,
    /// The marks that stand.
    pub marks: Vec<MarkLine>,
    /// Hard stops that a mark went over, codes. Such a mark has no effect.
    pub went_over: Vec<String>,
}

/// One mark of a step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MarkLine {
    /// Who marked it, and when.
    pub said: Said,
    /// What became of it.
    pub outcome: Outcome,
    /// The answer in words, where the step is a question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answer: Option<Text>,
    /// What was unmet and overridden.
    pub overridden: Vec<UnmetLine>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Something unmet: its code, and words where the procedure has them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct UnmetLine {
    /// The code.
    pub code: String,
    /// In words. None: a code that the procedure does not know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub say: Option<Text>,
}

/// Something that is missing, open or left out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NotDoneLine {
    /// What kind, a code: `step_not_done` with a reason, or a code of what was still missing when the record was made.
    pub code: String,
    /// In words.
    pub say: Text,
    /// The step, if one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// Who left it out, and when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<Said>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// A caution that whoever relies on the setting must read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CautionLine {
    /// A code: `remark` of a question's answer, `zone_over_limit`, `low_flow_setting`, ...
    pub code: String,
    /// In words.
    pub say: Text,
    /// The question, where it comes from an answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// The entry that it comes from, where it comes from one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<Said>,
}
