//! Words for what a record is about, from the procedures.

use super::Making;
use crate::journal::{AssetId, Register};
use crate::procedure::{Procedure, Step, Text};

impl Making<'_> {
    /// What a register is about, in words.
    pub fn register_words(&self, register: &Register) -> Text {
        let of = |asset: AssetId| self.procedure_of(asset).or_else(|| self.station_procedure(asset));
        match register {
            Register::Request { .. } => Text::new("Requested pressure", "Presión solicitada"),
            Register::Particular { asset, name } => of(*asset)
                .and_then(|procedure| procedure.particular(name))
                .map_or_else(|| same(name), |asked| asked.label.clone()),
            Register::Position { asset, element } => of(*asset)
                .and_then(|procedure| procedure.element(element))
                .map_or_else(|| same(element), |element| element.label.clone()),
            Register::SpeedControl { asset, control } => of(*asset)
                .and_then(|procedure| procedure.speed_control(control))
                .map_or_else(|| same(control), |control| control.label.clone()),
            Register::Step { procedure, step, .. } => self
                .procedures
                .get(procedure)
                .and_then(|procedure| procedure.step(step))
                .map_or_else(|| same(step), |step| step.title.clone()),
            Register::Gauge { serial } => Text::new(format!("Gauge {serial}"), format!("Manómetro {serial}")),
            Register::Duty { person } => {
                let name = self.name(*person);
                Text::new(format!("Duty of {name}"), format!("Función de {name}"))
            }
            Register::Grant { person } => {
                let name = self.name(*person);
                Text::new(format!("Role of {name}"), format!("Rol de {name}"))
            }
        }
    }

    /// For what belongs to the chamber: the procedure of the first valve that is here.
    fn station_procedure(&self, asset: AssetId) -> Option<&Procedure> {
        let opening = self.state.opening()?;
        if opening.station.id != asset {
            return None;
        }
        opening
            .valves
            .iter()
            .find_map(|valve| self.procedures.get(&valve.procedure))
    }
}

/// A need or a piece of evidence of a step in words, by its code.
pub(super) fn condition_words(procedure: &Procedure, step: &Step, code: &str) -> Option<Text> {
    step.needs
        .iter()
        .chain(&step.evidence)
        .chain(&step.stops)
        .find(|condition| condition.code() == code)
        .map(|condition| condition.say(procedure))
}

/// Words that are the same in every language: a name, a serial, an id that nobody has words for.
pub(super) fn same(words: &str) -> Text {
    Text::new(words, words)
}
