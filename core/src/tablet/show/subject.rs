//! What an entry is about, in the words of the procedure.

use super::Showing;
use crate::findings::observed::ANSWER;
use crate::journal::{Body, FlowProof, Level, Register};
use crate::procedure::Text;
use crate::tablet::view::Subject;

impl Showing<'_> {
    /// What a body is about, where there is a word for it.
    pub fn subject(&self, body: &Body) -> Option<Subject> {
        match body {
            Body::Reading(b) => Some(Subject::Text(self.point_name(&b.point))),
            Body::LoggerFile(b) => Some(Subject::Text(self.point_name(&b.point))),
            Body::ScrewMove(b) => Some(Subject::Text(self.label(&b.screw))),
            Body::FlowEvidence(b) => Some(code(flow_code(b.how))),
            Body::AtmosphereTest(b) => Some(code(level_code(b.level))),
            _ => body.register().map(|register| self.register_name(&register)),
        }
    }

    /// What a register is about.
    pub fn register_name(&self, register: &Register) -> Subject {
        match register {
            Register::Request { .. } => code("request"),
            Register::Particular { name, .. } => code(name.strip_prefix(ANSWER).unwrap_or(name)),
            Register::Position { element, .. } => Subject::Text(self.label(element)),
            Register::SpeedControl { control, .. } => Subject::Text(self.label(control)),
            Register::Step { procedure, step, .. } => Subject::Text(
                self.procedures
                    .get(procedure)
                    .and_then(|procedure| procedure.step(step))
                    .map_or_else(|| same(step), |step| step.title.clone()),
            ),
            Register::Gauge { serial } => Subject::Text(same(serial)),
            Register::Duty { person } | Register::Grant { person } => {
                Subject::Text(same(&self.name(*person)))
            }
        }
    }

    /// A point's name.
    pub fn point_name(&self, point: &str) -> Text {
        self.procedure
            .points
            .iter()
            .find(|known| known.id == point)
            .map_or_else(|| same(point), |known| known.label.clone())
    }

    /// The name of an element, screw or speed control.
    pub(super) fn label(&self, id: &str) -> Text {
        let procedure = self.procedure;
        let elements = procedure.elements.iter().map(|part| (&part.id, &part.label));
        let screws = procedure.screws.iter().map(|part| (&part.id, &part.label));
        let controls = procedure
            .speed_controls
            .iter()
            .map(|part| (&part.id, &part.label));
        elements
            .chain(screws)
            .chain(controls)
            .find(|(known, _)| *known == id)
            .map_or_else(|| same(id), |(_, label)| label.clone())
    }
}

/// Words that are the same in every language: a name, a serial.
pub(super) fn same(words: &str) -> Text {
    Text {
        en: words.to_owned(),
        es: words.to_owned(),
    }
}

fn code(code: &str) -> Subject {
    Subject::Code(code.to_owned())
}

fn flow_code(how: FlowProof) -> &'static str {
    match how {
        FlowProof::Meter => "meter",
        FlowProof::Pitot => "pitot",
        FlowProof::VisibleDischarge => "visible_discharge",
        FlowProof::OutletFellOnDownwardMove => "outlet_fell_on_downward_move",
        FlowProof::Stopped => "stopped",
    }
}

fn level_code(level: Level) -> &'static str {
    match level {
        Level::Top => "top",
        Level::Middle => "middle",
        Level::Bottom => "bottom",
    }
}
