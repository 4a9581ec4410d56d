//! How a job stands in its procedure: every step's status, and the step in hand.

use super::condition::Condition;
use super::model::{Choice, Procedure, Step};
use super::scene::{Pool, Scene};
use crate::journal::{AssetId, Body, EntryId, Folded, JobState, Outcome, StepMark};
use std::collections::BTreeMap;

/// How a step stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// Done, by a mark or by its evidence.
    Done,
    /// Done with needs or evidence unmet, for a reason that is on record.
    Overridden,
    /// Left out; the mark says why.
    NotDone,
    /// Marked differently by two people, or taken different ways.
    Disagreed,
    /// Marked over a hard stop: the mark has no effect.
    Refused,
    /// Could be done now.
    Ready,
    /// Waits for what it needs.
    Waiting,
    /// A hard stop is in force: there is no way around it here.
    Stopped,
}

impl Status {
    /// Whether nobody needs to come back to the step.
    pub fn is_settled(self) -> bool {
        matches!(self, Self::Done | Self::Overridden | Self::NotDone)
    }

    /// The stable code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Overridden => "overridden",
            Self::NotDone => "not_done",
            Self::Disagreed => "disagreed",
            Self::Refused => "refused",
            Self::Ready => "ready",
            Self::Waiting => "waiting",
            Self::Stopped => "stopped",
        }
    }
}

/// A condition and whether it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged<'p> {
    /// The condition.
    pub condition: &'p Condition,
    /// Whether it holds. A stop whose condition does not hold is in force.
    pub met: bool,
}

/// One step as it stands.
#[derive(Clone, Debug)]
pub struct StepState<'p> {
    /// The step.
    pub step: &'p Step,
    /// How it stands.
    pub status: Status,
    /// What it needs first, judged now.
    pub needs: Vec<Judged<'p>>,
    /// What it leaves behind, judged now.
    pub evidence: Vec<Judged<'p>>,
    /// Its hard stops, judged now.
    pub stops: Vec<Judged<'p>>,
    /// The marks that stand, in fold order.
    pub marks: Vec<EntryId>,
    /// The reasons that they give, in fold order.
    pub reasons: Vec<String>,
    /// The codes that they say were unmet.
    pub overridden: Vec<String>,
    /// The stops that a refused mark went over.
    pub went_over: Vec<String>,
    /// Whether it is optional, unmarked, and the crew went on past it.
    pub passed: bool,
}

/// A limit on what the setting is worth: the answer to a question says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark<'p> {
    /// The question.
    pub step: &'p str,
    /// The answer, with what must be said.
    pub answer: &'p Choice,
}

/// How a job stands in its procedure.
#[derive(Clone, Debug)]
pub struct Walk<'p> {
    /// The steps that apply, in order.
    pub steps: Vec<StepState<'p>>,
    /// Steps that do not apply now but were marked: the crew went another way first.
    pub aside: Vec<StepState<'p>>,
    /// The step in hand: the first, in order, that is not settled.
    pub in_hand: Option<&'p str>,
    /// How many of the steps that apply are settled or passed.
    pub settled: usize,
    /// What the record and every screen of the valve must say.
    pub remarks: Vec<Remark<'p>>,
}

impl<'p> Walk<'p> {
    /// A step that applies.
    pub fn step(&self, id: &str) -> Option<&StepState<'p>> {
        self.steps.iter().find(|state| state.step.id == id)
    }
}

/// Judges every step of a procedure for one valve.
pub fn walk<'p>(procedure: &'p Procedure, state: &JobState, valve: AssetId) -> Walk<'p> {
    let pool = Pool::new(state, procedure, valve);
    let overs = went_over(&pool);
    let scene = now(&pool, &overs);
    let mut steps = Vec::new();
    let mut aside = Vec::new();
    for step in procedure.steps() {
        let applies = scene.applies(step);
        if applies || !scene.marks(&step.id).is_empty() {
            let all = if applies { &mut steps } else { &mut aside };
            all.push(stand(&scene, step, &overs));
        }
    }
    let marked = |state: &StepState<'_>| !state.marks.is_empty() && state.status.is_settled();
    let last = steps.iter().rposition(marked).unwrap_or(0);
    for state in steps.iter_mut().take(last) {
        state.passed = state.step.optional && state.marks.is_empty();
    }
    let behind = |state: &StepState<'_>| state.status.is_settled() || state.passed;
    let in_hand = steps
        .iter()
        .find(|state| !behind(state))
        .map(|state| state.step.id.as_str());
    let settled = steps.iter().filter(|state| behind(state)).count();
    let remarks = steps
        .iter()
        .filter_map(|state| remark(&scene, state.step))
        .collect();
    Walk {
        steps,
        aside,
        in_hand,
        settled,
        remarks,
    }
}

/// Everything as it stands now, without the marks that went over a hard stop.
pub(super) fn now<'s, 'a>(pool: &'s Pool<'a>, overs: &BTreeMap<EntryId, Vec<String>>) -> Scene<'s, 'a> {
    let mut scene = pool.now();
    scene.refused = overs.keys().copied().collect();
    scene
}

