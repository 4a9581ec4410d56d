//! What one valve's steps need of the valves beside it on the same job.

use super::condition::SetPointIs;
use super::scene::Scene;
use crate::journal::{AssetId, Body, Outcome, ParticularValue, Register};
use crate::quantity::{GaugePressure, PressureDifference};

/// Two figures of one unit are not told apart below this, psi: it is what arithmetic leaves over, no tolerance.
const ROUNDING: f64 = 1e-9;

impl Scene<'_, '_> {
    /// The other valves of the job that are worked by a procedure.
    fn worked_by(&self, procedure: &str) -> Vec<AssetId> {
        let opening = self.pool.state.opening();
        let valves = opening
            .map(|opening| opening.valves.as_slice())
            .unwrap_or_default();
        valves
            .iter()
            .filter(|valve| valve.procedure == procedure && valve.id != self.pool.valve)
            .map(|valve| valve.id)
            .collect()
    }

    /// Whether a step is marked done at another valve, and nobody disagrees. A job without such a valve has nobody
    /// who could have done it. Hard stops of the other valve's step are judged where that valve is in hand.
    pub(super) fn done_at(&self, step: &str, procedure: &str) -> bool {
        let there = self.worked_by(procedure);
        let done = |asset: &AssetId| {
            let register = Register::Step {
                asset: *asset,
                procedure: procedure.to_owned(),
                step: step.to_owned(),
            };
            match self.agreed(&register) {
                Some((Body::StepMark(mark), _)) => mark.outcome != Outcome::NotDone,
                _ => false,
            }
        };
        !there.is_empty() && there.iter().all(done)
    }

    /// Whether what is asked of this valve lies far enough from what is asked beside it.
    pub(super) fn set_point(&self, wanted: &SetPointIs) -> bool {
        let own = self
            .request()
            .and_then(|request| GaugePressure::try_from(&request.pressure).ok());
        let (Some(own), Ok(least)) = (own, PressureDifference::try_from(&wanted.least)) else {
            return false;
        };
        let mut beside = Vec::new();
        for valve in wanted.of.iter().flat_map(|procedure| self.worked_by(procedure)) {
            let asked = match self.agreed(&Register::Request { valve }) {
                Some((Body::Request(request), _)) => GaugePressure::try_from(&request.pressure).ok(),
                _ => None,
            };
            // A valve beside it whose setting nobody knows, or that people disagree about, settles nothing.
            let Some(asked) = asked else { return false };
            beside.push(asked);
        }
        let told = wanted.told.as_ref().and_then(|name| self.particular(name));
        if let Some(ParticularValue::Figure(figure)) = told {
            beside.extend(GaugePressure::try_from(figure));
        }
        let far = |other: &GaugePressure| {
            let apart = if wanted.above { own - *other } else { *other - own };
            apart.in_psi() >= least.in_psi() - ROUNDING
        };
        !beside.is_empty() && beside.iter().all(far)
    }
}
