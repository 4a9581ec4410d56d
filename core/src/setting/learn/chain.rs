//! Readings in runs: each run one unknown level, and the weighted sums that a regression on it needs.

use super::{Move, Read};
use std::f64::consts::PI;

/// A reading in its run.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    /// In turns' worth of the printed rate, less the run's first reading.
    pub y: f64,
    /// One over the variance of its error.
    pub weight: f64,
    /// How many moves had been made.
    pub moves: usize,
}

/// Readings between which nothing went unseen. `offset` is the first of them, so that `y` starts at zero.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub offset: f64,
    pub points: Vec<Point>,
}

impl Run {
    fn of(read: Read, worth: f64, moves: usize) -> Self {
        let mut run = Self {
            offset: read.pressure.in_psi() / worth,
            points: Vec::with_capacity(2),
        };
        run.add(read, worth, moves);
        run
    }

    fn add(&mut self, read: Read, worth: f64, moves: usize) {
        let noise = read.noise.in_psi() / worth;
        self.points.push(Point {
            y: read.pressure.in_psi() / worth - self.offset,
            weight: noise.powi(-2),
            moves,
        });
    }
}

/// Sorts readings into runs. `worth` is the printed rate in psi per turn. A move whose reading before is the one
/// after the last move carries its run on; so does `now`. The run of the newest reading is the last one.
pub(super) fn runs(moves: &[Move], now: Option<Read>, worth: f64) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut last: Option<Read> = None;
    for (at, made) in moves.iter().enumerate() {
        let Some(seen) = made.seen else {
            last = None;
            continue;
        };
        if last.is_none_or(|last| last.pressure != seen.before.pressure) {
            runs.push(Run::of(seen.before, worth, at));
        }
        if let Some(run) = runs.last_mut() {
            run.add(seen.after, worth, at + 1);
        }
        last = Some(seen.after);
    }
    if let Some(now) = now
        && last.is_none_or(|last| last.pressure != now.pressure)
    {
        runs.push(Run::of(now, worth, moves.len()));
    }
    runs
}

/// Weighted sums over some readings of a run.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    weight: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
    /// Sum of `log(weight / 2 pi) / 2`.
    log: f64,
}

impl Sums {
    pub(super) fn of(point: &Point, x: f64) -> Self {
        let Point { y, weight, .. } = *point;
        Self {
            weight,
            x: weight * x,
            y: weight * y,
            xx: weight * x * x,
            xy: weight * x * y,
            yy: weight * y * y,
            log: 0.5 * (weight / (2.0 * PI)).ln(),
        }
    }

    fn with(self, other: Self, sign: f64) -> Self {
        Self {
            weight: self.weight + sign * other.weight,
            x: self.x + sign * other.x,
            y: self.y + sign * other.y,
            xx: self.xx + sign * other.xx,
            xy: self.xy + sign * other.xy,
            yy: self.yy + sign * other.yy,
            log: self.log + sign * other.log,
        }
    }

    pub(super) fn add(self, other: Self) -> Self {
        self.with(other, 1.0)
    }

    pub(super) fn less(self, other: Self) -> Self {
        self.with(other, -1.0)
    }

    /// The sums about the run's own mean, with its level integrated out.
    pub(super) fn about_mean(self) -> Central {
        Central {
            xx: (self.xx - self.x * self.x / self.weight).max(0.0),
            xy: self.xy - self.x * self.y / self.weight,
            yy: (self.yy - self.y * self.y / self.weight).max(0.0),
            log: self.log - 0.5 * (self.weight / (2.0 * PI)).ln(),
        }
    }

    /// Where the run lies: its mean `x`, its mean `y`, and the variance of that.
    pub(super) fn level(self) -> Level {
        Level {
            x: self.x / self.weight,
            y: self.y / self.weight,
            variance: 1.0 / self.weight,
        }
    }
}

/// Sums about the means, over any number of runs.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Central {
    pub xx: f64,
    pub xy: f64,
    pub yy: f64,
    pub log: f64,
}

impl Central {
    pub(super) fn add(self, other: Self) -> Self {
        Self {
            xx: self.xx + other.xx,
            xy: self.xy + other.xy,
            yy: self.yy + other.yy,
            log: self.log + other.log,
        }
    }

    pub(super) fn less(self, other: Self) -> Self {
        Self {
            xx: self.xx - other.xx,
            xy: self.xy - other.xy,
            yy: self.yy - other.yy,
            log: self.log - other.log,
        }
    }
}

/// Where a run lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Level {
    pub x: f64,
    pub y: f64,
    pub variance: f64,
}
