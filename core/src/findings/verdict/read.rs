//! Readings with what makes them comparable.

use crate::findings::gauges::{Basis, ReadingUncertainty, uncertainty_given, uncertainty_of};
use crate::journal::{AssetId, Body, Folded, Gauge, JobState, Reading, Register, Stand};
use crate::quantity::{Figure, GaugePressure, PressureDifference, Unit};

/// The resolution taken where neither the gauge nor the digits say. Common practice, no source.
const USUAL_RESOLUTION: PressureDifference = PressureDifference::psi(1.0);

/// A reading of a pressure and its entry.
#[derive(Clone, Copy)]
pub struct Read<'a> {
    pub folded: &'a Folded,
    pub reading: &'a Reading,
    pub pressure: GaugePressure,
}

/// The live pressure readings of a valve, in fold order.
pub fn readings(state: &JobState, valve: AssetId) -> impl DoubleEndedIterator<Item = Read<'_>> {
    state
        .live()
        .filter_map(move |folded| match &folded.entry.told.body {
            Body::Reading(reading) if reading.asset == valve => Some(Read {
                folded,
                reading,
                pressure: GaugePressure::try_from(&reading.figure).ok()?,
            }),
            _ => None,
        })
}

/// The live moves of any screw of a valve, in fold order.
pub fn moves(state: &JobState, valve: AssetId) -> Vec<&Folded> {
    state
        .live()
        .filter(|folded| matches!(&folded.entry.told.body, Body::ScrewMove(turned) if turned.asset == valve))
        .collect()
}

/// Whether an entry was made in knowledge of every move.
pub fn after_all(folded: &Folded, moves: &[&Folded]) -> bool {
    moves.iter().all(|turned| folded.saw(turned))
}

/// Whether two entries' writers knew of the same moves.
pub fn same_moves(a: &Folded, b: &Folded, moves: &[&Folded]) -> bool {
    moves.iter().all(|turned| a.saw(turned) == b.saw(turned))
}

impl Read<'_> {
    /// How sure the reading is.
    pub fn uncertainty(&self, state: &JobState) -> Option<ReadingUncertainty> {
        uncertainty_of(state, self.reading, &self.folded.entry.told.at)
    }

    /// Its expanded uncertainty alone, k = 2, without looking for what is wrong with the gauge: that takes a search for the
    /// inlet pressure, too much for a job with thousands of readings.
    pub fn expanded(&self, state: &JobState) -> Option<PressureDifference> {
        let at = &self.folded.entry.told.at;
        Some(uncertainty_given(state, self.reading, at, None)?.expanded())
    }

    /// The expanded uncertainty of the difference to another reading, k = 2.
    ///
    /// Two readings of one gauge share what the gauge is off by, so only its resolution is left, twice:
    /// u = r / sqrt(6). Those of two gauges share nothing: u = sqrt(u1^2 + u2^2). Source: GUM (JCGM 100:2008),
    /// correlated input quantities; that a gauge is off by the same amount twice within minutes is common practice, no source.
    ///
    /// Example: one gauge read to 1 psi, twice: U = 2 / sqrt(6) = 0.816 psi.
    pub fn uncertainty_to(&self, other: &Self, state: &JobState) -> Option<PressureDifference> {
        if self.reading.gauge.is_some() && self.reading.gauge == other.reading.gauge {
            let step = self.resolution(state).in_pa();
            return Some(PressureDifference::pa(2.0 * step / 6.0_f64.sqrt()));
        }
        let (a, b) = (self.expanded(state)?, other.expanded(state)?);
        Some(PressureDifference::pa(a.in_pa().hypot(b.in_pa())))
    }

    fn resolution(&self, state: &JobState) -> PressureDifference {
        let serial = self.reading.gauge.clone().unwrap_or_default();
        let of = |gauge: &Gauge| PressureDifference::try_from(gauge.resolution.as_ref()?).ok();
        match state.standing(&Register::Gauge { serial }) {
            Stand::Agreed(Body::Gauge(gauge), _) => of(gauge),
            _ => None,
        }
        .filter(|step| *step > PressureDifference::ZERO)
        .unwrap_or(USUAL_RESOLUTION)
    }
}

/// What a screen and the record say of how sure a reading is.
pub struct Sure {
    pub expanded: PressureDifference,
    pub gauge: Option<String>,
    pub problems: Vec<String>,
}

impl From<ReadingUncertainty> for Sure {
    fn from(known: ReadingUncertainty) -> Self {
        Self {
            expanded: known.expanded(),
            problems: known
                .problems
                .iter()
                .map(|problem| problem.code().to_owned())
                .collect(),
            gauge: match known.basis {
                Basis::Gauge(serial) => Some(serial),
                Basis::Assumed => None,
            },
        }
    }
}

/// A difference for the eye, in a unit of pressure.
pub fn shown(difference: PressureDifference, unit: Unit) -> Option<Figure> {
    Figure::computed(difference.in_unit(unit).ok()?, unit).ok()
}

/// The larger.
pub fn larger(a: PressureDifference, b: PressureDifference) -> PressureDifference {
    if a > b { a } else { b }
}

/// Minutes from one stated time to another, RFC 3339. None where one of them cannot be read.
pub fn minutes(from: &str, to: &str) -> Option<f64> {
    let moment = |text: &str| text.parse::<jiff::Timestamp>().ok();
    Some(moment(to)?.duration_since(moment(from)?).as_secs_f64() / 60.0)
}
