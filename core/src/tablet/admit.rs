//! What a tablet lets into the journal from its own screens. What comes from elsewhere is judged in the fold;
//! here a person is told at once.

use super::CommandError;
use super::show::Showing;
use crate::journal::{About, Body, PersonId, Purpose, ReOpened, Register, Resolution};
use crate::procedure::may_mark;
use crate::quantity::Figure;
use crate::review::{newest_sign_off, re_opened};
use std::collections::BTreeSet;

/// The most characters that any words typed into one entry may have.
pub const MAX_WORDS: usize = 8_000;

/// Checks a body that a screen wants recorded in somebody's name. `Ok` means that it may be appended as it is.
pub fn admit(showing: &Showing<'_>, by: PersonId, body: &Body) -> Result<(), CommandError> {
    let refuse = |code: &str, message: &str| Err(CommandError::new(code, message));
    if showing.procedure_missing {
        return refuse(
            "procedure_not_here",
            "the procedure that this valve is worked by is not here, so nothing can be recorded for it",
        );
    }
    match body {
        Body::JobOpened(_)
        | Body::Grant(_)
        | Body::History(_)
        | Body::ProcedureFile(_)
        | Body::ClockCheck(_)
        | Body::Initials(_)
        | Body::SignOff(_)
        | Body::Photo(_)
        | Body::LoggerFile(_)
        | Body::Unknown(_) => refuse(
            "not_recorded_here",
            "this kind of entry is not made from a screen",
        ),
        Body::StepMark(mark) => {
            let Some(procedure) = showing.procedures.get(&mark.procedure) else {
                return refuse("unknown_procedure", "this tablet has no such procedure");
            };
            may_mark(
                procedure,
                showing.state,
                mark.asset,
                &mark.step,
                &mark.outcome,
                &mark.overridden,
                mark.reason.as_deref(),
            )
            .map_err(|error| CommandError::new(error.code(), error.to_string()))
        }
        Body::Reading(reading) if reading.purpose == Purpose::AsLeft => {
            let stands = showing
                .state
                .standing_ids(&Register::Request { valve: reading.asset });
            if stands.is_empty() || reading.request.is_some_and(|named| stands.contains(&named)) {
                Ok(())
            } else {
                refuse(
                    "request_not_named",
                    "an as-left reading names the request that stands",
                )
            }
        }
        Body::Withdrawn(withdrawn) => {
            let reason = required(&withdrawn.reason, "reason_missing");
            match showing.state.entry(withdrawn.entry) {
                None => refuse("unknown_entry", "there is no such entry on this job"),
                Some(folded) if folded.withdrawn_by.is_some() => {
                    refuse("already_withdrawn", "the entry was taken back before")
                }
                Some(folded) if !super::show::can_be_withdrawn(&folded.entry.told.body) => refuse(
                    "cannot_be_withdrawn",
                    "an entry of this kind cannot be taken back",
                ),
                Some(_) => reason,
            }
        }
        Body::Resolution(resolution) => settle(showing, by, resolution),
        Body::ReOpened(opened) => re_open(showing, by, opened),
        Body::Note(note) => required(&note.text, "note_empty"),
        _ => Ok(()),
    }?;
    figures(body)?;
    words(body)
}

fn settle(showing: &Showing<'_>, by: PersonId, resolution: &Resolution) -> Result<(), CommandError> {
    required(&resolution.reason, "reason_missing")?;
    match &resolution.about {
        About::Register { register, value, .. } => {
            if value.register().as_ref() != Some(register) || matches!(**value, Body::Resolution(_)) {
                return Err(CommandError::new(
                    "resolution_mismatch",
                    "what is found does not belong to what is settled",
                ));
            }
        }
        About::Item { code, entries } => {
            let entries: BTreeSet<_> = entries.iter().collect();
            let shown = showing.review.iter().any(|item| {
                item.key == *code
                    && item.code.settled_by_words()
                    && item.is_open()
                    && item.entries.iter().collect::<BTreeSet<_>>() == entries
            });
            if !shown {
                return Err(CommandError::new(
                    "item_changed",
                    "what was to be settled is not what stands here now; look again",
                ));
            }
        }
    }
    if super::show::may_settle(showing, by) {
        Ok(())
    } else {
        Err(CommandError::new(
            "not_granted",
            "settling needs a lead tech or technician by the office's word",
        ))
    }
}

/// A signed job is opened again by whoever may sign it, once.
fn re_open(showing: &Showing<'_>, by: PersonId, opened: &ReOpened) -> Result<(), CommandError> {
    required(&opened.reason, "reason_missing")?;
    if !super::show::may_sign(showing, by) {
        return Err(CommandError::new(
            "not_lead_tech",
            "only the lead tech opens a signed job again",
        ));
    }
    if newest_sign_off(showing.state) != Some(opened.sign_off) {
        return Err(CommandError::new(
            "unknown_entry",
            "this is not the newest signature of the job",
        ));
    }
    match re_opened(showing.state, opened.sign_off) {
        None => Ok(()),
        Some(_) => Err(CommandError::new(
            "already_re_opened",
            "the job is open again already",
        )),
    }
}

fn required(words: &str, code: &str) -> Result<(), CommandError> {
    if words.trim().is_empty() {
        Err(CommandError::new(code, "words are needed here"))
    } else {
        Ok(())
    }
}

/// Every figure of a body must be one.
fn figures(body: &Body) -> Result<(), CommandError> {
    body.figures().into_iter().try_for_each(|figure: &Figure| {
        figure.check().map_err(|error| {
            CommandError::new(
                error.code(),
                format!("{} {}: {error}", figure.digits, figure.unit),
            )
        })
    })
}

/// No words beyond the limit: the journal carries what people say, not files.
fn words(body: &Body) -> Result<(), CommandError> {
    let long = |text: &str| text.chars().count() > MAX_WORDS;
    let too_long = match body {
        Body::Note(note) => long(&note.text),
        Body::Withdrawn(withdrawn) => long(&withdrawn.reason),
        Body::Resolution(resolution) => long(&resolution.reason),
        Body::ReOpened(opened) => long(&opened.reason),
        Body::StepMark(mark) => mark.reason.as_deref().is_some_and(long),
        _ => false,
    };
    if too_long {
        return Err(CommandError::new(
            "too_long",
            format!(
                "at most {MAX_WORDS} characters fit into one entry; nothing was kept, the words are still on the screen"
            ),
        ));
    }
    Ok(())
}
