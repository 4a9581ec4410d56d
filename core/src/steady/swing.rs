//! One frequency that explains what a straight line leaves over.

use super::Sample;
use super::line::{Line, count};
use rustfft::{FftPlanner, num_complex::Complex};
use std::f64::consts::TAU;

/// The least share of the left-over variance that one sine must explain.
const LEAST_SHARE: f64 = 0.4;
/// The least number of whole swings.
const LEAST_CYCLES: f64 = 2.5;
/// The chance of a false alarm that is accepted.
const FALSE_ALARM: f64 = 1e-3;
/// A swing whose last third is at most this share of its first third dies away.
const DYING: f64 = 0.6;
/// The sine is refined on at most so many samples; the rest would not move it.
const REFINED_ON: usize = 20_000;
/// The most points of the even grid.
const LARGEST_GRID: usize = 1 << 20;

/// A swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// One cycle, s.
    pub period_s: f64,
    /// From the middle to the top, psi.
    pub amplitude: f64,
    /// Whether it is dying away.
    pub dies_away: bool,
}

/// Finds a swing of at least `band` in samples.
pub fn find(samples: &[Sample], band: f64) -> Option<Swing> {
    let n = samples.len();
    if n < super::MANY {
        return None;
    }
    let line = Line::through(samples)?;
    let left: Vec<Sample> = samples
        .iter()
        .map(|sample| Sample {
            at_s: sample.at_s - samples[0].at_s,
            psi: sample.psi - line.at(sample.at_s),
        })
        .collect();
    let variance = left.iter().map(|sample| sample.psi.powi(2)).sum::<f64>() / count(n);
    // A sine of that amplitude has at least this variance, of which it must be the better part.
    if variance < band * band / 4.0 * LEAST_SHARE {
        return None;
    }
    let span = left[n - 1].at_s;
    let (coarse, step) = loudest(&left, span)?;
    let refined = refine(&thinned(&left), coarse, step);
    let sine = Sine::fit(&left, refined);
    let share = sine.explained / (variance * count(n));
    let cycles = span * refined;
    let found = cycles >= LEAST_CYCLES
        && share >= LEAST_SHARE
        && by_chance(share, n) <= FALSE_ALARM
        && sine.amplitude() >= band;
    found.then(|| Swing {
        period_s: 1.0 / refined,
        amplitude: sine.amplitude(),
        dies_away: dies_away(&left, refined),
    })
}

/// Chance that noise gives a power of this share at any of the frequencies: Lomb-Scargle, standard normalisation,
/// 1 - (1 - z)^((n-3)/2) at each of about n/2 independent frequencies (from memory).
fn by_chance(share: f64, n: usize) -> f64 {
    let n = count(n);
    (n / 2.0) * (1.0 - share.min(1.0)).powf((n - 3.0) / 2.0)
}

/// The loudest frequency of the samples on an even grid, and the grid's step in frequency, Hz. At least two cycles
/// must fit.
fn loudest(left: &[Sample], span: f64) -> Option<(f64, f64)> {
    let size = left.len().next_power_of_two().clamp(64, LARGEST_GRID);
    let mut grid = on_grid(left, span, size);
    // Twice as long with nothing behind: frequencies between the steps are seen too.
    let padded = size * 2;
    grid.resize(padded, Complex::new(0.0, 0.0));
    FftPlanner::new().plan_fft_forward(padded).process(&mut grid);
    let step = count(size - 1) / (span * count(padded));
    // No faster than the samples can show.
    let highest = (count(left.len()) / (2.0 * span) / step).floor();
    let (at, _) = grid
        .iter()
        .enumerate()
        .take(size)
        .filter(|&(at, _)| count(at) * step * span >= 2.0 && count(at) <= highest)
        .max_by(|a, b| a.1.norm_sqr().total_cmp(&b.1.norm_sqr()))?;
    Some((count(at) * step, step))
}

/// The samples on an even grid, by straight lines between them.
fn on_grid(left: &[Sample], span: f64, size: usize) -> Vec<Complex<f64>> {
    let mut after = 1;
    (0..size)
        .map(|point| {
            let at = span * count(point) / count(size - 1);
            while after + 1 < left.len() && left[after].at_s < at {
                after += 1;
            }
            let (a, b) = (left[after - 1], left[after]);
            let share = ((at - a.at_s) / (b.at_s - a.at_s)).clamp(0.0, 1.0);
            Complex::new(a.psi + share * (b.psi - a.psi), 0.0)
        })
        .collect()
}

/// About [`REFINED_ON`] of the samples, chosen by the fractions of multiples of the golden ratio: evenly spread, but at no even
/// step that could fall in with the swing.
fn thinned(left: &[Sample]) -> Vec<Sample> {
    let share = count(REFINED_ON) / count(left.len());
    left.iter()
        .enumerate()
        .filter(|&(at, _)| (count(at) * 0.618_033_988_749_895).fract() < share)
        .map(|(_, sample)| *sample)
        .collect()
}

/// The frequency near `coarse` whose sine explains most, by golden section within a step either side.
fn refine(left: &[Sample], coarse: f64, step: f64) -> f64 {
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let explained = |frequency: f64| Sine::fit(left, frequency).explained;
    let (mut low, mut high) = (coarse - step, coarse + step);
    let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_a, mut at_b) = (explained(a), explained(b));
    for _ in 0..30 {
        if at_a > at_b {
            high = b;
            (b, at_b) = (a, at_a);
            a = high - golden * (high - low);
            at_a = explained(a);
        } else {
            low = a;
            (a, at_a) = (b, at_b);
            b = low + golden * (high - low);
            at_b = explained(b);
        }
    }
    f64::midpoint(low, high)
}

/// A sine fitted by least squares at a given frequency.
struct Sine {
    across: f64,
    along: f64,
    /// Sum of squares that it explains.
    explained: f64,
}

impl Sine {
    fn fit(left: &[Sample], frequency: f64) -> Self {
        let (mut cc, mut ss, mut cs, mut yc, mut ys) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for sample in left {
            let (s, c) = (TAU * frequency * sample.at_s).sin_cos();
            cc += c * c;
            ss += s * s;
            cs += c * s;
            yc += sample.psi * c;
            ys += sample.psi * s;
        }
        let determinant = cc * ss - cs * cs;
        if determinant <= 1e-9 * cc.max(ss).powi(2) {
            return Self {
                across: 0.0,
                along: 0.0,
                explained: 0.0,
            };
        }
        let across = (yc * ss - ys * cs) / determinant;
        let along = (ys * cc - yc * cs) / determinant;
        Self {
            across,
            along,
            explained: across * yc + along * ys,
        }
    }

    fn amplitude(&self) -> f64 {
        self.across.hypot(self.along)
    }
}

/// Whether the swing of the last third is much smaller than that of the first.
fn dies_away(left: &[Sample], frequency: f64) -> bool {
    let third = left.len() / 3;
    let of = |part: &[Sample]| Sine::fit(part, frequency).amplitude();
    third >= 4 && of(&left[left.len() - third..]) <= DYING * of(&left[..third])
}
