//! The least-squares line through samples, and what it says.

use super::Sample;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Two-sided level of the test of a slope.
const LEVEL: f64 = 0.01;

/// The mean pressure, psi: the plain mean of the samples. Zero for none.
pub fn mean(samples: &[Sample]) -> f64 {
    let Some(first) = samples.first() else {
        return 0.0;
    };
    // From the first sample on, so that no digits are lost to a large level.
    let sum: f64 = samples.iter().map(|sample| sample.psi - first.psi).sum();
    first.psi + sum / count(samples.len())
}

/// A count as a number. Exact for any count of samples.
#[expect(clippy::cast_precision_loss, reason = "counts here are far below 2^52")]
pub fn count(n: usize) -> f64 {
    n as f64
}

/// A straight line by least squares: psi = middle + slope (t - centre).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Mean time, s.
    pub centre: f64,
    /// Mean pressure, psi.
    pub middle: f64,
    /// psi per second.
    pub slope: f64,
    /// Sum of squared times from the centre, s2.
    pub spread: f64,
}

impl Line {
    /// The line through samples. None for fewer than two times.
    pub fn through(samples: &[Sample]) -> Option<Self> {
        let first = samples.first()?;
        let n = count(samples.len());
        let centre = first.at_s + samples.iter().map(|s| s.at_s - first.at_s).sum::<f64>() / n;
        let middle = mean(samples);
        let (mut spread, mut across) = (0.0, 0.0);
        for sample in samples {
            let t = sample.at_s - centre;
            spread += t * t;
            across += t * (sample.psi - middle);
        }
        let slope = across / spread;
        (spread > 0.0 && slope.is_finite()).then_some(Self {
            centre,
            middle,
            slope,
            spread,
        })
    }

    /// What the line says at a time, psi.
    pub fn at(&self, at_s: f64) -> f64 {
        self.middle + self.slope * (at_s - self.centre)
    }

    /// How far the line goes from the first sample to the last, psi.
    pub fn change(&self, samples: &[Sample]) -> f64 {
        match samples {
            [first, .., last] => self.slope * (last.at_s - first.at_s),
            _ => 0.0,
        }
    }

    /// Variance of what the line leaves over, n - 2 degrees of freedom, psi2.
    pub fn variance(&self, samples: &[Sample]) -> f64 {
        let left: f64 = samples
            .iter()
            .map(|sample| (sample.psi - self.at(sample.at_s)).powi(2))
            .sum();
        left / (count(samples.len()) - 2.0).max(1.0)
    }

    /// Variance of the slope, (psi/s)2.
    fn slope_variance(&self, samples: &[Sample]) -> f64 {
        self.variance(samples) / self.spread
    }

    /// Whether the slope differs from nothing by a two-sided t test at 1 %.
    pub fn significant(&self, samples: &[Sample]) -> bool {
        let freedom = count(samples.len()) - 2.0;
        exceeds(self.slope, self.slope_variance(samples), freedom)
    }
}

/// Whether a figure with this variance differs from nothing.
fn exceeds(figure: f64, variance: f64, freedom: f64) -> bool {
    let quantile = StudentsT::new(0.0, 1.0, freedom.max(1.0))
        .map_or(f64::INFINITY, |student| student.inverse_cdf(1.0 - LEVEL / 2.0));
    figure.abs() > quantile * variance.sqrt()
}

/// The slower half's slope is at most this share of the faster half's.
const SLOWER: f64 = 0.8;

/// Whether the second half of the samples moves clearly slower than the first: by a fifth, and by more than the
/// scatter explains.
pub fn slows_down(samples: &[Sample]) -> bool {
    let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
        return false;
    };
    let middle = f64::midpoint(first.at_s, last.at_s);
    let (early, late) = samples.split_at(samples.partition_point(|sample| sample.at_s <= middle));
    let (Some(a), Some(b)) = (Line::through(early), Line::through(late)) else {
        return false;
    };
    let slower = b.slope.abs() <= SLOWER * a.slope.abs();
    let freedom = count(samples.len()) - 4.0;
    slower
        && exceeds(
            a.slope.abs() - b.slope.abs(),
            a.slope_variance(early) + b.slope_variance(late),
            freedom,
        )
}
