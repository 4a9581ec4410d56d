//! The posterior of rate and dead band.

use super::answer::{Answered, LearnWarning, answers};
use super::chain::{Central, Level, Run, Sums, runs};
use super::mixture::{self, Part};
use super::play::Play;
use super::{
    AtStart, DEAD_BAND_MOST, FAULT_SHARE, FAULT_WIDTH, GRID, History, LearnError, MOST_MOVES, Move,
    RATE_SPREAD, Read,
};
use crate::quantity::{GaugePressure, PressureDifference, Rate, Turns};

/// Half of what a 95 % interval leaves out.
const TAIL: f64 = 0.025;
/// What is left out of a prediction: the least likely parts that together come to this share.
const HARDLY: f64 = 1e-4;
/// Parts this much less likely than the likeliest, as a logarithm, are left out.
const NEGLIGIBLE: f64 = -23.0;
/// A rate this far from the printed one is another spring's.
const OTHER_SPRING: f64 = 0.3;
/// A dead band over this, in turns, is large. Common practice, no source.
const LARGE_DEAD_BAND: f64 = 0.08;
/// What is more likely than this is said.
const SAID_FROM: f64 = 0.9;
/// A fault that is more likely than all else.
const BLAMED_FROM: f64 = 0.5;

/// The rate and the dead band, given all that was seen.
#[derive(Clone, Debug)]
pub struct Estimate {
    /// The printed rate in psi per turn: what inside figures are multiples of.
    worth: f64,
    /// What a turn clockwise does.
    sign: f64,
    parts: Vec<Component>,
    reversed: bool,
    answered: Vec<Answered>,
    warnings: Vec<LearnWarning>,
}

/// The posterior for one dead band, one start and one fault or none.
#[derive(Clone, Copy, Debug)]
struct Component {
    weight: f64,
    /// The rate, as a multiple of the printed one.
    rate: f64,
    sd: f64,
    band: f64,
    play: Play,
    /// Turns driven since the first move.
    driven: f64,
    /// Where the newest run lies, where there is one. In turns' worth.
    level: Option<Level>,
    fault: Fault,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fault {
    None,
    /// This reading of this run is wrong.
    Reading(usize, usize),
    /// Something moved the pressure after this reading of this run.
    After(usize, usize),
}

/// The dead band on reversal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeadBand {
    /// The mean.
    pub mean: Turns,
    /// The 95 % interval, to the grid's step.
    pub low: Turns,
    /// Its upper end.
    pub high: Turns,
}

/// What a gauge should show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// The mean.
    pub reading: GaugePressure,
    /// The 95 % interval.
    pub low: GaugePressure,
    /// Its upper end.
    pub high: GaugePressure,
}

/// Learns from the moves so far. Without any the answer is what was believed beforehand.
///
/// Equation, units, range and source: the module's own documentation.
/// Example: printed 15 psi per turn; a gauge of 1 psi read 70, and 62 after half a turn counter-clockwise. With
/// `u` = 0.289 psi each, the move says 16 with a standard deviation of 0.82; beforehand it was 15 with 3. The
/// posterior mean without any thought of faults is (15/9 + 16/0.670) / (1/9 + 1/0.670) = 15.93.
///
/// # Errors
/// See [`LearnError`].
pub fn learn(history: &History<'_>) -> Result<Estimate, LearnError> {
    check(history)?;
    let worth = history.printed.in_psi_per_turn();
    let sign = history.clockwise.sign();
    let turned: Vec<Move> = history
        .moves
        .iter()
        .copied()
        .filter(|made| made.turns != Turns::ZERO)
        .collect();
    let answered = answers(&turned, history.clockwise, history.start, worth);
    let posterior = Posterior::of(history, &taught(&turned, &answered), worth);
    let parts = posterior.parts();
    if parts.is_empty() {
        return Err(LearnError::NotFinite);
    }
    let mut estimate = Estimate {
        worth,
        sign,
        parts,
        reversed: turned.windows(2).enumerate().any(|(at, pair)| {
            (pair[0].turns > Turns::ZERO) != (pair[1].turns > Turns::ZERO)
                && turned[at + 1..].iter().any(|made| made.seen.is_some())
        }),
        answered,
        warnings: Vec::new(),
    };
    estimate.warnings = estimate.warned(&posterior.runs);
    Ok(estimate)
}

