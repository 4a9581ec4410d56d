//! Since when a pressure stays at its last level.

use super::Sample;
use super::line::{Line, count, mean};

/// The share of the samples whose mean is the last level.
const LAST: usize = 5;
/// The least share of the samples, and of the time, that must lie in the band before it counts as settled.
const LEAST_SHARE: f64 = 0.2;
/// The least samples that must lie in the band.
const LEAST_SAMPLES: usize = 5;
/// How many standard deviations the noise of an average may take.
const ALLOWANCE: f64 = 4.5;

/// Where the last level begins.
pub struct Level {
    /// The first sample of it.
    pub from: usize,
    /// Whether enough follows to speak of settled.
    pub long_enough: bool,
    /// Standard deviation of the noise, psi.
    pub noise: f64,
}

/// Finds the time after which the moving average stays within `band` of the mean of the last fifth.
pub fn settled(samples: &[Sample], band: f64) -> Level {
    let n = samples.len();
    // The later half: a fast beginning would be taken for noise.
    let noise = noise(&samples[n / 2..]);
    let width = width(noise, band, n);
    let last = &samples[n - (n / LAST).max(3).min(n)..];
    let target = mean(last);
    let noise_left = ALLOWANCE * noise * (2.0 / count(width) + 1.0 / count(last.len())).sqrt();
    // A single sample needs no allowance where there is hardly any noise.
    let allowed = if width == 1 {
        band.max(noise_left)
    } else {
        band + noise_left
    };
    let averages = Averages::of(samples, width);
    let from = (0..n)
        .rev()
        .find(|&at| (averages.at(at) - target).abs() > allowed)
        .map_or(0, |outside| outside + 1);
    let share = |part: f64, whole: f64| part >= LEAST_SHARE * whole;
    let long_enough = from < n
        && n - from >= LEAST_SAMPLES
        && share(count(n - from), count(n))
        && share(
            samples[n - 1].at_s - samples[from].at_s,
            samples[n - 1].at_s - samples[0].at_s,
        );
    Level {
        from: from.min(n - 1),
        long_enough,
        noise,
    }
}

/// The part of the record in which it moves: earlier halves that stay level are left off.
pub fn moving_part(samples: &[Sample], band: f64) -> &[Sample] {
    let mut part = samples;
    while part.len() >= 4 * super::MANY {
        let (early, late) = part.split_at(part.len() / 2);
        let level = Line::through(early).is_none_or(|line| line.change(early).abs() <= band);
        let (low, high) = early.iter().fold((f64::MAX, f64::MIN), |(low, high), sample| {
            (low.min(sample.psi), high.max(sample.psi))
        });
        let quiet = high - low <= 2.0 * band + 2.0 * ALLOWANCE * noise(early);
        if !(level && quiet) {
            break;
        }
        part = late;
    }
    part
}

/// Standard deviation of white noise, from second differences: a straight line leaves none, and a smooth movement
/// hardly any. The root of the mean square of x(i-1) - 2 x(i) + x(i+1), over the root of 6. On uneven
/// times the middle sample is held against the line through its neighbours.
fn noise(samples: &[Sample]) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for three in samples.windows(3) {
        let share = (three[1].at_s - three[0].at_s) / (three[2].at_s - three[0].at_s);
        let between = three[0].psi + share * (three[2].psi - three[0].psi);
        sum += (three[1].psi - between).powi(2);
        weight += 1.0 + share * share + (1.0 - share) * (1.0 - share);
    }
    if weight > 0.0 { (sum / weight).sqrt() } else { 0.0 }
}

/// How many samples to average so that six standard deviations of the average are below the band: 1 where there is
/// hardly any noise, at most a tenth of the samples.
fn width(noise: f64, band: f64, n: usize) -> usize {
    let most = (n / 10).max(1);
    let wanted = (6.0 * noise / band).powi(2).ceil();
    // The largest width at hand is found by counting, so that no number is cast.
    (1..=most).find(|&width| count(width) >= wanted).unwrap_or(most)
}

/// Centred moving averages, shorter at the ends.
struct Averages {
    sums: Vec<f64>,
    base: f64,
    half: usize,
}

impl Averages {
    fn of(samples: &[Sample], width: usize) -> Self {
        let base = samples.first().map_or(0.0, |first| first.psi);
        let mut sums = Vec::with_capacity(samples.len() + 1);
        sums.push(0.0);
        let mut sum = 0.0;
        for sample in samples {
            sum += sample.psi - base;
            sums.push(sum);
        }
        Self {
            sums,
            base,
            half: width / 2,
        }
    }

    fn at(&self, at: usize) -> f64 {
        let from = at.saturating_sub(self.half);
        let to = (at + self.half + 1).min(self.sums.len() - 1);
        self.base + (self.sums[to] - self.sums[from]) / count(to - from)
    }
}
