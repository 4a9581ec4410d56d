//! The steps screen: the whole procedure and the step in hand.

use super::Showing;
use crate::journal::{Body, Register};
use crate::procedure::{
    Judged, Procedure, Procedures, Status, StepState, Text, Walk, duty_warning, name, unsaid, walk,
};
use crate::tablet::view::{
    ConditionView, OptionView, PhaseView, StepLine, StepStatus, StepView, StepsView, StopView,
};

/// The steps of one procedure for the valve in hand, and one step in full.
pub fn steps(showing: &Showing<'_>, procedure: Option<&str>, step: Option<&str>) -> StepsView {
    let procedure = procedure
        .and_then(|id| showing.procedures.get(id))
        .unwrap_or(showing.procedure);
    let walk = walk(procedure, showing.state, showing.valve);
    let in_hand = walk.in_hand.map(str::to_owned);
    let shown = step.or(in_hand.as_deref()).map(str::to_owned);
    StepsView {
        procedure: procedure.id.clone(),
        title: procedure.title.clone(),
        owner: procedure.owner.clone(),
        procedures: showing
            .procedures
            .iter()
            .filter(|known| {
                known.id == showing.procedure.id || Procedures::ANY_VALVE.contains(&known.id.as_str())
            })
            .map(name)
            .collect(),
        phases: phases(procedure, &walk),
        step: shown.and_then(|id| step_view(showing, procedure, &walk, &id)),
        in_hand,
        done: u32::try_from(walk.settled).unwrap_or(u32::MAX),
        total: u32::try_from(walk.steps.len()).unwrap_or(u32::MAX),
    }
}

fn phases(procedure: &Procedure, walk: &Walk<'_>) -> Vec<PhaseView> {
    procedure
        .phases
        .iter()
        .filter_map(|phase| {
            let steps: Vec<_> = phase
                .steps
                .iter()
                .filter_map(|step| {
                    let state = walk.step(&step.id)?;
                    Some(StepLine {
                        id: step.id.clone(),
                        title: step.title.clone(),
                        status: status(state),
                        hold: step.hold,
                        optional: step.optional,
                    })
                })
                .collect();
            (!steps.is_empty()).then(|| PhaseView {
                id: phase.id.clone(),
                title: phase.title.clone(),
                steps,
            })
        })
        .collect()
}

fn step_view(showing: &Showing<'_>, procedure: &Procedure, walk: &Walk<'_>, id: &str) -> Option<StepView> {
    let step = procedure.step(id)?;
    let at = walk.steps.iter().position(|state| state.step.id == id)?;
    let state = &walk.steps[at];
    let phase = procedure
        .phases
        .iter()
        .find(|phase| phase.steps.iter().any(|known| known.id == id))?;
    let conditions = |all: &[Judged<'_>]| {
        all.iter()
            .map(|judged| ConditionView {
                code: judged.condition.code(),
                say: judged.condition.say(procedure),
                met: judged.met,
                screen: judged.condition.screen().map(str::to_owned),
            })
            .collect()
    };
    let register = Register::Step {
        asset: showing.valve,
        procedure: procedure.id.clone(),
        step: id.to_owned(),
    };
    Some(StepView {
        id: step.id.clone(),
        phase: phase.id.clone(),
        title: step.title.clone(),
        say: step.say.clone(),
        why: step.why.clone(),
        caution: step.caution.clone(),
        who: step.who,
        hold: step.hold,
        optional: step.optional,
        screen: step.screen.clone(),
        needs: conditions(&state.needs),
        evidence: conditions(&state.evidence),
        stops: state
            .stops
            .iter()
            .map(|judged| StopView {
                code: judged.condition.code(),
                say: judged.condition.stop_say(procedure),
                in_force: !judged.met,
            })
            .collect(),
        options: step
            .options
            .iter()
            .map(|option| OptionView {
                id: option.id.clone(),
                say: option.label.clone(),
            })
            .collect(),
        status: status(state),
        warning: showing.me.as_ref().and_then(|me| {
            duty_warning(procedure, showing.state, showing.valve, step, me.id).map(str::to_owned)
        }),
        went_over: step
            .stops
            .iter()
            .filter(|stop| state.went_over.contains(&stop.code()))
            .map(|stop| stop.stop_say(procedure))
            .collect(),
        unsaid: unsaid_words(showing, procedure, state),
        mark: showing.standing(&register, |body| match body {
            Body::StepMark(mark) => Some(mark.outcome.clone()),
            _ => None,
        }),
        reasons: state.reasons.clone(),
        previous: at.checked_sub(1).map(|before| walk.steps[before].step.id.clone()),
        next: walk.steps.get(at + 1).map(|after| after.step.id.clone()),
    })
}

/// What the marks of a step do not say though it was unmet when they were made, in words.
fn unsaid_words(showing: &Showing<'_>, procedure: &Procedure, stood: &StepState<'_>) -> Vec<Text> {
    let codes: Vec<String> = stood
        .marks
        .iter()
        .filter_map(|&mark| showing.state.entry(mark))
        .flat_map(|mark| unsaid(procedure, showing.state, mark))
        .collect();
    let all = stood.step.needs.iter().chain(&stood.step.evidence);
    all.filter(|condition| codes.contains(&condition.code()))
        .map(|condition| condition.say(procedure))
        .collect()
}

fn status(state: &StepState<'_>) -> StepStatus {
    match state.status {
        Status::Done => StepStatus::Done,
        Status::Overridden => StepStatus::Overridden,
        Status::NotDone => StepStatus::NotDone,
        Status::Disagreed => StepStatus::Disagreed,
        Status::Ready => StepStatus::Ready,
        Status::Waiting => StepStatus::Waiting,
        Status::Stopped => StepStatus::Stopped,
        Status::Refused => StepStatus::Refused,
    }
}
