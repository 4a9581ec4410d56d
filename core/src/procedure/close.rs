//! What stands between a job and its close-out, as far as steps and what was left behind go.

use super::Text;
use super::condition::{Condition, LineUpIs};
use super::initials::own_entries;
use super::model::Procedure;
use super::scene::{Pool, Scene};
use super::walk::{Status, Walk, now, unmet, walk, went_over};
use crate::journal::{AssetId, Body, EntryId, JobState, Outcome, PersonId};

/// One thing that is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What, as a stable code: `step_open`, `step_disagreed`, `step_refused`, `step_unsaid`, `not_normal`,
    /// `not_recorded`, `initials`, or the code of a condition that must hold at the end.
    pub code: String,
    /// What it is about: a step's or an element's id, a person's id.
    pub about: Option<String>,
    /// In words.
    pub say: Text,
    /// The screen where it is put right (a code). None: on the step itself.
    pub screen: Option<&'static str>,
    /// The entries it is about, if any.
    pub entries: Vec<EntryId>,
}

/// What is missing before a valve's job can be closed: steps that nobody settled, and what must hold at the end.
/// Empty: nothing, as far as the procedure goes. What comes after the signature is not waited for.
pub fn missing_at_close(procedure: &Procedure, state: &JobState, valve: AssetId) -> Vec<Missing> {
    missing_in(procedure, state, valve, &walk(procedure, state, valve))
}

/// The same of a walk that was judged already.
pub fn missing_in(procedure: &Procedure, state: &JobState, valve: AssetId, walk: &Walk<'_>) -> Vec<Missing> {
    let mut missing = Vec::new();
    steps(walk, &mut missing);
    let pool = Pool::new(state, procedure, valve);
    let scene = now(&pool, &went_over(&pool));
    unsaid_marks(&pool, &scene, &mut missing);
    for condition in procedure
        .closes_with
        .iter()
        .filter(|condition| !scene.met(condition))
    {
        match condition {
            Condition::LineUp { is } => line_up(procedure, &scene, *is, &mut missing),
            Condition::Initials => initials(state, &mut missing),
            other => missing.push(Missing {
                code: other.code(),
                about: None,
                say: other.say(procedure),
                screen: other.screen(),
                entries: Vec::new(),
            }),
        }
    }
    missing
}

fn steps(walk: &Walk<'_>, missing: &mut Vec<Missing>) {
    for step in &walk.steps {
        // Initials have an item of their own for each person.
        let itself = step.step.evidence.contains(&Condition::Initials);
        if step.status.is_settled() || step.passed || step.step.optional || step.step.after_signing || itself
        {
            continue;
        }
        let code = match step.status {
            Status::Disagreed => "step_disagreed",
            Status::Refused => "step_refused",
            _ => "step_open",
        };
        missing.push(Missing {
            code: code.to_owned(),
            about: Some(step.step.id.clone()),
            say: step.step.title.clone(),
            screen: None,
            entries: step.marks.clone(),
        });
    }
}

/// Steps marked done while something was unmet that their marks do not say.
fn unsaid_marks(pool: &Pool<'_>, scene: &Scene<'_, '_>, missing: &mut Vec<Missing>) {
    for step in pool.procedure.steps().filter(|step| scene.applies(step)) {
        for (folded, mark) in scene.marks(&step.id) {
            if mark.outcome == Outcome::NotDone {
                continue;
            }
            let then = pool.seen_by(folded);
            let unsaid = unmet(&then, step)
                .into_iter()
                .any(|code| !mark.overridden.contains(&code));
            if unsaid {
                missing.push(Missing {
                    code: "step_unsaid".to_owned(),
                    about: Some(step.id.clone()),
                    say: Text::new(
                        format!("{}: marked without what it needs", step.title.en),
                        format!("{}: marcado sin lo que necesita", step.title.es),
                    ),
                    screen: None,
                    entries: vec![folded.entry.id],
                });
            }
        }
    }
}

fn line_up(procedure: &Procedure, scene: &Scene<'_, '_>, is: LineUpIs, missing: &mut Vec<Missing>) {
    for element in &procedure.elements {
        let condition = super::element_is(element, is);
        if scene.met(&condition) {
            continue;
        }
        missing.push(Missing {
            code: match is {
                LineUpIs::Normal => "not_normal",
                LineUpIs::Recorded => "not_recorded",
            }
            .to_owned(),
            about: Some(element.id.clone()),
            say: condition.say(procedure),
            screen: Some("line_up"),
            entries: Vec::new(),
        });
    }
}

fn initials(state: &JobState, missing: &mut Vec<Missing>) {
    for (person, own) in own_entries(state) {
        let lacking: Vec<EntryId> = own
            .entries
            .into_iter()
            .filter(|entry| !own.initialled.contains(entry))
            .collect();
        if lacking.is_empty() {
            continue;
        }
        let name = name(state, person).unwrap_or_else(|| person.to_string());
        missing.push(Missing {
            code: "initials".to_owned(),
            about: Some(person.to_string()),
            say: Text::new(
                format!("Initials of {name} for {} entries", lacking.len()),
                format!("Iniciales de {name} para {} anotaciones", lacking.len()),
            ),
            screen: Some("close_out"),
            entries: lacking,
        });
    }
}

fn name(state: &JobState, person: PersonId) -> Option<String> {
    state
        .live()
        .rev()
        .find_map(|folded| match &folded.entry.told.body {
            Body::PersonJoined(joined) if joined.person == person => Some(joined.name.clone()),
            Body::Grant(grant) if grant.person == person => Some(grant.name.clone()),
            _ => None,
        })
}
