//! A procedure file as it is written, before anything in it is checked against anything else.

use super::condition::Condition;
use super::model::{
    Element, ElementClass, Owner, ParticularAsked, Point, RunawayLine, Screw, Side, SpeedControl, ToldAs,
    Word,
};
use super::step_table::StepTable;
use super::written::Written;
use super::{Fault, ProcedureError, Text};
use crate::journal::Position;
use crate::quantity::Dimension;
use serde::Deserialize;
use toml::Spanned;

/// One of the two files, for errors.
#[derive(Clone, Copy)]
pub(super) struct Source<'a> {
    pub name: &'static str,
    pub text: &'a str,
}

impl Source<'_> {
    /// The fault at a place of the file.
    pub(super) fn error(self, at: usize, fault: Fault) -> ProcedureError {
        let at = self.text.floor_char_boundary(at);
        let line = 1 + self.text[..at].matches('\n').count();
        ProcedureError {
            file: self.name,
            line,
            fault,
        }
    }

    /// The file, if it is one of ours by its grammar.
    pub(super) fn read<T: for<'de> Deserialize<'de>>(self) -> Result<T, ProcedureError> {
        if self.text.len() > super::Procedure::MAX_BYTES {
            return Err(self.error(0, Fault::TooLarge));
        }
        toml::from_str(self.text).map_err(|error| {
            let at = error.span().map_or(0, |span| span.start);
            self.error(at, Fault::Syntax(error.message().to_owned()))
        })
    }
}

/// The file of one procedure.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProcedureFile {
    pub id: String,
    pub title: Spanned<WrittenText>,
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

