//! What was learned, for screens and record.

use super::evidence::{Evidence, Unseen, figure, spring};
use crate::journal::{AssetId, EntryId, JobState, particular};
use crate::procedure::{Procedure, Screw};
use crate::quantity::{Figure, GaugePressure, PressureDifference, Turns, Unit};
use crate::setting::SpringRange;
use crate::setting::learn::{Answered, Estimate, LearnWarning, Surroundings, around, reading_noise};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How many points the learned line is drawn through.
const LINE_POINTS: u32 = 12;
/// How far the line goes beyond the readings, in turns.
const LINE_BEYOND: f64 = 0.25;
/// The most turns that a line is drawn over: more is a slip of the pen.
const LINE_MOST: f64 = 60.0;

/// What a screw's moves taught. Every figure has its unit; turns are clockwise positive, since as found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Learned {
    /// Which screw.
    pub screw: String,
    /// The printed rate, as it was read.
    pub printed: Option<Figure>,
    /// The rate by all that was seen: the printed one with its doubt, where nothing was.
    pub rate: Option<RateFound>,
    /// How many moves taught something.
    pub taught: u32,
    /// What is lost on reversal. None: it never turned back.
    pub dead_band: Option<DeadBandFound>,
    /// Every move, oldest first.
    pub moves: Vec<MoveFound>,
    /// What to look out for.
    pub warnings: Vec<LearnWarning>,
    /// Every reading of the point that the screw sets, in the order made, for a plot.
    pub points: Vec<RatePoint>,
    /// What that point should read with the screw elsewhere, from where it stands now. Empty: nothing to go by.
    pub line: Vec<LinePoint>,
    /// Why nothing can be learned, as a code: `no_rate`, or one of the errors of learning.
    pub why_not: Option<String>,
}

/// A rate with its 95 % interval.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RateFound {
    /// The mean.
    pub mean: Figure,
    /// The lower end.
    pub low: Figure,
    /// The upper end.
    pub high: Figure,
}

/// A dead band with its 95 % interval, in turns.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct DeadBandFound {
    /// The mean.
    pub mean: Figure,
    /// The lower end.
    pub low: Figure,
    /// The upper end.
    pub high: Figure,
}

/// What one move taught.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct MoveFound {
    /// The move.
    pub entry: EntryId,
    /// What the water said to it.
    pub answered: Answered,
    /// Why it taught nothing.
    pub unseen: Option<Unseen>,
    /// The reading before it.
    pub before: Option<EntryId>,
    /// The reading after it.
    pub after: Option<EntryId>,
}

/// A reading against the turns made before it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RatePoint {
    /// The reading.
    pub entry: EntryId,
    /// Turns since as found, as far as its writer knew of them.
    pub turns: Figure,
    /// What was read, as it was read.
    pub pressure: Figure,
    /// Whether water was shown to move.
    pub flowing: bool,
    /// Whether a move was judged by it.
    pub used: bool,
}

/// One point of the learned line with its 95 % band.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct LinePoint {
    /// Turns since as found.
    pub turns: Figure,
    /// The mean.
    pub pressure: Figure,
    /// The lower end.
    pub low: Figure,
    /// The upper end.
    pub high: Figure,
}

/// What the moves of a screw taught, by its id. Nothing where the procedure has no such screw.
pub fn learned(state: &JobState, procedure: &Procedure, valve: AssetId, screw: &str) -> Learned {
    let Some(screw) = procedure.screw(screw) else {
        return Learned {
            screw: screw.to_owned(),
            why_not: Some("no_screw".to_owned()),
            ..Learned::default()
        };
    };
    let evidence = Evidence::of(state, procedure, valve, screw);
    let estimate = evidence.estimate();
    let why_not = match &estimate {
        None => Some("no_rate"),
        Some(Err(error)) => Some(error.code()),
        Some(Ok(_)) => None,
    };
    let estimate = estimate.and_then(Result::ok);
    Learned::of(state, valve, screw, &evidence, estimate.as_ref(), why_not)
}

