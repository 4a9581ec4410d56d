//! A step as a procedure file writes it, and while some of its keys may still come from a shared file.

use super::file::{At, WrittenText, conditions, text};
use super::model::{Choice, Owner, Step};
use super::source::{Instead, Place, Source};
use super::written::Written;
use super::{Condition, ProcedureError, Text};
use crate::journal::Duty;
use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StepTable {
    id: String,
    /// In a phase that is taken from a shared file: the step that this one comes after.
    follows: Option<String>,
    title: Option<Spanned<WrittenText>>,
    say: Option<Spanned<WrittenText>>,
    why: Option<Spanned<WrittenText>>,
    caution: Option<Spanned<WrittenText>>,
    who: Option<Who>,
    of: Option<Owner>,
    when: Option<Vec<Spanned<Written>>>,
    needs: Option<Vec<Spanned<Written>>>,
    evidence: Option<Vec<Spanned<Written>>>,
    stops: Option<Vec<Spanned<Written>>>,
    hold: Option<bool>,
    optional: Option<bool>,
    by_evidence: Option<bool>,
    after_signing: Option<bool>,
    locks_screw: Option<bool>,
    bleeds: Option<bool>,
    screen: Option<ScreenWord>,
    option: Option<Vec<Spanned<OptionTable>>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OptionTable {
    id: String,
    label: Spanned<WrittenText>,
    remark: Option<Spanned<WrittenText>>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Who {
    WrenchHand,
    TopsideHand,
    Attendant,
    EntrySupervisor,
    Either,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum ScreenWord {
    PreJob,
    LineUp,
    Setting,
    Readings,
    Atmosphere,
    Flow,
    Gauges,
    Crew,
    Notes,
    CloseOut,
}

/// A step with whatever its file says of it.
#[derive(Clone, Debug)]
pub(super) struct StepDraft<'a> {
    pub place: Place<'a>,
    pub id: String,
    pub follows: Option<String>,
    title: Option<Text>,
    say: Option<Text>,
    why: Option<Text>,
    caution: Option<Text>,
    who: Option<Who>,
    of: Option<Owner>,
    when: Option<Vec<At<'a>>>,
    needs: Option<Vec<At<'a>>>,
    evidence: Option<Vec<At<'a>>>,
    stops: Option<Vec<At<'a>>>,
    hold: Option<bool>,
    optional: Option<bool>,
    by_evidence: Option<bool>,
    after_signing: Option<bool>,
    locks_screw: Option<bool>,
    bleeds: Option<bool>,
    screen: Option<ScreenWord>,
    options: Option<Vec<Choice>>,
}

/// A step with where it and its conditions stand.
pub(super) struct Placed<'a> {
    pub place: Place<'a>,
    pub step: Step,
    pub when: Vec<At<'a>>,
    pub needs: Vec<At<'a>>,
    pub evidence: Vec<At<'a>>,
    pub stops: Vec<At<'a>>,
}

/// What a phase says for all its steps.
#[derive(Clone, Debug, Default)]
pub(super) struct OfPhase<'a> {
    pub when: Vec<At<'a>>,
    pub needs: Vec<At<'a>>,
    pub stops: Vec<At<'a>>,
}

impl<'a> StepDraft<'a> {
    pub(super) fn read(source: Source<'a>, table: Spanned<StepTable>) -> Result<Self, ProcedureError> {
        let place = source.at(table.span().start);
        let table = table.into_inner();
        let id = table.id;
        let words = |written: Option<Spanned<WrittenText>>, of: String| {
            written.map(|written| text(source, written, &of)).transpose()
        };
        let all = |written: Option<Vec<Spanned<Written>>>| {
            written.map(|written| conditions(source, written)).transpose()
        };
        let options = table
            .option
            .map(|options| {
                options
                    .into_iter()
                    .map(|option| choice(source, option, &id))
                    .collect()
            })
            .transpose()?;
        Ok(Self {
            place,
            follows: table.follows,
            title: words(table.title, format!("the title of `{id}`"))?,
            say: words(table.say, format!("what `{id}` says"))?,
            why: words(table.why, format!("why of `{id}`"))?,
            caution: words(table.caution, format!("the caution of `{id}`"))?,
            who: table.who,
            of: table.of,
            when: all(table.when)?,
            needs: all(table.needs)?,
            evidence: all(table.evidence)?,
            stops: all(table.stops)?,
            hold: table.hold,
            optional: table.optional,
            by_evidence: table.by_evidence,
            after_signing: table.after_signing,
            locks_screw: table.locks_screw,
            bleeds: table.bleeds,
            screen: table.screen,
            options,
            id,
        })
    }