/// The file of what all procedures have in common.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CommonFile {
    #[serde(default)]
    pub particular: Vec<Spanned<ParticularTable>>,
    #[serde(default)]
    pub phase: Vec<Spanned<PhaseTable>>,
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
    id: String,
    class: ElementClass,
    side: Side,
    #[serde(default)]
    of: Owner,
    normal: Position,
    #[serde(default)]
    agreed: bool,
    label: Spanned<WrittenText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PointTable {
    id: String,
    label: Spanned<WrittenText>,
    #[serde(default)]
    dimension: DimensionWord,
    note: Option<Spanned<WrittenText>>,
    #[serde(default)]
    zone: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ScrewTable {
    id: String,
    label: Spanned<WrittenText>,
    raises_clockwise: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SpeedControlTable {
    id: String,
    label: Spanned<WrittenText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ParticularTable {
    name: String,
    label: Spanned<WrittenText>,
    #[serde(default)]
    of: Owner,
    figure: Option<Vec<DimensionWord>>,
    choice: Option<Vec<WordTable>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WordTable {
    id: String,
    label: Spanned<WrittenText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RunawayTable {
    say: Spanned<WrittenText>,
    element: Option<String>,
}

/// A phase: its own, or one of the common file's.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PhaseTable {
    pub id: String,
    pub from: Option<From>,
    #[serde(default)]
    pub except: Vec<String>,
    pub title: Option<Spanned<WrittenText>>,
    #[serde(default)]
    pub when: Vec<Spanned<Written>>,
    #[serde(default)]
    pub needs: Vec<Spanned<Written>>,
    #[serde(default)]
    pub stops: Vec<Spanned<Written>>,
    #[serde(default)]
    pub step: Vec<Spanned<StepTable>>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum From {
    Common,
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
enum DimensionWord {
    #[default]
    Pressure,
    Rate,
    Flow,
    Turn,
    Length,
    Time,
    Threads,
}

impl DimensionWord {
    fn dimension(self) -> Dimension {
        match self {
            Self::Pressure => Dimension::Pressure,
            Self::Rate => Dimension::Rate,
            Self::Flow => Dimension::Flow,
            Self::Turn => Dimension::Turn,
            Self::Length => Dimension::Length,
            Self::Time => Dimension::Time,
            Self::Threads => Dimension::Threads,
        }
    }
}

/// A text, both languages of it.
pub(super) fn text(
    source: Source<'_>,
    written: Spanned<WrittenText>,
    of: &str,
) -> Result<Text, ProcedureError> {
    let at = written.span().start;
    let WrittenText { en, es } = written.into_inner();
    let there = |words: Option<String>, language| {
        words.filter(|words| !words.trim().is_empty()).ok_or_else(|| {
            source.error(
                at,
                Fault::MissingText {
                    language,
                    of: of.to_owned(),
                },
            )
        })
    };
    Ok(Text {
        en: there(en, "English")?,
        es: there(es, "Spanish")?,
    })
}

/// A condition and where it stands.
pub(super) type At = (usize, Condition);

/// Conditions, each with where it stands.
pub(super) fn conditions(
    source: Source<'_>,
    written: Vec<Spanned<Written>>,
) -> Result<Vec<At>, ProcedureError> {
    written
        .into_iter()
        .map(|written| {
            let at = written.span().start;
            let condition = written.into_inner().condition();
            condition
                .map(|condition| (at, condition))
                .map_err(|reason| source.error(at, Fault::Condition(reason)))
        })
        .collect()
}

impl ElementTable {
    pub(super) fn element(self, source: Source<'_>) -> Result<Element, ProcedureError> {
        Ok(Element {
            label: text(source, self.label, &format!("element `{}`", self.id))?,
            id: self.id,
            class: self.class,
            side: self.side,
            of: self.of,
            normal: self.normal,
            agreed: self.agreed,
        })
    }
}

impl PointTable {
    pub(super) fn point(self, source: Source<'_>) -> Result<Point, ProcedureError> {
        let of = format!("point `{}`", self.id);
        Ok(Point {
            label: text(source, self.label, &of)?,
            note: self.note.map(|note| text(source, note, &of)).transpose()?,
            dimension: self.dimension.dimension(),
            zone: self.zone,
            id: self.id,
        })
    }
}

impl ScrewTable {
    pub(super) fn screw(self, source: Source<'_>) -> Result<Screw, ProcedureError> {
        let label = text(source, self.label, &format!("screw `{}`", self.id))?;
        Ok(Screw {
            id: self.id,
            label,
            raises_clockwise: self.raises_clockwise,
        })
    }
}

impl SpeedControlTable {
    pub(super) fn control(self, source: Source<'_>) -> Result<SpeedControl, ProcedureError> {
        let label = text(source, self.label, &format!("speed control `{}`", self.id))?;
        Ok(SpeedControl { id: self.id, label })
    }
}

impl ParticularTable {
    pub(super) fn asked(self, source: Source<'_>, at: usize) -> Result<ParticularAsked, ProcedureError> {
        let told_as = match (self.figure, self.choice) {
            (Some(all), None) => ToldAs::Figure(all.into_iter().map(DimensionWord::dimension).collect()),
            (None, Some(words)) => ToldAs::Choice(
                words
                    .into_iter()
                    .map(|WordTable { id, label }| {
                        Ok(Word {
                            label: text(source, label, &id)?,
                            id,
                        })
                    })
                    .collect::<Result<_, ProcedureError>>()?,
            ),
            (None, None) => ToldAs::Words,
            (Some(_), Some(_)) => {
                let reason = format!("particular `{}` is a figure or a choice, not both", self.name);
                return Err(source.error(at, Fault::Syntax(reason)));
            }
        };
        let label = text(source, self.label, &format!("particular `{}`", self.name))?;
        Ok(ParticularAsked {
            name: self.name,
            label,
            of: self.of,
            told_as,
        })
    }
}

impl RunawayTable {
    pub(super) fn line(self, source: Source<'_>) -> Result<RunawayLine, ProcedureError> {
        Ok(RunawayLine {
            say: text(source, self.say, "a line of the runaway card")?,
            element: self.element,
        })
    }
}