impl Learned {
    /// The same for one who has gathered the evidence and learned already.
    pub fn of(
        state: &JobState,
        valve: AssetId,
        screw: &Screw,
        evidence: &Evidence<'_>,
        estimate: Option<&Estimate>,
        why_not: Option<&str>,
    ) -> Self {
        let entry = |place: usize| evidence.readings[place].folded.entry.id;
        let mut warnings = estimate.map_or_else(Vec::new, |known| known.warnings().to_vec());
        warnings.extend(around(&surroundings(state, valve, screw, evidence)));
        let mut answers = estimate.map_or(&[][..], Estimate::answered).iter().copied();
        let moves = evidence.moves.iter().map(|made| MoveFound {
            entry: made.folded.entry.id,
            answered: if made.turns == Turns::ZERO {
                Answered::Unseen
            } else {
                answers.next().unwrap_or(Answered::Unseen)
            },
            unseen: made.seen.err(),
            before: made.seen.ok().map(|(before, _)| entry(before)),
            after: made.seen.ok().map(|(_, after)| entry(after)),
        });
        let moves: Vec<MoveFound> = moves.collect();
        Self {
            screw: screw.id.clone(),
            printed: evidence.printed.cloned(),
            rate: estimate.and_then(|known| rate_found(known, evidence.printed?.unit)),
            taught: u32::try_from(moves.iter().filter(|made| made.unseen.is_none()).count())
                .unwrap_or(u32::MAX),
            dead_band: estimate.and_then(dead_band_found),
            points: points(evidence),
            line: estimate.map_or_else(Vec::new, |known| line(evidence, known)),
            moves,
            warnings,
            why_not: why_not.map(str::to_owned),
        }
    }
}

fn rate_found(estimate: &Estimate, unit: Unit) -> Option<RateFound> {
    let shown = |rate: crate::quantity::Rate| Figure::computed(rate.in_unit(unit).ok()?, unit).ok();
    let [low, high] = estimate.interval();
    Some(RateFound {
        mean: shown(estimate.rate())?,
        low: shown(low)?,
        high: shown(high)?,
    })
}

fn dead_band_found(estimate: &Estimate) -> Option<DeadBandFound> {
    let found = estimate.dead_band()?;
    Some(DeadBandFound {
        mean: turns_figure(found.mean)?,
        low: turns_figure(found.low)?,
        high: turns_figure(found.high)?,
    })
}

fn turns_figure(turns: Turns) -> Option<Figure> {
    Figure::computed(turns.in_turns(), Unit::Turn).ok()
}

fn surroundings(state: &JobState, valve: AssetId, screw: &Screw, evidence: &Evidence<'_>) -> Surroundings {
    let of_spring =
        |name| spring(state, valve, screw, name).and_then(|told| GaugePressure::try_from(told).ok());
    let range = of_spring(particular::SPRING_LOW)
        .zip(of_spring(particular::SPRING_HIGH))
        .and_then(|(low, high)| SpringRange::new(low, high).ok());
    let now = evidence.now().filter(|taken| taken.shown);
    // Only what reduces a pressure is starved by its inlet.
    let reduces = screw.sets == crate::findings::verdict::OUTLET;
    let least = figure(state, valve, particular::MIN_DIFFERENTIAL);
    Surroundings {
        range,
        inlet: super::plan::inlet(state, valve).filter(|_| reduces),
        min_differential: least.and_then(|least| PressureDifference::try_from(least).ok()),
        outlet: now.map(|taken| taken.pressure),
    }
}

fn points(evidence: &Evidence<'_>) -> Vec<RatePoint> {
    let used = |place: usize| {
        let mut seen = evidence.moves.iter().filter_map(|made| made.seen.ok());
        seen.any(|(before, after)| before == place || after == place)
    };
    let all = evidence.readings.iter().enumerate();
    all.filter_map(|(place, taken)| {
        Some(RatePoint {
            entry: taken.folded.entry.id,
            turns: turns_figure(taken.turns)?,
            pressure: taken.reading.figure.clone(),
            flowing: taken.shown,
            used: used(place),
        })
    })
    .collect()
}

/// From where the screw stands now, over all turns that were read, and a little beyond.
fn line(evidence: &Evidence<'_>, estimate: &Estimate) -> Vec<LinePoint> {
    let Some(now) = evidence.now() else {
        return Vec::new();
    };
    let unit = now.reading.figure.unit;
    let noise = reading_noise(now.resolution);
    let at = evidence.total().in_turns();
    let ends = evidence.readings.iter().map(|taken| taken.turns.in_turns());
    let (low, high) = ends.fold((at, at), |(low, high), turns| (low.min(turns), high.max(turns)));
    let (low, high) = (low - LINE_BEYOND, high + LINE_BEYOND);
    if high - low > LINE_MOST {
        return Vec::new();
    }
    let step = (high - low) / f64::from(LINE_POINTS);
    let shown = |pressure: GaugePressure| Figure::computed(pressure.in_unit(unit).ok()?, unit).ok();
    let steps = (0..=LINE_POINTS).map(|each| low + step * f64::from(each));
    steps
        .filter_map(|turns| {
            let expected = estimate.expected(Turns::of(turns - at), noise)?;
            Some(LinePoint {
                turns: turns_figure(Turns::of(turns))?,
                pressure: shown(expected.reading)?,
                low: shown(expected.low)?,
                high: shown(expected.high)?,
            })
        })
        .collect()
}
