//! A step as a procedure file writes it.

use super::ProcedureError;
use super::file::{At, Source, WrittenText, conditions, text};
use super::model::{Choice, Step};
use super::written::Written;
use crate::journal::Duty;
use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a key of its own in the file, and any of them go together"
)]
pub(super) struct StepTable {
    id: String,
    title: Spanned<WrittenText>,
    say: Spanned<WrittenText>,
    why: Spanned<WrittenText>,
    caution: Option<Spanned<WrittenText>>,
    who: Who,
    #[serde(default)]
    when: Vec<Spanned<Written>>,
    #[serde(default)]
    needs: Vec<Spanned<Written>>,
    #[serde(default)]
    evidence: Vec<Spanned<Written>>,
    #[serde(default)]
    stops: Vec<Spanned<Written>>,
    #[serde(default)]
    hold: bool,
    #[serde(default)]
    optional: bool,
    #[serde(default)]
    by_evidence: bool,
    #[serde(default)]
    after_signing: bool,
    screen: Option<ScreenWord>,
    #[serde(default)]
    option: Vec<Spanned<OptionTable>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OptionTable {
    id: String,
    label: Spanned<WrittenText>,
    remark: Option<Spanned<WrittenText>>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Who {
    WrenchHand,
    TopsideHand,
    Attendant,
    EntrySupervisor,
    Either,
}

#[derive(Clone, Copy, Deserialize)]
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

/// A step with where it and its conditions stand.
pub(super) struct Placed<'a> {
    pub source: Source<'a>,
    pub at: usize,
    pub step: Step,
    pub when: Vec<At>,
    pub needs: Vec<At>,
    pub evidence: Vec<At>,
    pub stops: Vec<At>,
}

impl StepTable {
    pub(super) fn placed(self, source: Source<'_>, at: usize) -> Result<Placed<'_>, ProcedureError> {
        let id = self.id;
        let options = self.option.into_iter().map(|option| {
            let OptionTable {
                id: option,
                label,
                remark,
            } = option.into_inner();
            let of = format!("answer `{option}` of `{id}`");
            Ok(Choice {
                label: text(source, label, &of)?,
                remark: remark.map(|remark| text(source, remark, &of)).transpose()?,
                id: option,
            })
        });
        let options = options.collect::<Result<Vec<_>, ProcedureError>>()?;
        let step = Step {
            title: text(source, self.title, &format!("the title of `{id}`"))?,
            say: text(source, self.say, &format!("what `{id}` says"))?,
            why: text(source, self.why, &format!("why of `{id}`"))?,
            caution: self
                .caution
                .map(|caution| text(source, caution, &format!("the caution of `{id}`")))
                .transpose()?,
            who: match self.who {
                Who::WrenchHand => Some(Duty::WrenchHand),
                Who::TopsideHand => Some(Duty::TopsideHand),
                Who::Attendant => Some(Duty::Attendant),
                Who::EntrySupervisor => Some(Duty::EntrySupervisor),
                Who::Either => None,
            },
            when: Vec::new(),
            needs: Vec::new(),
            evidence: Vec::new(),
            stops: Vec::new(),
            hold: self.hold,
            optional: self.optional,
            by_evidence: self.by_evidence,
            after_signing: self.after_signing,
            screen: self.screen.map(|screen| screen.code().to_owned()),
            options,
            id,
        };
        Ok(Placed {
            source,
            at,
            step,
            when: conditions(source, self.when)?,
            needs: conditions(source, self.needs)?,
            evidence: conditions(source, self.evidence)?,
            stops: conditions(source, self.stops)?,
        })
    }
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