fn check(history: &History<'_>) -> Result<(), LearnError> {
    if history.moves.len() > MOST_MOVES {
        return Err(LearnError::TooManyMoves);
    }
    let seen = history.moves.iter().filter_map(|made| made.seen);
    let reads = seen.flat_map(|seen| [seen.before, seen.after]).chain(history.now);
    let finite = history.printed.is_finite()
        && history.moves.iter().all(|made| made.turns.is_finite())
        && reads
            .clone()
            .all(|read| read.pressure.is_finite() && read.noise.is_finite());
    if !finite {
        return Err(LearnError::NotFinite);
    }
    if history.printed.in_psi_per_turn() <= 0.0 {
        return Err(LearnError::RateNotPositive);
    }
    if reads
        .into_iter()
        .any(|read| read.noise <= PressureDifference::ZERO)
    {
        return Err(LearnError::NoiseNotPositive);
    }
    Ok(())
}

/// One answer that fits nothing may be one wrong reading, which the posterior allows for. Two or more are not:
/// water that does not answer says nothing about the spring, so those moves count as unseen.
fn taught(moves: &[Move], answered: &[Answered]) -> Vec<Move> {
    let odd = |answer: &Answered| matches!(answer, Answered::NotAtAll | Answered::WrongWay);
    let several = answered.iter().filter(|answer| odd(answer)).count() > 1;
    let keep = |answer: &Answered| !(several && odd(answer));
    moves
        .iter()
        .zip(answered)
        .map(|(made, answer)| Move {
            seen: made.seen.filter(|_| keep(answer)),
            ..*made
        })
        .collect()
}

/// Everything that the mixture is made from.
struct Posterior {
    turns: Vec<f64>,
    runs: Vec<Run>,
    start: AtStart,
}

impl Posterior {
    fn of(history: &History<'_>, moves: &[Move], worth: f64) -> Self {
        let sign = history.clockwise.sign();
        Self {
            // In the direction that raises the setting. Play is the same either way.
            turns: moves.iter().map(|made| made.turns.in_turns() * sign).collect(),
            runs: runs(moves, history.now, worth),
            start: history.start,
        }
    }

    fn parts(&self) -> Vec<Component> {
        let Some(first) = self.turns.first().copied() else {
            return self.untouched();
        };
        let starts: &[f64] = match self.start {
            AtStart::TakenUp => &[first],
            AtStart::Unknown => &[first, -first],
        };
        let mut parts = Vec::new();
        for &start in starts {
            for (band, share) in dead_bands() {
                self.given(Play::taken_up(band, start), band, share.ln(), &mut parts);
            }
        }
        normalised(parts)
    }

    /// The parts before any move: the play that lies before the first one is all there is to know.
    fn untouched(&self) -> Vec<Component> {
        let mut parts = Vec::new();
        match self.start {
            AtStart::TakenUp => self.given(Play::taken_up(0.0, 1.0), 0.0, 0.0, &mut parts),
            AtStart::Unknown => {
                for (band, share) in dead_bands() {
                    self.given(Play::taken_up(band, 1.0), band, share.ln(), &mut parts);
                    self.given(Play::taken_up(band, -1.0), band, share.ln(), &mut parts);
                }
            }
        }
        normalised(parts)
    }

    /// The parts for one dead band and one start, over all faults; their weights still logarithms.
    fn given(&self, mut play: Play, band: f64, log_share: f64, parts: &mut Vec<Component>) {
        let mut driven = vec![0.0];
        let mut sum = 0.0;
        for &turns in &self.turns {
            sum += play.turn(turns);
            driven.push(sum);
        }
        let runs: Vec<Vec<Sums>> = self
            .runs
            .iter()
            .map(|run| {
                run.points
                    .iter()
                    .map(|point| Sums::of(point, driven.get(point.moves).copied().unwrap_or(sum)))
                    .collect()
            })
            .collect();
        let whole: Vec<Sums> = runs
            .iter()
            .map(|run| run.iter().copied().fold(Sums::default(), Sums::add))
            .collect();
        let all = whole
            .iter()
            .fold(Central::default(), |all, run| all.add(run.about_mean()));
        let last = runs.len().wrapping_sub(1);
        let blame = FAULT_SHARE.ln() - (1.0 - FAULT_SHARE).ln() - FAULT_WIDTH.ln();
        let mut emit = |central: Central, newest: Option<Sums>, fault: Fault| {
            let log_fault = if fault == Fault::None { 0.0 } else { blame };
            let (rate, sd, log) = rate_given(central);
            let level = newest.map(|sums| {
                let level = sums.level();
                let offset = self.runs.get(last).map_or(0.0, |run| run.offset);
                Level {
                    y: level.y + offset,
                    ..level
                }
            });
            parts.push(Component {
                weight: log_share + log_fault + log,
                rate,
                sd,
                band,
                play,
                driven: sum,
                level,
                fault,
            });
        };
        emit(all, whole.last().copied(), Fault::None);
        for (at, run) in runs.iter().enumerate() {
            if run.len() < 2 {
                continue;
            }
            let rest = all.less(whole[at].about_mean());
            let newest = |here: Sums| Some(if at == last { here } else { whole[last] });
            for (of, point) in run.iter().enumerate() {
                let left = whole[at].less(*point);
                emit(rest.add(left.about_mean()), newest(left), Fault::Reading(at, of));
            }
            let mut before = Sums::default();
            for (of, point) in run[..run.len() - 1].iter().enumerate() {
                before = before.add(*point);
                let after = whole[at].less(before);
                let both = rest.add(before.about_mean()).add(after.about_mean());
                emit(both, newest(after), Fault::After(at, of));
            }
        }
    }
}