/// The marks that went over a hard stop, with the stops' codes, each judged by what its writer had seen.
pub(super) fn went_over(pool: &Pool<'_>) -> BTreeMap<EntryId, Vec<String>> {
    let scene = pool.now();
    let mut overs = BTreeMap::new();
    for step in pool.procedure.steps().filter(|step| !step.stops.is_empty()) {
        for (folded, mark) in scene.marks(&step.id) {
            if mark.outcome == Outcome::NotDone {
                continue;
            }
            let then = pool.seen_by(folded);
            let over: Vec<String> = step
                .stops
                .iter()
                .filter(|stop| !then.met(stop))
                .map(Condition::code)
                .collect();
            if !over.is_empty() {
                overs.insert(folded.entry.id, over);
            }
        }
    }
    overs
}

/// The hard stops that a step mark went over, by what its writer had seen. Empty: none, or no such mark.
///
/// A tablet refuses such a mark; one that comes from elsewhere has no effect, and review shows it with this.
pub fn stops_gone_over(procedure: &Procedure, state: &JobState, mark: &Folded) -> Vec<String> {
    let Body::StepMark(said) = mark.entry.told.body.found() else {
        return Vec::new();
    };
    let Some(step) = procedure
        .step(&said.step)
        .filter(|_| said.procedure == procedure.id)
    else {
        return Vec::new();
    };
    if said.outcome == Outcome::NotDone {
        return Vec::new();
    }
    let pool = Pool::new(state, procedure, said.asset);
    let then = pool.seen_by(mark);
    step.stops
        .iter()
        .filter(|stop| !then.met(stop))
        .map(Condition::code)
        .collect()
}

/// What was unmet when a step was marked done and the mark does not say so, by what its writer had seen. Empty
/// for what a tablet accepts; review shows the rest.
pub fn unsaid(procedure: &Procedure, state: &JobState, mark: &Folded) -> Vec<String> {
    let Body::StepMark(said) = mark.entry.told.body.found() else {
        return Vec::new();
    };
    let Some(step) = procedure
        .step(&said.step)
        .filter(|_| said.procedure == procedure.id)
    else {
        return Vec::new();
    };
    if said.outcome == Outcome::NotDone {
        return Vec::new();
    }
    let pool = Pool::new(state, procedure, said.asset);
    unmet(&pool.seen_by(mark), step)
        .into_iter()
        .filter(|code| !said.overridden.contains(code))
        .collect()
}

/// The codes of the needs and the evidence of a step that do not hold.
pub(super) fn unmet(scene: &Scene<'_, '_>, step: &Step) -> Vec<String> {
    let all = step.needs.iter().chain(&step.evidence);
    let mut codes: Vec<String> = Vec::new();
    for code in all.filter(|condition| !scene.met(condition)).map(Condition::code) {
        if !codes.contains(&code) {
            codes.push(code);
        }
    }
    codes
}

fn stand<'p>(scene: &Scene<'_, '_>, step: &'p Step, overs: &BTreeMap<EntryId, Vec<String>>) -> StepState<'p> {
    let judge = |all: &'p [Condition]| -> Vec<Judged<'p>> {
        all.iter()
            .map(|condition| Judged {
                condition,
                met: scene.met(condition),
            })
            .collect()
    };
    let marks = scene.marks(&step.id);
    let mut state = StepState {
        step,
        status: Status::Ready,
        needs: judge(&step.needs),
        evidence: judge(&step.evidence),
        stops: judge(&step.stops),
        marks: marks.iter().map(|(folded, _)| folded.entry.id).collect(),
        reasons: marks.iter().filter_map(|(_, mark)| mark.reason.clone()).collect(),
        overridden: Vec::new(),
        went_over: Vec::new(),
        passed: false,
    };
    for code in marks.iter().flat_map(|(_, mark)| &mark.overridden) {
        if !state.overridden.contains(code) {
            state.overridden.push(code.clone());
        }
    }
    for code in state.marks.iter().filter_map(|mark| overs.get(mark)).flatten() {
        if !state.went_over.contains(code) {
            state.went_over.push(code.clone());
        }
    }
    state.status = status(scene, &state, &marks);
    state
}

fn status(scene: &Scene<'_, '_>, state: &StepState<'_>, marks: &[(&Folded, &StepMark)]) -> Status {
    if let Some((_, first)) = marks.first() {
        if marks.iter().any(|(_, mark)| mark.outcome != first.outcome) {
            return Status::Disagreed;
        }
        if !state.went_over.is_empty() {
            return Status::Refused;
        }
        return match first.outcome {
            Outcome::NotDone => Status::NotDone,
            Outcome::Done | Outcome::Chosen(_) if state.overridden.is_empty() => Status::Done,
            Outcome::Done | Outcome::Chosen(_) => Status::Overridden,
        };
    }
    if scene.is_done(state.step) {
        return Status::Done;
    }
    if state.stops.iter().any(|stop| !stop.met) {
        return Status::Stopped;
    }
    if state.needs.iter().any(|need| !need.met) {
        return Status::Waiting;
    }
    Status::Ready
}

fn remark<'p>(scene: &Scene<'_, '_>, step: &'p Step) -> Option<Remark<'p>> {
    let Some(Outcome::Chosen(chosen)) = scene.outcome(&step.id) else {
        return None;
    };
    let answer = step.options.iter().find(|option| option.id == *chosen)?;
    answer.remark.as_ref()?;
    Some(Remark {
        step: &step.id,
        answer,
    })
}
