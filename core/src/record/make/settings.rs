//! What was asked, what was turned, and the static setting.

use super::Making;
use super::readings::in_turns;
use super::words::same;
use crate::journal::{AssetId, Body, Folded, Purpose, Reading, Register, Water};
use crate::procedure::Procedure;
use crate::quantity::{Figure, GaugePressure, Turns};
use crate::record::content::{MoveLine, RequestLine, StaticSettingLine};

impl Making<'_> {
    /// What was asked of a valve, the first to the last.
    pub fn requests(&self, valve: AssetId) -> Vec<RequestLine> {
        let register = Register::Request { valve };
        let held = self.state.standing_ids(&register);
        self.story(&register)
            .into_iter()
            .filter_map(|folded| match folded.entry.told.body.found() {
                Body::Request(request) => Some(RequestLine {
                    said: self.said(folded),
                    pressure: request.pressure.clone(),
                    tolerance: request.tolerance.clone(),
                    datum: request.datum.clone(),
                    asked_by: request.asked_by.clone(),
                    zone_limit: request.zone_limit.clone(),
                    stands: held.contains(&folded.entry.id),
                }),
                _ => None,
            })
            .collect()
    }

    /// Every turn of a screw of a valve. `main` is the point where the setting shows.
    pub fn moves(&self, valve: AssetId, procedure: Option<&Procedure>, main: Option<&str>) -> Vec<MoveLine> {
        let turned = self.turned(valve);
        let readings = self.readings_of(valve);
        self.told(|body| match body {
            Body::ScrewMove(told) if told.asset == valve => Some(told),
            _ => None,
        })
        .into_iter()
        .filter_map(|(folded, told)| {
            let total = turned
                .iter()
                .filter(|one| one.screw == told.screw)
                .filter(|one| one.folded.entry.id == folded.entry.id || folded.saw(one.folded))
                .fold(Turns::ZERO, |sum, one| sum + one.turns);
            Some(MoveLine {
                said: self.said(folded),
                label: procedure
                    .and_then(|procedure| procedure.screw(&told.screw))
                    .map_or_else(|| same(&told.screw), |screw| screw.label.clone()),
                screw: told.screw.clone(),
                turn: told.turn.clone(),
                total: in_turns(total)?,
                request: told.request,
                planned_from: told.planned_from,
                followed_by: readings
                    .iter()
                    .filter(|(_, reading)| Some(reading.point.as_str()) == main)
                    .find(|(read, _)| read.saw(folded) && !turned_between(&turned, folded, read, &told.screw))
                    .map(|(read, _)| read.entry.id),
            })
        })
        .collect()
    }

    /// Every static setting, with what the valve then held on line.
    pub fn static_settings(&self, valve: AssetId, main: Option<&str>) -> Vec<StaticSettingLine> {
        let turned = self.turned(valve);
        let readings = self.readings_of(valve);
        readings
            .iter()
            .filter(|(_, reading)| reading.purpose == Purpose::StaticSetting)
            .map(|&(read_static, reading)| {
                let on_line = readings.iter().find(|(read, on_line)| {
                    Some(on_line.point.as_str()) == main
                        && on_line.water == Water::Flowing
                        && on_line.purpose != Purpose::StaticSetting
                        && read.saw(read_static)
                        && !turned
                            .iter()
                            .any(|one| read.saw(one.folded) && !read_static.saw(one.folded))
                });
                StaticSettingLine {
                    read_static: read_static.entry.id,
                    on_line: on_line.map(|(read, _)| read.entry.id),
                    difference: on_line.and_then(|(_, on_line)| difference(on_line, reading)),
                }
            })
            .collect()
    }
}

/// Whether a reader had seen a turn of the screw that was made in knowledge of `after` or beside it.
fn turned_between(
    turned: &[super::readings::Turned<'_>],
    after: &Folded,
    read: &Folded,
    screw: &str,
) -> bool {
    turned.iter().any(|one| {
        one.screw == screw
            && one.folded.entry.id != after.entry.id
            && read.saw(one.folded)
            && !after.saw(one.folded)
    })
}

/// On line minus static, in the unit of the on-line reading. None where either is no pressure.
fn difference(on_line: &Reading, read_static: &Reading) -> Option<Figure> {
    let unit = on_line.figure.unit;
    let difference =
        GaugePressure::try_from(&on_line.figure).ok()? - GaugePressure::try_from(&read_static.figure).ok()?;
    Figure::computed(difference.in_unit(unit).ok()?, unit).ok()
}
