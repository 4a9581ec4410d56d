//! Has the pressure at a point settled, by the readings keyed in there?

use super::read::{Read, after_all, minutes, moves, readings};
use crate::journal::{AssetId, JobState};
use crate::quantity::{Figure, Unit};
use crate::steady::{Because, Sample, State, Verdict, judge};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The most readings that are looked at, the newest ones.
const NEWEST: usize = 60;

/// Whether a pressure has settled, for screens and record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Settled {
    /// How it behaves.
    pub state: State,
    /// Why that is said.
    pub because: Vec<Because>,
    /// How many readings or samples it rests on.
    pub samples: u32,
    /// Their mean.
    pub mean: Option<Figure>,
    /// Slope, in the mean's unit a minute, as digits.
    pub slope_per_minute: Option<String>,
    /// Seconds of one swing, where it hunts.
    pub period_s: Option<String>,
    /// How far it swings either way, where it hunts.
    pub amplitude: Option<Figure>,
}

impl Settled {
    /// A verdict for the eye, in a unit of pressure.
    pub fn of(verdict: &Verdict, unit: Unit) -> Self {
        let figure = |psi: f64| {
            let value = Unit::Psi.convert(psi, unit).ok()?;
            Figure::computed(value, unit).ok()
        };
        let slope = verdict.slope_psi_per_min.and_then(figure);
        Self {
            state: verdict.state,
            because: verdict.because.clone(),
            samples: u32::try_from(verdict.samples).unwrap_or(u32::MAX),
            mean: figure(verdict.mean_psi),
            slope_per_minute: slope.map(|figure| figure.digits),
            period_s: verdict.period_s.map(|period| format!("{period:.1}")),
            amplitude: verdict.amplitude_psi.and_then(figure),
        }
    }
}

/// Whether the pressure at a point has settled since the last move of the screw, by the readings there on the gauge
/// and in the place of the newest, at the times their entries state. None where there is no reading.
pub fn settled(state: &JobState, valve: AssetId, point: &str) -> Option<Settled> {
    let turned = moves(state, valve);
    let mut here: Vec<Read<'_>> = readings(state, valve)
        .filter(|read| read.reading.point == point && after_all(read.folded, &turned))
        .collect();
    let newest = *here.last()?;
    here.retain(|read| {
        read.reading.gauge == newest.reading.gauge
            && read.reading.place == newest.reading.place
            && read.reading.water == newest.reading.water
    });
    let zero = &here.first()?.folded.entry.told.at;
    let samples: Vec<Sample> = here
        .iter()
        .rev()
        .take(NEWEST)
        .filter_map(|read| {
            Some(Sample {
                at_s: minutes(zero, &read.folded.entry.told.at)? * 60.0,
                psi: read.pressure.in_psi(),
            })
        })
        .collect();
    let mut verdict = judge(&samples, None).ok()?;
    // They were handed over newest first on purpose.
    verdict.because.retain(|because| *because != Because::Unordered);
    Some(Settled::of(&verdict, newest.reading.figure.unit))
}
