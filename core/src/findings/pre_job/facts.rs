//! What the checks are made from: what was told, what was read, what stands beside this valve.

use super::NotKnownBecause;
use crate::journal::{
    AssetId, Body, Gauge, JobState, ParticularValue, Particulars, Reading, Register, Request, Stand,
};
use crate::procedure::{Owner, Procedure};
use crate::quantity::{Dimension, Figure, GaugePressure, Unit};

/// The point where the inlet is read.
const INLET: &str = "inlet";

/// One valve of a job.
pub(super) struct Facts<'a> {
    pub(super) state: &'a JobState,
    pub(super) procedure: &'a Procedure,
    pub(super) valve: AssetId,
}

/// A number without a unit: a ratio, or a share given in percent.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(super) struct Plain(pub f64);

/// A figure of another kind.
pub(super) struct NotPlain;

impl TryFrom<&Figure> for Plain {
    type Error = NotPlain;

    fn try_from(figure: &Figure) -> Result<Self, NotPlain> {
        let value = figure.value().map_err(|_| NotPlain)?;
        match figure.unit.dimension() {
            Dimension::Ratio => Ok(Self(value)),
            Dimension::Percent => Ok(Self(value / 100.0)),
            _ => Err(NotPlain),
        }
    }
}

/// A figure, or why there is none.
pub(super) type Told<'a> = Result<&'a Figure, NotKnownBecause>;

impl<'a> Facts<'a> {
    pub(super) fn new(state: &'a JobState, procedure: &'a Procedure, valve: AssetId) -> Self {
        Self {
            state,
            procedure,
            valve,
        }
    }

    /// Whether the procedure asks for one of these particulars, or somebody told one.
    pub(super) fn asks(&self, names: &[&str]) -> bool {
        names
            .iter()
            .any(|name| self.procedure.particular(name).is_some() || self.is_told(name))
    }

    /// Whether somebody told it.
    pub(super) fn is_told(&self, name: &str) -> bool {
        !matches!(self.particular(name), Stand::Never | Stand::Unknown)
    }

    /// What stands for a particular: with the one whose it is, else with the other.
    fn particular(&self, name: &str) -> Stand<'a, &'a Body> {
        let own = self.procedure.particular_owner(name);
        let other = match own {
            Owner::Valve => Owner::Station,
            Owner::Station => Owner::Valve,
        };
        let at = |owner: Owner| {
            self.state.standing(&Register::Particular {
                asset: owner.asset(self.state, self.valve),
                name: name.to_owned(),
            })
        };
        match at(own) {
            Stand::Never => at(other),
            found => found,
        }
    }

    /// The value of a particular, where one stands.
    pub(super) fn value(&self, name: &str) -> Result<&'a ParticularValue, NotKnownBecause> {
        match self.particular(name) {
            Stand::Agreed(Body::Particulars(Particulars { value, .. }), _) => Ok(value),
            Stand::Disagreed(_) => Err(NotKnownBecause::Disagreed),
            _ => Err(NotKnownBecause::NotSaid),
        }
    }

    /// The figure of a particular.
    pub(super) fn told(&self, name: &str) -> Told<'a> {
        match self.value(name)? {
            ParticularValue::Figure(figure) => Ok(figure),
            ParticularValue::Text(_) => Err(NotKnownBecause::NoFigure),
        }
    }

    /// The request that stands for a valve.
    pub(super) fn request(&self, valve: AssetId) -> Result<&'a Request, NotKnownBecause> {
        match self.state.request(valve) {
            Stand::Agreed(Some(request), _) => Ok(request),
            Stand::Disagreed(_) => Err(NotKnownBecause::Disagreed),
            _ => Err(NotKnownBecause::NotSaid),
        }
    }

    /// The newest reading of the inlet, if it is a pressure.
    pub(super) fn inlet_read(&self) -> Option<&'a Figure> {
        let newest = |body: &'a Body| match body {
            Body::Reading(Reading {
                asset, point, figure, ..
            }) if *asset == self.valve && point == INLET => Some(figure),
            _ => None,
        };
        let read = self
            .state
            .live()
            .rev()
            .find_map(|folded| newest(&folded.entry.told.body))?;
        GaugePressure::try_from(read).is_ok().then_some(read)
    }

    /// The other valves of the job that are worked by one of these procedures, with their names.
    pub(super) fn beside(&self, procedures: &[String]) -> Vec<(AssetId, &'a str)> {
        let opening = self.state.opening();
        let valves = opening
            .map(|opening| opening.valves.as_slice())
            .unwrap_or_default();
        valves
            .iter()
            .filter(|valve| valve.id != self.valve && procedures.contains(&valve.procedure))
            .map(|valve| (valve.id, valve.name.as_str()))
            .collect()
    }

    /// The gauges on the job that people agree on, and the serials of those that they do not.
    pub(super) fn gauges(&self) -> (Vec<&'a Gauge>, Vec<&'a str>) {
        let (mut agreed, mut differ) = (Vec::new(), Vec::new());
        for register in self.state.registers.keys() {
            let Register::Gauge { serial } = register else {
                continue;
            };
            match self.state.standing(register) {
                Stand::Agreed(Body::Gauge(gauge), _) => agreed.push(gauge),
                Stand::Disagreed(_) => differ.push(serial.as_str()),
                _ => {}
            }
        }
        (agreed, differ)
    }

    /// The unit that pressures are reckoned in: that of the request.
    pub(super) fn pressure_unit(&self) -> Unit {
        let asked = self.request(self.valve).map(|request| request.pressure.unit);
        asked
            .ok()
            .filter(|unit| unit.dimension() == Dimension::Pressure)
            .unwrap_or(Unit::Psi)
    }
}
