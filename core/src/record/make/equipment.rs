//! The chamber, the line-up, particulars, gauges, the air.

use super::Making;
use super::words::same;
use crate::journal::{AssetId, Body, Folded, JobOpened, ParticularValue, Register};
use crate::procedure::{Owner, Procedure, Text, ToldAs};
use crate::record::content::{
    Agreement, AtmosphereLine, GaugeLine, GaugeSaid, LineUpLine, OpenSaid, ParticularLine, ParticularSaid,
    PositionSaid, SpeedControlLine, StationSection,
};

impl Making<'_> {
    /// The chamber. What its particulars are called, the procedures of the valves say.
    pub fn station(&self, opening: &JobOpened) -> StationSection {
        let procedures: Vec<&Procedure> = opening
            .valves
            .iter()
            .filter_map(|valve| self.procedures.get(&valve.procedure))
            .collect();
        StationSection {
            asset: opening.station.clone(),
            particulars: self.particulars(opening.station.id, &procedures, Owner::Station),
        }
    }

    /// The particulars of an asset: in the order of the procedures, then others by name.
    pub fn particulars(&self, asset: AssetId, procedures: &[&Procedure], of: Owner) -> Vec<ParticularLine> {
        let mut names: Vec<&str> = Vec::new();
        let asked = procedures.iter().flat_map(|procedure| &procedure.particulars);
        let on_record = self.state.registers.keys().filter_map(|register| match register {
            Register::Particular { asset: whose, name } if *whose == asset => Some(name.as_str()),
            _ => None,
        });
        let on_record: Vec<&str> = on_record.collect();
        for name in asked
            .filter(|asked| asked.of == of)
            .map(|asked| asked.name.as_str())
            .chain(on_record.iter().copied())
        {
            if on_record.contains(&name) && !names.contains(&name) {
                names.push(name);
            }
        }
        names
            .into_iter()
            .filter_map(|name| self.particular(asset, name, procedures))
            .collect()
    }

    fn particular(&self, asset: AssetId, name: &str, procedures: &[&Procedure]) -> Option<ParticularLine> {
        let register = Register::Particular {
            asset,
            name: name.to_owned(),
        };
        let asked = procedures.iter().find_map(|procedure| procedure.particular(name));
        let said = |folded: &Folded| match folded.entry.told.body.found() {
            Body::Particulars(told) => Some(ParticularSaid {
                said: self.said(folded),
                label: asked.and_then(|asked| choice(&asked.told_as, &told.value)),
                value: told.value.clone(),
            }),
            _ => None,
        };
        let (agreement, stands) = self.stands(&register);
        let held = self.state.standing_ids(&register);
        Some(ParticularLine {
            name: name.to_owned(),
            label: asked.map_or_else(|| same(name), |asked| asked.label.clone()),
            agreement: agreement?,
            values: stands.into_iter().filter_map(said).collect(),
            earlier: self
                .story(&register)
                .into_iter()
                .filter(|folded| !held.contains(&folded.entry.id))
                .filter_map(said)
                .collect(),
        })
    }

    /// The elements of a valve's line-up, in the order of the water.
    pub fn line_up(&self, valve: AssetId, procedure: &Procedure) -> Vec<LineUpLine> {
        procedure
            .elements
            .iter()
            .map(|element| {
                let asset = element.of.asset(self.state, valve);
                let register = Register::Position {
                    asset,
                    element: element.id.clone(),
                };
                let said = |folded: &Folded| match folded.entry.told.body.found() {
                    Body::LineUp(line_up) => Some(PositionSaid {
                        said: self.said(folded),
                        position: line_up.position,
                        counted: line_up.counted.clone(),
                    }),
                    _ => None,
                };
                let story: Vec<_> = self.story(&register).into_iter().filter_map(said).collect();
                let (agreement, stands) = self.stands(&register);
                LineUpLine {
                    asset,
                    element: element.id.clone(),
                    label: element.label.clone(),
                    class: element.class,
                    side: element.side,
                    normal: element.normal,
                    agreed: element.agreed,
                    found: story.first().cloned(),
                    agreement,
                    last: stands.into_iter().filter_map(said).collect(),
                    story,
                }
            })
            .collect()
    }

    /// The speed controls of a valve.
    pub fn speed_controls(&self, valve: AssetId, procedure: &Procedure) -> Vec<SpeedControlLine> {
        procedure
            .speed_controls
            .iter()
            .map(|control| {
                let register = Register::SpeedControl {
                    asset: valve,
                    control: control.id.clone(),
                };
                let said = |folded: &Folded| match folded.entry.told.body.found() {
                    Body::SpeedControl(told) => Some(OpenSaid {
                        said: self.said(folded),
                        open: told.open.clone(),
                    }),
                    _ => None,
                };
                let story: Vec<_> = self.story(&register).into_iter().filter_map(said).collect();
                SpeedControlLine {
                    control: control.id.clone(),
                    label: control.label.clone(),
                    found: story.first().cloned(),
                    last: self.stands(&register).1.into_iter().filter_map(said).collect(),
                    story,
                }
            })
            .collect()
    }

    /// Every gauge, by serial.
    pub fn gauges(&self) -> Vec<GaugeLine> {
        let readings = self.told(|body| match body {
            Body::Reading(reading) => Some(reading),
            _ => None,
        });
        self.state
            .registers
            .keys()
            .filter_map(|register| match register {
                Register::Gauge { serial } => Some((register, serial)),
                _ => None,
            })
            .map(|(register, serial)| {
                let said = |folded: &Folded| match folded.entry.told.body.found() {
                    Body::Gauge(gauge) => Some(GaugeSaid {
                        said: self.said(folded),
                        gauge: gauge.clone(),
                    }),
                    _ => None,
                };
                let held = self.state.standing_ids(register);
                let (agreement, stands) = self.stands(register);
                GaugeLine {
                    serial: serial.clone(),
                    agreement: agreement.unwrap_or(Agreement::Unknown),
                    values: stands.into_iter().filter_map(said).collect(),
                    earlier: self
                        .story(register)
                        .into_iter()
                        .filter(|folded| !held.contains(&folded.entry.id))
                        .filter_map(said)
                        .collect(),
                    readings: readings
                        .iter()
                        .filter(|(_, reading)| reading.gauge.as_ref() == Some(serial))
                        .map(|(folded, _)| folded.entry.id)
                        .collect(),
                }
            })
            .collect()
    }

    /// Every test of the air.
    pub fn atmosphere(&self) -> Vec<AtmosphereLine> {
        self.told(|body| match body {
            Body::AtmosphereTest(test) => Some(test),
            _ => None,
        })
        .into_iter()
        .map(|(folded, test)| AtmosphereLine {
            said: self.said(folded),
            level: test.level,
            oxygen: test.oxygen.clone(),
            flammable: test.flammable.clone(),
            carbon_monoxide: test.carbon_monoxide.clone(),
            hydrogen_sulphide: test.hydrogen_sulphide.clone(),
            meter: test.meter.clone(),
            bump_tested: test.bump_tested,
        })
        .collect()
    }
}

/// The words of a choice, where the value is one.
fn choice(told_as: &ToldAs, value: &ParticularValue) -> Option<Text> {
    match (told_as, value) {
        (ToldAs::Choice(words), ParticularValue::Text(text)) => words
            .iter()
            .find(|word| word.id == *text)
            .map(|word| word.label.clone()),
        _ => None,
    }
}
