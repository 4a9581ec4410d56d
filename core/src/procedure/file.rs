//! A procedure file as it is written, before anything in it is checked against anything else.
//!
//! Elements, points, screws, speed controls, particulars, lines of the runaway card and phases may be taken from
//! a shared file by their id (`from = "common"`). Such a thing starts as it stands there; every key that the
//! procedure writes itself goes in the place of what stands there. Within a taken phase the same holds for each
//! step of the same id.

use super::model::{Branch, ElementClass, FlowSide, Owner, Side, Start, Tap};
use super::source::{Place, Source};
use super::step_table::StepTable;
use super::written::Written;
use super::{Condition, Fault, ProcedureError, Text};
use crate::journal::Position;
use crate::quantity::Dimension;
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// The file of one procedure.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProcedureFile {
    pub id: String,
    pub title: Spanned<WrittenText>,
    /// Ids that stand in for others in whatever is taken from a shared file.
    pub instead: Option<Spanned<BTreeMap<String, String>>>,
    #[serde(default)]
    pub element: Vec<Spanned<ElementTable>>,
    #[serde(default)]
    pub point: Vec<Spanned<PointTable>>,
    #[serde(default)]
    pub screw: Vec<Spanned<ScrewTable>>,
    #[serde(default)]
    pub speed_control: Vec<Spanned<SpeedControlTable>>,
    #[serde(default)]
    pub particular: Vec<Spanned<ParticularTable>>,
    #[serde(default)]
    pub runaway: Vec<Spanned<RunawayTable>>,
    pub phase: Vec<Spanned<PhaseTable>>,
    #[serde(default)]
    pub closes_with: Vec<Spanned<Written>>,
}

/// A file that several procedures share.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SharedFile {
    #[serde(default)]
    pub element: Vec<Spanned<ElementTable>>,
    #[serde(default)]
    pub point: Vec<Spanned<PointTable>>,
    #[serde(default)]
    pub screw: Vec<Spanned<ScrewTable>>,
    #[serde(default)]
    pub speed_control: Vec<Spanned<SpeedControlTable>>,
    #[serde(default)]
    pub particular: Vec<Spanned<ParticularTable>>,
    #[serde(default)]
    pub runaway: Vec<Spanned<RunawayTable>>,
    #[serde(default)]
    pub phase: Vec<Spanned<PhaseTable>>,
}

/// The shared file that something is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum From {
    /// What every job has.
    Common,
    /// What every valve that regulates by a pilot has.
    Regulating,
}

impl From {
    /// The file's name.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Common => "common",
            Self::Regulating => "regulating",
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WrittenText {
    en: Option<String>,
    es: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ElementTable {
    pub id: String,
    pub from: Option<From>,
    pub class: Option<ElementClass>,
    pub side: Option<Side>,
    pub branch: Option<Branch>,
    pub tap: Option<Tap>,
    pub of: Option<Owner>,
    pub normal: Option<Position>,
    pub agreed: Option<bool>,
    pub label: Option<Spanned<WrittenText>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PointTable {
    pub id: String,
    pub from: Option<From>,
    pub label: Option<Spanned<WrittenText>>,
    pub dimension: Option<DimensionWord>,
    pub note: Option<Spanned<WrittenText>>,
    pub zone: Option<bool>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ScrewTable {
    pub id: String,
    pub from: Option<From>,
    pub label: Option<Spanned<WrittenText>>,
    pub raises_clockwise: Option<bool>,
    pub sets: Option<String>,
    pub starts: Option<Start>,
    pub flow: Option<FlowSide>,
    pub target: Option<String>,
    pub spring: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SpeedControlTable {
    pub id: String,
    pub from: Option<From>,
    pub label: Option<Spanned<WrittenText>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ParticularTable {
    pub name: String,
    pub from: Option<From>,
    pub label: Option<Spanned<WrittenText>>,
    pub of: Option<Owner>,
    pub figure: Option<Vec<DimensionWord>>,
    pub choice: Option<Vec<WordTable>>,
    /// In a shared file: every procedure asks for it.
    pub always: Option<bool>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordTable {
    pub id: String,
    pub label: Spanned<WrittenText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RunawayTable {
    /// What a procedure takes the line by.
    pub id: Option<String>,
    pub from: Option<From>,
    pub say: Option<Spanned<WrittenText>>,
    pub element: Option<String>,
}

/// A phase: its own, or one of a shared file's.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PhaseTable {
    pub id: String,
    pub from: Option<From>,
    #[serde(default)]
    pub except: Vec<String>,
    pub title: Option<Spanned<WrittenText>>,
    pub when: Option<Vec<Spanned<Written>>>,
    pub needs: Option<Vec<Spanned<Written>>>,
    pub stops: Option<Vec<Spanned<Written>>>,
    #[serde(default)]
    pub step: Vec<Spanned<StepTable>>,
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum DimensionWord {
    #[default]
    Pressure,
    Rate,
    Flow,
    Turn,
    Length,
    Time,
    Threads,
    FlowCoefficient,
    Ratio,
}

impl DimensionWord {
    pub(super) fn dimension(self) -> Dimension {
        match self {
            Self::Pressure => Dimension::Pressure,
            Self::Rate => Dimension::Rate,
            Self::Flow => Dimension::Flow,
            Self::Turn => Dimension::Turn,
            Self::Length => Dimension::Length,
            Self::Time => Dimension::Time,
            Self::Threads => Dimension::Threads,
            Self::FlowCoefficient => Dimension::FlowCoefficient,
            Self::Ratio => Dimension::Ratio,
        }
    }
}

/// A text, both languages of it.
pub(super) fn text(
    source: Source<'_>,
    written: Spanned<WrittenText>,
    of: &str,
) -> Result<Text, ProcedureError> {
    let place = source.at(written.span().start);
    let WrittenText { en, es } = written.into_inner();
    let there = |words: Option<String>, language| {
        words.filter(|words| !words.trim().is_empty()).ok_or_else(|| {
            place.error(Fault::MissingText {
                language,
                of: of.to_owned(),
            })
        })
    };
    Ok(Text {
        en: there(en, "English")?,
        es: there(es, "Spanish")?,
    })
}

/// A condition and where it stands.
pub(super) type At<'a> = (Place<'a>, Condition);

/// Conditions, each with where it stands.
pub(super) fn conditions(
    source: Source<'_>,
    written: Vec<Spanned<Written>>,
) -> Result<Vec<At<'_>>, ProcedureError> {
    written
        .into_iter()
        .map(|written| {
            let place = source.at(written.span().start);
            let condition = written.into_inner().condition();
            condition
                .map(|condition| (place, condition))
                .map_err(|reason| place.error(Fault::Condition(reason)))
        })
        .collect()
}
