//! What the walk through the procedure leaves to do, to decide and to read.

use super::{Code, Item, Weight};
use crate::journal::{AssetId, Body, EntryId, Folded, JobState, Purpose, Register};
use crate::procedure::{
    After, Condition, Missing, Procedure, Status, Step, StepState, Text, Walk, missing_in, unsaid, walk,
};
use std::collections::HashMap;

/// Everything about the steps of one valve and what must hold at its end.
pub(super) fn steps(state: &JobState, procedure: &Procedure, valve: AssetId, items: &mut Vec<Item>) {
    let walk = walk(procedure, state, valve);
    let missing = missing_in(procedure, state, valve, &walk);
    let work_ahead = missing.iter().any(|it| it.code == "step_open");
    for it in missing {
        items.extend(of_missing(state, procedure, valve, &walk, work_ahead, it));
    }
    not_bled(state, procedure, valve, &walk, items);
    let order = Order::of(state, procedure, valve);
    for step in walk.steps.iter().chain(&walk.aside) {
        told(&order, procedure, valve, step, items);
    }
    for remark in &walk.remarks {
        if let Some(say) = &remark.answer.remark {
            let marks = walk.step(remark.step).map(|step| step.marks.clone());
            items.push(
                Item::new(Code::LimitOnSetting, marks.unwrap_or_default())
                    .of(valve)
                    .about(remark.step)
                    .saying(say.clone())
                    .at_step(&procedure.id, remark.step),
            );
        }
    }
}

/// What is missing, as an item. None: another item says it.
fn of_missing(
    state: &JobState,
    procedure: &Procedure,
    valve: AssetId,
    walk: &Walk<'_>,
    work_ahead: bool,
    missing: Missing,
) -> Option<Item> {
    let about = missing.about.unwrap_or_default();
    let code = match missing.code.as_str() {
        // The step's register says it already.
        "step_disagreed" => return None,
        "step_open" => Code::StepOpen,
        "step_refused" => Code::StepRefused,
        "step_unsaid" => Code::StepUnsaid,
        "not_normal" => Code::NotNormal,
        "initials" => Code::Initials,
        _ if read_before_lock_nut(state, procedure, valve, &missing.code).is_some() => Code::LockNutNotReRead,
        _ => Code::NotMet,
    };
    let step = procedure.step(&about);
    let mut item = Item::new(code, missing.entries)
        .of(valve)
        .about(&about)
        .saying(missing.say);
    item.place.screen = missing.screen;
    if step.is_some() {
        item = item.at_step(&procedure.id, &about);
    }
    match code {
        Code::StepRefused => {
            item.details = walk
                .step(&about)
                .zip(step)
                .map(|(stood, step)| stops_in_words(procedure, step, &stood.went_over))
                .unwrap_or_default();
        }
        Code::StepUnsaid => {
            item.details = item
                .entries
                .iter()
                .filter_map(|&id| state.entry(id))
                .flat_map(|mark| unsaid(procedure, state, mark))
                .filter_map(|code| step.and_then(|step| in_words(procedure, step, &code)))
                .collect();
        }
        Code::NotNormal => {
            if let Some(element) = procedure.element(&about) {
                let asset = element.of.asset(state, valve);
                let register = Register::Position {
                    asset,
                    element: about.clone(),
                };
                item.entries = state.standing_ids(&register);
                item.register = Some(register);
            }
            item = item.keyed(valve, &about);
            item.weight = at_the_end(work_ahead);
        }
        Code::LockNutNotReRead => {
            item.entries = read_before_lock_nut(state, procedure, valve, &missing.code).unwrap_or_default();
            item.condition = Some(missing.code);
        }
        Code::NotMet => {
            let what = if about.is_empty() {
                missing.code.clone()
            } else {
                format!("{}:{about}", missing.code)
            };
            item = item.keyed(valve, &what);
            item.weight = at_the_end(work_ahead);
            item.condition = Some(missing.code);
        }
        // Initials are each person's, not the valve's.
        Code::Initials => item.valve = None,
        _ => {}
    }
    Some(item)
}

/// What must hold at the end is work like any other while there is work ahead; at the end somebody decides.
fn at_the_end(work_ahead: bool) -> Weight {
    if work_ahead {
        Weight::Missing
    } else {
        Weight::Decide
    }
}

/// The as-left readings that were made without knowledge of the lock nut's step, where the condition of this code
/// asks for that knowledge and nobody read again after it.
fn read_before_lock_nut(
    state: &JobState,
    procedure: &Procedure,
    valve: AssetId,
    code: &str,
) -> Option<Vec<EntryId>> {
    let condition = procedure.closes_with.iter().find(|it| it.code() == code)?;
    let Condition::Reading(asked) = condition else {
        return None;
    };
    let nut = asked.after.iter().find_map(|after| match after {
        After::Step(step)
            if asked.purpose == Some(Purpose::AsLeft)
                && procedure.step(step).is_some_and(|step| step.locks_screw) =>
        {
            Some(step)
        }
        _ => None,
    })?;
    let marks = standing_marks(state, procedure, valve, nut);
    let as_left: Vec<&Folded> = state
        .live()
        .filter(|folded| {
            matches!(&folded.entry.told.body, Body::Reading(read)
                if read.asset == valve && read.point == asked.point && read.purpose == Purpose::AsLeft)
        })
        .collect();
    let knew = |reading: &Folded| !marks.is_empty() && marks.iter().all(|mark| reading.saw(mark));
    if as_left.is_empty() || marks.is_empty() || as_left.iter().any(|reading| knew(reading)) {
        return None;
    }
    Some(as_left.iter().map(|folded| folded.entry.id).collect())
}