    /// What it does not say itself, it says as the other does.
    pub(super) fn over(self, base: &Self) -> Self {
        macro_rules! own_or {
            ($($key:ident),*) => {
                Self { $($key: self.$key.or_else(|| base.$key.clone()),)* ..self }
            };
        }
        own_or!(
            title,
            say,
            why,
            caution,
            who,
            of,
            when,
            needs,
            evidence,
            stops,
            hold,
            optional,
            by_evidence,
            after_signing,
            locks_screw,
            bleeds,
            screen,
            options
        )
    }

    /// Ids that stand in for others.
    pub(super) fn instead(&mut self, instead: &mut Instead) {
        for all in [
            &mut self.when,
            &mut self.needs,
            &mut self.evidence,
            &mut self.stops,
        ] {
            for (_, condition) in all.iter_mut().flatten() {
                condition.instead(instead);
            }
        }
    }

    /// The step with what its phase says before what it says itself.
    pub(super) fn placed(self, phase: &OfPhase<'a>) -> Result<Placed<'a>, ProcedureError> {
        let place = self.place;
        let with = |of_phase: &[At<'a>], own: Option<Vec<At<'a>>>| -> Vec<At<'a>> {
            of_phase.iter().cloned().chain(own.unwrap_or_default()).collect()
        };
        let when = with(&phase.when, self.when);
        let needs = with(&phase.needs, self.needs);
        let evidence = with(&[], self.evidence);
        let stops = with(&phase.stops, self.stops);
        let step = Step {
            title: self.title.ok_or_else(|| place.missing("title"))?,
            say: self.say.ok_or_else(|| place.missing("say"))?,
            why: self.why.ok_or_else(|| place.missing("why"))?,
            caution: self.caution,
            who: match self.who.ok_or_else(|| place.missing("who"))? {
                Who::WrenchHand => Some(Duty::WrenchHand),
                Who::TopsideHand => Some(Duty::TopsideHand),
                Who::Attendant => Some(Duty::Attendant),
                Who::EntrySupervisor => Some(Duty::EntrySupervisor),
                Who::Either => None,
            },
            of: self.of.unwrap_or_default(),
            when: bare(&when),
            needs: bare(&needs),
            evidence: bare(&evidence),
            stops: bare(&stops),
            hold: self.hold.unwrap_or_default(),
            optional: self.optional.unwrap_or_default(),
            by_evidence: self.by_evidence.unwrap_or_default(),
            after_signing: self.after_signing.unwrap_or_default(),
            locks_screw: self.locks_screw.unwrap_or_default(),
            bleeds: self.bleeds.unwrap_or_default(),
            screen: self.screen.map(|screen| screen.code().to_owned()),
            options: self.options.unwrap_or_default(),
            id: self.id,
        };
        Ok(Placed {
            place,
            step,
            when,
            needs,
            evidence,
            stops,
        })
    }
}

fn choice(source: Source<'_>, option: Spanned<OptionTable>, step: &str) -> Result<Choice, ProcedureError> {
    let OptionTable { id, label, remark } = option.into_inner();
    let of = format!("answer `{id}` of `{step}`");
    Ok(Choice {
        label: text(source, label, &of)?,
        remark: remark.map(|remark| text(source, remark, &of)).transpose()?,
        id,
    })
}

fn bare(placed: &[At<'_>]) -> Vec<Condition> {
    placed.iter().map(|(_, condition)| condition.clone()).collect()
}

impl ScreenWord {
    fn code(self) -> &'static str {
        match self {
            Self::PreJob => "pre_job",
            Self::LineUp => "line_up",
            Self::Setting => "setting",
            Self::Readings => "readings",
            Self::Atmosphere => "atmosphere",
            Self::Flow => "flow",
            Self::Gauges => "gauges",
            Self::Crew => "crew",
            Self::Notes => "notes",
            Self::CloseOut => "close_out",
        }
    }
}
