//! Whether a condition holds.

use super::condition::{
    After, AtmosphereIs, Condition, LineUpIs, ReadingIs, Sense, Stance, ZeroCheck, ZoneLimitIs,
};
use super::initials::everybody_initialled;
use super::limits::{
    CARBON_MONOXIDE_MOST, FLAMMABLE_MOST, HYDROGEN_SULPHIDE_MOST, OXYGEN_LEAST, OXYGEN_MOST, VENTED_WITHIN,
};
use super::scene::{Said, Scene, newest};
use crate::journal::{
    AtmosphereTest, Body, Duty, FlowProof, Folded, Gauge, Level, Outcome, ParticularValue, PersonId,
    Position, Reading, Register, particular,
};
use crate::quantity::{Figure, GaugePressure, Turns, Unit};

const LEVELS: [Level; 3] = [Level::Top, Level::Middle, Level::Bottom];

impl<'a> Scene<'_, 'a> {
    /// Whether a condition holds. A stop is in force where its condition does not.
    pub(super) fn met(&self, condition: &Condition) -> bool {
        match condition {
            Condition::Step { step } => {
                let step = self.pool.procedure.step(step);
                step.is_some_and(|step| !self.applies(step) || self.is_done(step))
            }
            Condition::StepAt { step, procedure } => self.done_at(step, procedure),
            Condition::SetPoint(set) => self.set_point(set),
            Condition::Choice { step, is } => {
                matches!(self.outcome(step), Some(Outcome::Chosen(chosen)) if chosen == is)
            }
            Condition::Position { element, is } => self.stands(element, *is),
            Condition::LineUp { is } => {
                let is = match is {
                    LineUpIs::Recorded => Stance::Recorded,
                    LineUpIs::Normal => Stance::Normal,
                };
                self.pool
                    .procedure
                    .elements
                    .iter()
                    .all(|element| self.stands(&element.id, is))
            }
            Condition::Reading(reading) => self.read(reading),
            Condition::Zero { point, after } => self.zero(point, after),
            Condition::Flow => self.flow_proven(),
            Condition::Particular { name, is } => match (self.particular(name), is) {
                (Some(_), None) => true,
                (Some(ParticularValue::Text(word)), Some(is)) => word == is,
                _ => false,
            },
            Condition::Request => self.request().is_some(),
            Condition::ZoneLimit {
                is: ZoneLimitIs::OnRecord,
            } => self.request().is_some_and(|request| request.zone_limit.is_some()),
            Condition::ZoneLimit {
                is: ZoneLimitIs::Within,
            } => self.over_limit().is_none(),
            Condition::Gauge { point, zero } => self.gauges().iter().any(|gauge| {
                gauge.point.as_ref() == Some(point)
                    && match zero {
                        None => true,
                        Some(ZeroCheck::Before) => gauge.zero_before.is_some(),
                        Some(ZeroCheck::After) => gauge.zero_after.is_some(),
                    }
            }),
            Condition::Duty { duty } => self.people().iter().any(|(_, duties)| duties.contains(duty)),
            Condition::Move { screw, sense, after } => {
                let seen = self.to_be_seen(after);
                self.moves().iter().any(|(folded, moved)| {
                    moved.screw == *screw && is_sense(&moved.turn, *sense) && seen.by(folded)
                })
            }
            Condition::SpeedControl { control, after } => {
                let register = Register::SpeedControl {
                    asset: self.pool.valve,
                    control: control.clone(),
                };
                let seen = self.to_be_seen(after);
                self.agreed(&register)
                    .is_some_and(|(_, all)| all.iter().all(|folded| seen.by(folded)))
            }
            Condition::Photo { after } => self.photo_after(after),
            Condition::Note { after } => self.note_after(after),
            Condition::Atmosphere { is } => self.air_is(*is),
            Condition::Attendant => !self.permit_space() || self.attended(),
            Condition::Retrieval { step } => {
                !self.permit_space() || self.outcome(step) == Some(&Outcome::Done)
            }
            Condition::Vented { points, after } => points.iter().all(|point| self.zero(point, after)),
            Condition::PermitSpace => self.permit_space(),
            Condition::Agreed => self
                .registers()
                .all(|register| self.standing(register).is_empty() || self.agreed(register).is_some()),
            Condition::Initials => everybody_initialled(self.pool.state),
            Condition::Signed => signed(self.pool.state),
            Condition::Any(any) => any.iter().any(|condition| self.met(condition)),
        }
    }

    fn stands(&self, element: &str, is: Stance) -> bool {
        let (Some(position), Some(element)) = (self.position(element), self.pool.procedure.element(element))
        else {
            return false;
        };
        match is {
            Stance::Is(wanted) => position == wanted,
            Stance::Normal => position == element.normal || element.agreed,
            Stance::NotShut => position != Position::Shut,
            Stance::Recorded => true,
        }
    }

    fn read(&self, wanted: &ReadingIs) -> bool {
        let standing = self.requests();
        let seen = self.to_be_seen(&wanted.after);
        let fits = |folded: &Folded, reading: &Reading| {
            wanted.purpose.is_none_or(|purpose| reading.purpose == purpose)
                && wanted.water.is_none_or(|water| reading.water == water)
                && seen.by(folded)
                && (!wanted.names_gauge || reading.gauge.is_some())
                && (!wanted.names_request
                    || reading
                        .request
                        .is_some_and(|named| standing.iter().any(|(id, _)| *id == named)))
        };
        let enough = self
            .readings_at(&wanted.point)
            .into_iter()
            .filter(|(folded, reading)| fits(folded, reading))
            .take(wanted.count)
            .count();
        let disagreed = wanted.names_request && self.request().is_none();
        enough == wanted.count && !disagreed && (!wanted.within_limit || self.newest_within_limit(wanted))
    }

    /// Not just any reading: none of the newest is over the limit, nor from before.
    fn newest_within_limit(&self, wanted: &ReadingIs) -> bool {
        let (Some(limit), Some(newest)) = (self.zone_limit(), self.newest_at(&wanted.point)) else {
            return false;
        };
        let seen = self.to_be_seen(&wanted.after);
        newest.iter().all(|(folded, reading)| {
            pressure(&reading.figure).is_some_and(|read| read <= limit.1) && seen.by(folded)
        })
    }

    fn zero(&self, point: &str, after: &[After]) -> bool {
        let seen = self.to_be_seen(after);
        let vented = |figure| pressure(figure).is_some_and(|read| read.in_psi().abs() <= VENTED_WITHIN.value);
        self.newest_at(point).is_some_and(|newest| {
            newest
                .iter()
                .all(|(folded, reading)| vented(&reading.figure) && seen.by(folded))
        })
    }

    /// Proven, and no stop that the proof's writer had not seen: a stop beside the proof counts as after it.
    fn flow_proven(&self) -> bool {
        let flows = self.flows();
        let stops: Vec<_> = flows
            .iter()
            .filter(|(_, it)| it.how == FlowProof::Stopped)
            .collect();
        flows.iter().any(|(proof, evidence)| {
            let sound = match evidence.how {
                FlowProof::Stopped => false,
                FlowProof::Meter | FlowProof::Pitot | FlowProof::VisibleDischarge => true,
                FlowProof::OutletFellOnDownwardMove => self.lowered_before(proof),
            };
            sound && stops.iter().all(|(stop, _)| proof.saw(stop))
        })
    }

    /// Whether the writer of an entry had seen a turn that lowers the setting.
    fn lowered_before(&self, folded: &Folded) -> bool {
        let reversed = matches!(
            self.particular(particular::CLOCKWISE),
            Some(ParticularValue::Text(word)) if word == "lowers"
        );
        let sense = if reversed { Sense::In } else { Sense::Out };
        self.moves()
            .iter()
            .any(|(moved, it)| folded.saw(moved) && is_sense(&it.turn, sense))
    }

    /// The zone's limit, as it was written and as a pressure. Where requests disagree, the lowest.
    pub(super) fn zone_limit(&self) -> Option<(&'a Figure, GaugePressure)> {
        let limits = self
            .requests()
            .into_iter()
            .filter_map(|(_, request)| request.zone_limit.as_ref());
        let limits = limits.filter_map(|figure| Some((figure, pressure(figure)?)));
        limits.min_by(|a, b| a.1.in_psi().total_cmp(&b.1.in_psi()))
    }

    /// The highest of the newest readings that the zone's limit counts for, if it is over it. Readings beside
    /// one another all count: which came first, nobody can say.
    pub(super) fn over_limit(&self) -> Option<Said<'a, Reading>> {
        *self.over_limit.get_or_init(|| {
            let (_, limit) = self.zone_limit()?;
            let mut over = Vec::new();
            for point in self.pool.procedure.points.iter().filter(|point| point.zone) {
                let mut readable = self.readings_at(&point.id);
                readable.retain(|(_, reading)| pressure(&reading.figure).is_some());
                for said in newest(readable.into_iter()) {
                    if let Some(read) = pressure(&said.1.figure).filter(|read| *read > limit) {
                        over.push((read, said));
                    }
                }
            }
            let worst = over
                .into_iter()
                .max_by(|a, b| a.0.in_psi().total_cmp(&b.0.in_psi()))?;
            Some(worst.1)
        })
    }

    fn gauges(&self) -> Vec<&'a Gauge> {
        let gauges = self
            .registers()
            .filter(|register| matches!(register, Register::Gauge { .. }));
        let gauges = gauges.filter_map(|register| match self.agreed(register)?.0 {
            Body::Gauge(gauge) => Some(gauge),
            _ => None,
        });
        gauges.collect()
    }

    /// Everybody on the crew with the duties that nobody disputes.
    pub(super) fn people(&self) -> Vec<(PersonId, Vec<Duty>)> {
        let people = self.registers().filter_map(|register| match register {
            Register::Duty { person } => Some((*person, register)),
            _ => None,
        });
        let people = people.filter_map(|(person, register)| match self.agreed(register)?.0 {
            Body::PersonJoined(joined) => Some((person, joined.duties.clone())),
            _ => None,
        });
        people.collect()
    }

    /// Whether somebody watches at the opening. Whoever works underground does not.
    fn attended(&self) -> bool {
        self.people()
            .iter()
            .any(|(_, duties)| duties.contains(&Duty::Attendant) && !duties.contains(&Duty::WrenchHand))
    }

    fn air_is(&self, is: AtmosphereIs) -> bool {
        match is {
            AtmosphereIs::TestedAtTop => self.air().iter().any(|(_, test)| test.level == Level::Top),
            AtmosphereIs::Tested => self.tested_downwards(),
            AtmosphereIs::BumpTested => LEVELS.iter().all(|&level| {
                self.newest_air(level)
                    .is_some_and(|all| all.iter().all(|(_, test)| test.bump_tested))
            }),
            AtmosphereIs::WithinLimits => {
                let air = self.air();
                let out = LEVELS.iter().any(|&level| {
                    let there = air.iter().copied().filter(|(_, test)| test.level == level);
                    newest(there).iter().any(|(_, test)| !within_limits(test))
                });
                !out && (!self.permit_space() || self.tested_downwards())
            }
        }
    }

    /// Every level tested, each with the one above it on record, and no level's newest test taken back.
    fn tested_downwards(&self) -> bool {
        let air = self.air();
        let at = |level: Level| air.iter().filter(move |(_, test)| test.level == level);
        let in_order = at(Level::Bottom).any(|(bottom, _)| {
            at(Level::Middle)
                .any(|(middle, _)| bottom.saw(middle) && at(Level::Top).any(|(top, _)| middle.saw(top)))
        });
        in_order && LEVELS.iter().all(|&level| self.newest_air(level).is_some())
    }
}

