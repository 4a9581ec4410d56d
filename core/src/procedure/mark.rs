//! Whether a step may be marked so.

use super::condition::Condition;
use super::model::Procedure;
use super::scene::Pool;
use super::walk::{now, unmet, went_over};
use crate::journal::{AssetId, JobState, Outcome};
use thiserror::Error;

/// Why a step may not be marked so.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum MarkError {
    /// The procedure has no such step.
    #[error("there is no step `{0}`")]
    NoSuchStep(String),
    /// The step does not apply to this valve as things stand.
    #[error("the step does not apply now")]
    DoesNotApply,
    /// The step is a question: it is answered, not done.
    #[error("the step is a question: choose one of its answers")]
    ChooseOne,
    /// The step is no question, or this is none of its answers.
    #[error("`{0}` is not one of the answers")]
    NoSuchAnswer(String),
    /// A hard stop is in force. There is no override: the entry supervisor decides, outside this tool.
    #[error("stopped: {}", .0.join(", "))]
    Stopped(Vec<String>),
    /// Something is unmet and the mark does not say that it was overridden.
    #[error("unmet: {}", .0.join(", "))]
    Unmet(Vec<String>),
    /// Something was overridden or left out, and no reason is given.
    #[error("say why")]
    NoReason,
}

impl MarkError {
    /// The stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoSuchStep(_) => "no_such_step",
            Self::DoesNotApply => "step_does_not_apply",
            Self::ChooseOne => "choose_one",
            Self::NoSuchAnswer(_) => "no_such_answer",
            Self::Stopped(_) => "stopped",
            Self::Unmet(_) => "unmet_needs",
            Self::NoReason => "reason_missing",
        }
    }
}

/// Whether a step may be marked so, as things stand. A code in `overridden` that has been met meanwhile does no
/// harm.
///
/// Left out may be said of every step, also of a stopped one, with a reason (of an optional one without).
///
/// # Errors
/// Why not. A hard stop goes before everything that could be overridden.
pub fn may_mark(
    procedure: &Procedure,
    state: &JobState,
    valve: AssetId,
    step: &str,
    outcome: &Outcome,
    overridden: &[String],
    reason: Option<&str>,
) -> Result<(), MarkError> {
    let Some(step) = procedure.step(step) else {
        return Err(MarkError::NoSuchStep(step.to_owned()));
    };
    let pool = Pool::new(state, procedure, valve);
    let scene = now(&pool, &went_over(&pool));
    if !scene.applies(step) {
        return Err(MarkError::DoesNotApply);
    }
    let says_why = reason.is_some_and(|reason| !reason.trim().is_empty());
    match outcome {
        Outcome::NotDone if says_why || step.optional => return Ok(()),
        Outcome::NotDone => return Err(MarkError::NoReason),
        Outcome::Done if !step.options.is_empty() => return Err(MarkError::ChooseOne),
        Outcome::Chosen(chosen) if !step.options.iter().any(|option| option.id == *chosen) => {
            return Err(MarkError::NoSuchAnswer(chosen.clone()));
        }
        Outcome::Done | Outcome::Chosen(_) => {}
    }
    let stopped: Vec<String> = step
        .stops
        .iter()
        .filter(|stop| !scene.met(stop))
        .map(Condition::code)
        .collect();
    if !stopped.is_empty() {
        return Err(MarkError::Stopped(stopped));
    }
    let unsaid: Vec<String> = unmet(&scene, step)
        .into_iter()
        .filter(|code| !overridden.contains(code))
        .collect();
    if !unsaid.is_empty() {
        return Err(MarkError::Unmet(unsaid));
    }
    if overridden.is_empty() || says_why {
        Ok(())
    } else {
        Err(MarkError::NoReason)
    }
}
