//! Steps, what was not done, and cautions.

use super::Making;
use super::words::condition_words;
use crate::journal::{AssetId, Body, Folded, JobState, Outcome};
use crate::procedure::{Procedure, Status, Step, StepState, Walk, missing_at_close, walk, zone_alarm};
use crate::quantity::Figure;
use crate::record::content::{CautionLine, MarkLine, NotDoneLine, Said, StepLine, UnmetLine};

impl Making<'_> {
    /// The steps of the procedures by which a valve was worked, the valve's own first.
    pub fn walks<'p>(&'p self, valve: AssetId, own: Option<&'p Procedure>) -> Vec<(&'p Procedure, Walk<'p>)> {
        let others = self
            .procedures
            .iter()
            .filter(|procedure| own.is_none_or(|own| own.id != procedure.id))
            .filter(|procedure| was_marked(self.state, valve, procedure));
        own.into_iter()
            .chain(others)
            .map(|procedure| (procedure, walk(procedure, self.state, valve)))
            .collect()
    }

    /// Every step that applies or was marked, in the procedures' order.
    pub fn steps(&self, walks: &[(&Procedure, Walk<'_>)]) -> Vec<StepLine> {
        let mut lines = Vec::new();
        for (procedure, walk) in walks {
            for phase in &procedure.phases {
                for step in &phase.steps {
                    let applies = walk.steps.iter().find(|state| state.step.id == step.id);
                    let aside = walk.aside.iter().find(|state| state.step.id == step.id);
                    let Some(state) = applies.or(aside) else {
                        continue;
                    };
                    lines.push(StepLine {
                        procedure: procedure.id.clone(),
                        phase: phase.id.clone(),
                        phase_title: phase.title.clone(),
                        step: step.id.clone(),
                        title: step.title.clone(),
                        status: state.status.code().to_owned(),
                        passed: state.passed,
                        applies: applies.is_some(),
                        marks: self.marks(procedure, state),
                        went_over: state.went_over.clone(),
                    });
                }
            }
        }
        lines
    }

    fn marks(&self, procedure: &Procedure, state: &StepState<'_>) -> Vec<MarkLine> {
        state
            .marks
            .iter()
            .filter_map(|&id| self.state.entry(id))
            .filter_map(|folded| self.mark(procedure, state.step, folded))
            .collect()
    }

    fn mark(&self, procedure: &Procedure, step: &Step, folded: &Folded) -> Option<MarkLine> {
        let Body::StepMark(mark) = folded.entry.told.body.found() else {
            return None;
        };
        Some(MarkLine {
            said: self.said(folded),
            answer: match &mark.outcome {
                Outcome::Chosen(chosen) => step
                    .options
                    .iter()
                    .find(|option| option.id == *chosen)
                    .map(|option| option.label.clone()),
                Outcome::Done | Outcome::NotDone => None,
            },
            outcome: mark.outcome.clone(),
            overridden: mark
                .overridden
                .iter()
                .map(|code| UnmetLine {
                    say: condition_words(procedure, step, code),
                    code: code.clone(),
                })
                .collect(),
            reason: mark.reason.clone(),
        })
    }

    /// What was left out with a reason, and what is still missing.
    pub fn not_done(&self, valve: AssetId, walks: &[(&Procedure, Walk<'_>)]) -> Vec<NotDoneLine> {
        let mut lines = Vec::new();
        for (procedure, walk) in walks {
            for state in walk.steps.iter().filter(|state| state.status == Status::NotDone) {
                let mark = self.marks(procedure, state).into_iter().next();
                let (said, reason) = mark.map_or((None, None), |mark| (Some(mark.said), mark.reason));
                lines.push(NotDoneLine {
                    code: "step_not_done".to_owned(),
                    say: state.step.title.clone(),
                    step: Some(state.step.id.clone()),
                    said,
                    reason,
                });
            }
        }
        if let Some((own, _)) = walks.first() {
            lines.extend(
                missing_at_close(own, self.state, valve)
                    .into_iter()
                    .map(|missing| NotDoneLine {
                        step: missing.about.filter(|about| own.step(about).is_some()),
                        code: missing.code,
                        say: missing.say,
                        said: None,
                        reason: None,
                    }),
            );
        }
        lines
    }

    /// What whoever relies on the setting must read.
    pub fn cautions(&self, valve: AssetId, walks: &[(&Procedure, Walk<'_>)]) -> Vec<CautionLine> {
        let mut lines = Vec::new();
        for (procedure, walk) in walks {
            for remark in &walk.remarks {
                let Some(say) = &remark.answer.remark else {
                    continue;
                };
                lines.push(CautionLine {
                    code: "remark".to_owned(),
                    say: say.clone(),
                    step: Some(remark.step.to_owned()),
                    said: self.first_mark(walk, remark.step),
                });
            }
            if let Some(alarm) = zone_alarm(procedure, self.state, valve)
                && let Some(folded) = self.state.entry(alarm.reading)
                && let Body::Reading(reading) = &folded.entry.told.body
            {
                lines.push(CautionLine {
                    code: "zone_over_limit".to_owned(),
                    say: over_limit(&reading.figure, &alarm.limit),
                    step: None,
                    said: Some(self.said(folded)),
                });
            }
        }
        lines.dedup();
        lines
    }

    fn first_mark(&self, walk: &Walk<'_>, step: &str) -> Option<Said> {
        let id = walk.step(step)?.marks.first()?;
        self.state.entry(*id).map(|folded| self.said(folded))
    }
}

/// Whether anybody marked a step of this procedure for the valve.
fn was_marked(state: &JobState, valve: AssetId, procedure: &Procedure) -> bool {
    state.live().any(|folded| match folded.entry.told.body.found() {
        Body::StepMark(mark) => mark.asset == valve && mark.procedure == procedure.id,
        _ => false,
    })
}

fn over_limit(read: &Figure, limit: &Figure) -> crate::procedure::Text {
    crate::procedure::Text::new(
        format!("The zone read {read}, over its limit of {limit}."),
        format!("La zona marcó {read}, por encima de su límite de {limit}."),
    )
}
