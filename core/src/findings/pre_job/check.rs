//! One check and how it comes out.

use super::{CheckCode, CheckLimit, CheckNote, Citation, FigureName};
use crate::procedure::Text;
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One check before the work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Check {
    /// Which.
    pub code: CheckCode,
    /// Which one of several: a gauge by its serial, a screw by its name.
    pub about: Option<Text>,
    /// How it comes out.
    pub verdict: Verdict,
    /// The figures it was made from, then what was reckoned from them.
    pub figures: Vec<NamedFigure>,
    /// What would have to be known. Empty unless the verdict is [`Verdict::NotKnown`].
    pub not_known: Vec<NotKnown>,
    /// The limits in force.
    pub limits: Vec<CheckLimit>,
    /// Where the rule comes from.
    pub rule: CheckRule,
    /// What to know when reading it.
    pub notes: Vec<CheckNote>,
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

/// A figure with a name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct NamedFigure {
    /// Its name.
    pub name: FigureName,
    /// The figure.
    pub figure: Figure,
    /// Whether it was reckoned; else it stands here as it was told or read.
    pub reckoned: bool,
}

/// Something a check could not do without.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct NotKnown {
    /// The particular's name; `request`, `tolerance`, `zone_limit` or `gauge` for what is none.
    pub name: String,
    /// Why it is not known.
    pub because: NotKnownBecause,
}

/// Why something is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum NotKnownBecause {
    /// Nobody said, or it was taken back.
    NotSaid,
    /// Two say different things.
    Disagreed,
    /// What stands is no figure to reckon with.
    NoFigure,
}

/// Where a rule comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CheckRule {
    /// What weight it has.
    pub kind: RuleKind,
    /// Where it is written, if it is.
    pub cites: Option<Citation>,
}

/// What weight a rule has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum RuleKind {
    /// A code that the law makes binding where it is adopted.
    Code,
    /// A published standard.
    Standard,
    /// Common practice, no source.
    CommonPractice,
    /// The valve's own manual or plate.
    Manual,
}

impl CheckRule {
    /// Common practice, no source.
    pub(super) const PRACTICE: Self = Self {
        kind: RuleKind::CommonPractice,
        cites: None,
    };
    /// The valve's own manual.
    pub(super) const MANUAL: Self = Self {
        kind: RuleKind::Manual,
        cites: None,
    };

    /// A published standard.
    pub(super) const fn standard(cites: Citation) -> Self {
        Self {
            kind: RuleKind::Standard,
            cites: Some(cites),
        }
    }

    /// A code.
    pub(super) const fn code(cites: Citation) -> Self {
        Self {
            kind: RuleKind::Code,
            cites: Some(cites),
        }
    }
}