/// The marks that stand for a step.
fn standing_marks<'s>(
    state: &'s JobState,
    procedure: &Procedure,
    valve: AssetId,
    step: &str,
) -> Vec<&'s Folded> {
    let register = Register::Step {
        asset: valve,
        procedure: procedure.id.clone(),
        step: step.to_owned(),
    };
    state.registers.get(&register).map_or_else(Vec::new, |standing| {
        standing.stands.iter().map(|&at| &state.entries[at]).collect()
    })
}

/// The control circuit was opened (a step that pressure behind a fitting would stop), and no air was bled (a step
/// that leaves a vent of the control circuit shut) by anybody who knew of it. Said only once nobody has a bleeding
/// step ahead of them any more: until then the step itself is what is missing.
fn not_bled(state: &JobState, procedure: &Procedure, valve: AssetId, walk: &Walk<'_>, items: &mut Vec<Item>) {
    let bleeds = |step: &Step| bleeds_air(procedure, step);
    let all = || walk.steps.iter().chain(&walk.aside);
    let Some(last) = walk.steps.iter().rfind(|step| bleeds(step.step)) else {
        return;
    };
    let ahead = walk
        .steps
        .iter()
        .any(|step| bleeds(step.step) && !step.status.is_settled());
    if ahead {
        return;
    }
    let done = |step: &StepState<'_>| matches!(step.status, Status::Done | Status::Overridden);
    let marks = |step: &StepState<'_>| -> Vec<&Folded> {
        step.marks.iter().filter_map(|&id| state.entry(id)).collect()
    };
    let bled: Vec<&Folded> = all()
        .filter(|step| bleeds(step.step) && done(step))
        .flat_map(marks)
        .collect();
    let opened: Vec<EntryId> = all()
        .filter(|step| opens_circuit(step.step) && done(step))
        .flat_map(marks)
        .filter(|mark| !bled.iter().any(|later| later.saw(mark)))
        .map(|mark| mark.entry.id)
        .collect();
    if !opened.is_empty() {
        items.push(
            Item::new(Code::NotBled, opened)
                .of(valve)
                .about(&last.step.id)
                .saying(last.step.title.clone())
                .at_step(&procedure.id, &last.step.id),
        );
    }
}

/// Whether a step lets air out of the control circuit: it says so, or leaves a vent of the circuit shut.
pub(super) fn bleeds_air(procedure: &Procedure, step: &Step) -> bool {
    let shuts_a_vent = |condition: &Condition| {
        matches!(condition, Condition::Position { element, .. }
            if procedure.element(element).is_some_and(crate::procedure::Element::lets_air_out))
    };
    step.bleeds || step.evidence.iter().any(shuts_a_vent)
}

/// Whether a step opens the control circuit: pressure behind a fitting would stop it.
pub(super) fn opens_circuit(step: &Step) -> bool {
    step.stops
        .iter()
        .any(|stop| matches!(stop, Condition::Vented { .. }))
}

/// The first mark that anybody ever made of each step and that counts, whatever took its place later.
struct Order<'a> {
    first: HashMap<&'a str, &'a Folded>,
}

impl<'a> Order<'a> {
    fn of(state: &'a JobState, procedure: &Procedure, valve: AssetId) -> Self {
        let mut first = HashMap::new();
        for folded in state.live() {
            if let Body::StepMark(mark) = folded.entry.told.body.found()
                && mark.asset == valve
                && mark.procedure == procedure.id
                && mark.outcome != crate::journal::Outcome::NotDone
            {
                first.entry(mark.step.as_str()).or_insert(folded);
            }
        }
        Self { first }
    }

    /// The step that this one needs and that somebody did only afterwards, in knowledge of this one: the two
    /// marks, this one's first.
    fn before<'p>(&self, step: &'p Step) -> Option<(&'p str, &'a Folded, &'a Folded)> {
        let own = *self.first.get(step.id.as_str())?;
        step.needs.iter().find_map(|need| match need {
            Condition::Step { step: needed } => {
                let other = *self.first.get(needed.as_str())?;
                other.saw(own).then_some((needed.as_str(), own, other))
            }
            _ => None,
        })
    }
}

/// What became of a step that its reader should know of, each step once.
fn told(
    order: &Order<'_>,
    procedure: &Procedure,
    valve: AssetId,
    stood: &StepState<'_>,
    items: &mut Vec<Item>,
) {
    let step = stood.step;
    let mut details: Vec<Text> = stood
        .overridden
        .iter()
        .filter_map(|code| in_words(procedure, step, code))
        .collect();
    let (code, entries) = if let Some((needed, own, other)) = order.before(step) {
        if let Some(needed) = procedure.step(needed)
            && !details.contains(&needed.title)
        {
            details.push(needed.title.clone());
        }
        (Code::StepOutOfOrder, vec![own.entry.id, other.entry.id])
    } else {
        match stood.status {
            Status::Overridden => (Code::StepOverridden, stood.marks.clone()),
            Status::NotDone => (Code::StepNotDone, stood.marks.clone()),
            _ => return,
        }
    };
    let mut item = Item::new(code, entries)
        .of(valve)
        .about(&step.id)
        .saying(step.title.clone())
        .at_step(&procedure.id, &step.id);
    item.details = details;
    items.push(item);
}

/// A need or a piece of evidence of a step in words, by its code.
fn in_words(procedure: &Procedure, step: &Step, code: &str) -> Option<Text> {
    let mut all = step.needs.iter().chain(&step.evidence);
    all.find(|condition| condition.code() == code)
        .map(|condition| condition.say(procedure))
}

/// Hard stops of a step in words, by their codes.
fn stops_in_words(procedure: &Procedure, step: &Step, codes: &[String]) -> Vec<Text> {
    step.stops
        .iter()
        .filter(|stop| codes.contains(&stop.code()))
        .map(|stop| stop.stop_say(procedure))
        .collect()
}