/// The dead bands that are tried, with their shares beforehand.
fn dead_bands() -> impl Iterator<Item = (f64, f64)> {
    #[expect(clippy::cast_precision_loss, reason = "a small count is exact in a double")]
    let count = GRID as f64;
    (0..GRID).map(move |at| {
        #[expect(clippy::cast_precision_loss, reason = "a small count is exact in a double")]
        let middle = (at as f64 + 0.5) / count;
        (middle * DEAD_BAND_MOST, (1.0 - middle) * 2.0 / count)
    })
}

/// The rate's normal posterior and the logarithm of the evidence, by the conjugate form: precision
/// `1/s^2 + Sxx`, mean `(1/s^2 + Sxy) / precision`, prior mean 1 and prior standard deviation `s`.
fn rate_given(sums: Central) -> (f64, f64, f64) {
    let prior = RATE_SPREAD.powi(-2);
    let precision = prior + sums.xx;
    let mean = (prior + sums.xy) / precision;
    // The least of the sum of squares, each written so that it does not cancel.
    let least = sums.yy - 2.0 * mean * sums.xy + mean * mean * sums.xx + prior * (mean - 1.0).powi(2);
    let log = sums.log - 0.5 * (least.max(0.0) + (precision / prior).ln());
    (mean, precision.powf(-0.5), log)
}

fn normalised(mut parts: Vec<Component>) -> Vec<Component> {
    parts.retain(|part| part.weight.is_finite() && part.rate.is_finite() && part.sd > 0.0);
    let most = parts
        .iter()
        .map(|part| part.weight)
        .fold(f64::NEG_INFINITY, f64::max);
    parts.retain(|part| part.weight - most > NEGLIGIBLE);
    for part in &mut parts {
        part.weight = (part.weight - most).exp();
    }
    let all: f64 = parts.iter().map(|part| part.weight).sum();
    for part in &mut parts {
        part.weight /= all;
    }
    parts
}

impl Estimate {
    /// The rate's mean.
    pub fn rate(&self) -> Rate {
        Rate::psi_per_turn(mixture::mean(&self.rates()) * self.worth)
    }

    /// The rate's 95 % interval, equal tails.
    pub fn interval(&self) -> [Rate; 2] {
        let rates = self.rates();
        [TAIL, 1.0 - TAIL].map(|share| Rate::psi_per_turn(mixture::quantile(&rates, share) * self.worth))
    }

    /// The dead band. None where the moves never reversed: nothing was seen of it.
    pub fn dead_band(&self) -> Option<DeadBand> {
        if !self.reversed {
            return None;
        }
        let share_below = |most: f64| self.share(|part| part.band <= most);
        #[expect(clippy::cast_precision_loss, reason = "a small count is exact in a double")]
        let step = DEAD_BAND_MOST / GRID as f64;
        let at = |share: f64, edge: f64| {
            let found = dead_bands()
                .map(|(band, _)| band)
                .find(|&band| share_below(band) >= share);
            Turns::of((found.unwrap_or(DEAD_BAND_MOST) + edge * step).clamp(0.0, DEAD_BAND_MOST))
        };
        Some(DeadBand {
            mean: Turns::of(self.parts.iter().map(|part| part.weight * part.band).sum()),
            low: at(TAIL, -0.5),
            high: at(1.0 - TAIL, 0.5),
        })
    }

    /// What the water said to each move that turned the screw at all.
    pub fn answered(&self) -> &[Answered] {
        &self.answered
    }

    /// What to look out for, in the order of the codes' declaration.
    pub fn warnings(&self) -> &[LearnWarning] {
        &self.warnings
    }

