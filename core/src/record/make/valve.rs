//! One valve, put together.

use super::Making;
use crate::journal::{EntryId, Purpose, ValveOnJob};
use crate::procedure::Owner;
use crate::record::content::{ReadingLine, ValveSection};

impl Making<'_> {
    /// Everything about one valve.
    pub fn valve(&self, valve: &ValveOnJob) -> ValveSection {
        let procedure = self.procedure_of(valve.id);
        let own: Vec<_> = procedure.into_iter().collect();
        let main = procedure
            .and_then(|procedure| procedure.points.first())
            .map(|point| point.id.clone());
        let readings = self.readings(valve.id, procedure);
        let walks = self.walks(valve.id, procedure);
        ValveSection {
            id: valve.id,
            name: valve.name.clone(),
            procedure: valve.procedure.clone(),
            title: procedure.map(|procedure| procedure.title.clone()),
            size: valve.size.clone(),
            requests: self.requests(valve.id),
            particulars: self.particulars(valve.id, &own, Owner::Valve),
            line_up: procedure.map_or_else(Vec::new, |procedure| self.line_up(valve.id, procedure)),
            speed_controls: procedure
                .map_or_else(Vec::new, |procedure| self.speed_controls(valve.id, procedure)),
            as_found: read_for(&readings, Purpose::AsFound),
            as_left: read_for(&readings, Purpose::AsLeft),
            baseline: read_for(&readings, Purpose::Baseline),
            lock_up: read_for(&readings, Purpose::LockUp),
            readings,
            moves: self.moves(valve.id, procedure, main.as_deref()),
            static_settings: self.static_settings(valve.id, main.as_deref()),
            findings: self.findings(valve.id, main.as_deref()),
            main_point: main,
            flow: self.flow(valve.id),
            steps: self.steps(&walks),
            not_done: self.not_done(valve.id, &walks),
            cautions: self.cautions(valve.id, &walks),
        }
    }
}

fn read_for(readings: &[ReadingLine], purpose: Purpose) -> Vec<EntryId> {
    readings
        .iter()
        .filter(|line| line.purpose == purpose)
        .map(|line| line.said.entry)
        .collect()
}
