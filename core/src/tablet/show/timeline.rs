//! The story of the job: every entry, ready to print.

use super::Showing;
use crate::journal::{About, Body, Folded, Outcome, ParticularValue, Position, Resolution};
use crate::tablet::view::{TimelineItem, TimelineValue};

impl Showing<'_> {
    /// One entry in the story of the job.
    pub fn item(&self, folded: &Folded) -> TimelineItem {
        let body = &folded.entry.told.body;
        TimelineItem {
            said: self.said(folded),
            kind: body.kind().to_owned(),
            subject: self.subject(body),
            value: value(body),
            withdrawn: folded.withdrawn_by.is_some(),
            no_effect: folded.no_effect.map(str::to_owned),
            can_withdraw: self.me.is_some()
                && folded.withdrawn_by.is_none()
                && folded.no_effect.is_none()
                && can_be_withdrawn(body),
        }
    }
}

/// Whether an entry of this kind can be taken back.
pub(in crate::tablet) fn can_be_withdrawn(body: &Body) -> bool {
    !matches!(
        body,
        Body::JobOpened(_)
            | Body::Grant(_)
            | Body::History(_)
            | Body::ProcedureFile(_)
            | Body::Withdrawn(_)
            | Body::ClockCheck(_)
            | Body::Initials(_)
            | Body::SignOff(_)
            | Body::ReOpened(_)
            | Body::Unknown(_)
    )
}

fn value(body: &Body) -> TimelineValue {
    let words = |text: &str| TimelineValue::Words(text.to_owned());
    let code = |text: &str| TimelineValue::Code(text.to_owned());
    let optional = |figure: &Option<crate::quantity::Figure>| {
        figure.clone().map_or(TimelineValue::None, TimelineValue::Figure)
    };
    match body {
        Body::JobOpened(b) => words(&b.number),
        Body::Request(b) => TimelineValue::Figure(b.pressure.clone()),
        Body::Particulars(b) => match &b.value {
            ParticularValue::Figure(figure) => TimelineValue::Figure(figure.clone()),
            ParticularValue::Text(text) => words(text),
        },
        Body::LineUp(b) => code(position(b.position)),
        Body::Reading(b) => TimelineValue::Figure(b.figure.clone()),
        Body::ScrewMove(b) => TimelineValue::Figure(b.turn.clone()),
        Body::SpeedControl(b) => TimelineValue::Figure(b.open.clone()),
        Body::StepMark(b) => match &b.outcome {
            Outcome::Done if b.overridden.is_empty() => code("done"),
            Outcome::Done => code("overridden"),
            Outcome::NotDone => code("not_done"),
            Outcome::Chosen(option) => words(option),
        },
        Body::FlowEvidence(b) => optional(&b.flow),
        Body::AtmosphereTest(b) => TimelineValue::Figure(b.oxygen.clone()),
        Body::Gauge(b) => TimelineValue::Figure(b.span.clone()),
        Body::Note(b) => words(&b.text),
        Body::Photo(b) => words(&b.caption),
        Body::LoggerFile(b) => words(&b.file),
        Body::PersonJoined(b) => words(&b.name),
        Body::Grant(b) => words(&b.name),
        Body::History(b) => optional(&b.as_left),
        Body::ProcedureFile(b) => words(&b.file),
        Body::Withdrawn(b) => words(&b.reason),
        Body::Resolution(Resolution {
            about: About::Register { value: found, .. },
            ..
        }) => value(found),
        Body::Resolution(Resolution { reason, .. }) => words(reason),
        Body::ClockCheck(b) => words(&format!("{} ms", b.offset_ms)),
        Body::Initials(b) => words(&b.entries.to_string()),
        Body::SignOff(b) => words(&b.digest),
        Body::ReOpened(b) => words(&b.reason),
        Body::Unknown(b) => words(&b.kind),
    }
}

fn position(position: Position) -> &'static str {
    match position {
        Position::Open => "open",
        Position::Shut => "shut",
        Position::Throttled => "throttled",
    }
}