    /// What a gauge should show after a turn, clockwise positive; `noise` is that reading's own standard
    /// uncertainty. None where no reading says where the setting is now.
    ///
    /// Equation: the posterior predictive, a mixture of normals with mean `level + k x` and variance
    /// `x^2 var(k) + var(level) + noise^2`, `x` what is left of the turn after the play. Units and range: as
    /// [`learn`]. Source: standard textbook form.
    /// Example: 60 psi, printed 27 psi per turn, nothing learned, a gauge of 1 psi, a quarter turn down with
    /// the play taken up: 53.25, give or take 1.96 sqrt((0.25 5.4)^2 + 2 0.289^2) = 2.77 psi.
    pub fn expected(&self, turns: Turns, noise: PressureDifference) -> Option<Expected> {
        let mut parts = mixture::gathered(mixture::trimmed(self.after(turns)?, HARDLY));
        for part in &mut parts {
            part.sd = part.sd.hypot(noise.in_psi());
        }
        Some(Expected {
            reading: GaugePressure::psi(mixture::mean(&parts)),
            low: GaugePressure::psi(mixture::quantile(&parts, TAIL)),
            high: GaugePressure::psi(mixture::quantile(&parts, 1.0 - TAIL)),
        })
    }

    /// Where the pressure itself will be after a turn, in psi. None as for [`Self::expected`].
    pub(in crate::setting) fn after(&self, turns: Turns) -> Option<Vec<Part>> {
        self.parts
            .iter()
            .map(|part| {
                let level = part.level?;
                let mut play = part.play;
                let x = part.driven + play.turn(turns.in_turns() * self.sign) - level.x;
                let variance = (part.sd * x).powi(2) + level.variance;
                Some(Part {
                    weight: part.weight,
                    mean: (level.y + part.rate * x) * self.worth,
                    sd: variance.sqrt() * self.worth,
                })
            })
            .collect()
    }

    /// What a turn clockwise does to the setting: 1 raises it, -1 lowers it.
    pub(in crate::setting) fn sign(&self) -> f64 {
        self.sign
    }

    fn rates(&self) -> Vec<Part> {
        let part = |part: &Component| Part {
            weight: part.weight,
            mean: part.rate,
            sd: part.sd,
        };
        mixture::gathered(self.parts.iter().map(part).collect())
    }

    fn share(&self, of: impl Fn(&Component) -> bool) -> f64 {
        let all = self.parts.iter().filter(|part| of(part));
        all.map(|part| part.weight).sum()
    }

    fn warned(&self, runs: &[Run]) -> Vec<LearnWarning> {
        let mut warnings = Vec::new();
        let blamed = self.blamed();
        let explained = |at: usize| match blamed {
            Some(Fault::Reading(run, of)) => {
                let moves = runs[run].points[of].moves;
                at == moves || at + 1 == moves
            }
            _ => false,
        };
        for (answer, warning) in [
            (Answered::WrongWay, LearnWarning::WrongWay),
            (Answered::NotAtAll, LearnWarning::NoAnswer),
        ] {
            let mut found = self.answered.iter().enumerate();
            if found.any(|(at, seen)| *seen == answer && !explained(at)) {
                warnings.push(warning);
            }
        }
        let rates = self.rates();
        if mixture::below(&rates, 1.0 - OTHER_SPRING) > 1.0 - TAIL
            || mixture::below(&rates, 1.0 + OTHER_SPRING) < TAIL
        {
            warnings.push(LearnWarning::OtherSpring);
        }
        match blamed {
            Some(Fault::Reading(..)) => warnings.push(LearnWarning::DoubtfulReading),
            Some(Fault::After(..)) => warnings.push(LearnWarning::Upset),
            Some(Fault::None) | None => {}
        }
        if self.reversed && self.share(|part| part.band > LARGE_DEAD_BAND) > SAID_FROM {
            warnings.push(LearnWarning::DeadBandLarge);
        }
        warnings
    }

    /// The one fault that is more likely than everything else together.
    fn blamed(&self) -> Option<Fault> {
        let mut shares: Vec<(Fault, f64)> = Vec::new();
        for part in self.parts.iter().filter(|part| part.fault != Fault::None) {
            match shares.iter_mut().find(|(fault, _)| *fault == part.fault) {
                Some((_, share)) => *share += part.weight,
                None => shares.push((part.fault, part.weight)),
            }
        }
        let blamed = shares.into_iter().find(|(_, share)| *share > BLAMED_FROM);
        blamed.map(|(fault, _)| fault)
    }
}

impl Read {
    /// A reading of a gauge that can be read this finely.
    pub fn of(pressure: GaugePressure, resolution: PressureDifference) -> Self {
        Self {
            pressure,
            noise: super::reading_noise(resolution),
        }
    }
}