/// Whether the air is fit to breathe and cannot burn. A figure that cannot be read is out of limits.
pub(super) fn within_limits(test: &AtmosphereTest) -> bool {
    let number = |figure: &Figure, unit| figure.measure().and_then(|measure| measure.in_unit(unit)).ok();
    let at_most = |figure, unit, most: f64| number(figure, unit).is_some_and(|value| value <= most);
    number(&test.oxygen, Unit::Percent)
        .is_some_and(|value| (OXYGEN_LEAST.value..=OXYGEN_MOST.value).contains(&value))
        && at_most(&test.flammable, Unit::PercentLfl, FLAMMABLE_MOST.value)
        && at_most(
            &test.carbon_monoxide,
            Unit::PartsPerMillion,
            CARBON_MONOXIDE_MOST.value,
        )
        && at_most(
            &test.hydrogen_sulphide,
            Unit::PartsPerMillion,
            HYDROGEN_SULPHIDE_MOST.value,
        )
}

fn pressure(figure: &Figure) -> Option<GaugePressure> {
    GaugePressure::try_from(figure).ok()
}

fn is_sense(turn: &Figure, sense: Sense) -> bool {
    Turns::try_from(turn).is_ok_and(|turns| match sense {
        Sense::In => turns > Turns::ZERO,
        Sense::Out => turns < Turns::ZERO,
        Sense::Any => true,
    })
}

/// Whether a signature stands that nobody opened again.
fn signed(state: &crate::journal::JobState) -> bool {
    let opened_again = |id| {
        state
            .live()
            .any(|folded| matches!(&folded.entry.told.body, Body::ReOpened(opened) if opened.sign_off == id))
    };
    state
        .live()
        .any(|folded| matches!(folded.entry.told.body, Body::SignOff(_)) && !opened_again(folded.entry.id))
}
