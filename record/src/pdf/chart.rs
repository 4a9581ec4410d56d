//! Charts, reduced to what a template can draw without a thought: every place is a share of the width and of
//! the height, every tick has its label.

use serde::Serialize;

/// A chart with its axes.
#[derive(Serialize)]
pub(super) struct Chart {
    pub x_label: String,
    pub y_label: String,
    pub x_ticks: Vec<Tick>,
    pub y_ticks: Vec<Tick>,
    pub series: Vec<Series>,
    /// Straight lines across: a requested pressure, a limit.
    pub rules: Vec<Ruled>,
    /// The learned line and its band.
    pub line: Option<Line>,
}

#[derive(Serialize)]
pub(super) struct Tick {
    pub at: f64,
    pub label: String,
}

/// What belongs together on a chart.
#[derive(Serialize)]
pub(super) struct Series {
    pub name: String,
    /// `disc`, `ring`, `square`, `diamond`, `triangle`, `cross`.
    pub mark: &'static str,
    pub joined: bool,
    /// Places, and where a mark is to be told apart its own mark and the number of its entry.
    pub points: Vec<Dot>,
}

#[derive(Serialize)]
pub(super) struct Dot {
    pub x: f64,
    pub y: f64,
    pub hollow: bool,
    pub label: String,
}

#[derive(Serialize)]
pub(super) struct Ruled {
    pub y: f64,
    pub label: String,
}

/// A line with its band, as corners from left to right.
#[derive(Serialize)]
pub(super) struct Line {
    pub middle: Vec<[f64; 2]>,
    pub low: Vec<[f64; 2]>,
    pub high: Vec<[f64; 2]>,
    pub label: String,
}

/// The marks, told apart by shape.
pub(super) const MARKS: [&str; 6] = ["disc", "square", "triangle", "diamond", "cross", "ring"];

/// One axis: from where to where, and the round figures on it.
pub(super) struct Axis {
    from: f64,
    to: f64,
    step: f64,
}

impl Axis {
    /// An axis with round figures that holds all of these values. None without a finite value.
    pub fn around(values: impl Iterator<Item = f64>, ticks: f64) -> Option<Self> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.filter(|value| value.is_finite()) {
            low = low.min(value);
            high = high.max(value);
        }
        if low > high {
            return None;
        }
        let width = (high - low).max(low.abs().max(high.abs()) * 0.02).max(1e-6);
        let middle = f64::midpoint(low, high);
        let (low, high) = (low.min(middle - width / 2.0), high.max(middle + width / 2.0));
        let step = round_step(width / ticks);
        let from = (low / step - 0.15).floor() * step;
        Some(Self {
            // What cannot be negative gets no room below zero.
            from: if low >= 0.0 { from.max(0.0) } else { from },
            to: (high / step + 0.15).ceil() * step,
            step,
        })
    }

    /// The share of the axis at which a value lies, kept on the axis.
    pub fn share(&self, value: f64) -> f64 {
        ((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }

    /// The round figures.
    pub fn ticks(&self) -> Vec<Tick> {
        let decimals =
            usize::from(self.step < 1.0) + usize::from(self.step < 0.1) + usize::from(self.step < 0.01);
        let mut ticks = Vec::new();
        let mut value = self.from;
        while value <= self.to + self.step * 0.01 && ticks.len() < 40 {
            let mut label = format!("{value:.decimals$}");
            if label.starts_with('-') && label.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
                label.remove(0);
            }
            ticks.push(Tick {
                at: self.share(value),
                label,
            });
            value += self.step;
        }
        ticks
    }
}

/// The round step (1, 2 or 5 times a power of ten) at or above this width.
fn round_step(width: f64) -> f64 {
    let power = 10_f64.powf(width.log10().floor());
    let times = width / power;
    power
        * if times <= 1.0 {
            1.0
        } else if times <= 2.0 {
            2.0
        } else if times <= 5.0 {
            5.0
        } else {
            10.0
        }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_holds_its_values_between_round_figures() {
        let axis = Axis::around([52.0, 61.5, 70.25].into_iter(), 5.0).unwrap();
        let labels: Vec<String> = axis.ticks().into_iter().map(|tick| tick.label).collect();
        assert_eq!(labels, ["50", "55", "60", "65", "70", "75"]);
        assert!(axis.share(52.0) > 0.0 && axis.share(70.25) < 1.0);
    }

    #[test]
    fn one_value_alone_has_an_axis_too() {
        let axis = Axis::around([0.0].into_iter(), 5.0).unwrap();
        assert!((0.0..=1.0).contains(&axis.share(0.0)));
        assert_eq!(axis.ticks()[0].label.parse(), Ok(0.0));
        assert!(Axis::around(std::iter::empty(), 5.0).is_none());
    }
}
