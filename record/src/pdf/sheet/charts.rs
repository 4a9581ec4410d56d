//! The charts of one valve: reading against turns, readings over time, outlet against flow.

use super::eye::Eye;
use super::valve::{flowing, point};
use crate::pdf::chart::{Axis, Chart, Dot, Line, MARKS, Ruled, Series};
use turnwise_core::journal::Purpose;
use turnwise_core::quantity::{Dimension, Figure, Unit};
use turnwise_core::record::content::{RateFinding, ReadingLine, ValveSection};

/// A figure's number in a unit, where it has one.
fn number(figure: &Figure, unit: Unit) -> Option<f64> {
    figure.measure().ok()?.in_unit(unit).ok()
}

/// A dot before the axes are known.
struct Raw {
    x: f64,
    y: f64,
    hollow: bool,
    label: String,
}

/// Readings of the main point against the turns of its screw, with what was asked and the learned line.
pub(super) fn setting(eye: &Eye<'_>, valve: &ValveSection) -> Option<Chart> {
    let main = valve.main_point.as_deref()?;
    let screw = valve.moves.first().map(|line| line.screw.as_str())?;
    let readings: Vec<&ReadingLine> = valve
        .readings
        .iter()
        .filter(|line| {
            line.point == main && !matches!(line.purpose, Purpose::LockUp | Purpose::StaticSetting)
        })
        .collect();
    let unit = eye.chart_unit(readings.iter().map(|line| &line.figure))?;
    let dots: Vec<Raw> = readings
        .iter()
        .filter_map(|line| {
            let turned = line.turned.iter().find(|turned| turned.screw == screw);
            Some(Raw {
                x: turned.map_or(Some(0.0), |turned| number(&turned.turns, Unit::Turn))?,
                y: number(&line.figure, unit)?,
                hollow: !flowing(line),
                label: eye.number(line.said.entry),
            })
        })
        .collect();
    if dots.is_empty() {
        return None;
    }
    let learned = valve
        .findings
        .as_ref()
        .and_then(|found| found.rates.iter().find(|rate| rate.screw == screw));
    let line = learned.map(|rate| line_of(rate, unit)).unwrap_or_default();
    let asked = valve
        .request()
        .and_then(|request| Some((number(&request.pressure, unit)?, eye.line(&request.pressure))));
    let x = Axis::around(
        dots.iter().map(|dot| dot.x).chain(line.iter().map(|at| at[0])),
        6.0,
    )?;
    let y = Axis::around(
        dots.iter()
            .map(|dot| dot.y)
            .chain(line.iter().map(|at| at[1]))
            .chain(asked.iter().map(|(asked, _)| *asked)),
        5.0,
    )?;
    Some(Chart {
        x_label: eye.page("turns_axis"),
        y_label: format!("{} ({})", eye.page("reading"), eye.unit(unit)),
        series: vec![Series {
            name: eye.page("flowing_filled"),
            mark: MARKS[0],
            joined: false,
            points: dots.into_iter().map(|dot| place(dot, &x, &y)).collect(),
        }],
        rules: asked
            .into_iter()
            .map(|(asked, label)| Ruled {
                y: y.share(asked),
                label: format!("{} {label}", eye.page("asked")),
            })
            .collect(),
        line: (line.len() > 1).then(|| Line {
            middle: line.iter().map(|at| [x.share(at[0]), y.share(at[1])]).collect(),
            low: Vec::new(),
            high: Vec::new(),
            label: eye.page("learned_line"),
        }),
        x_ticks: x.ticks(),
        y_ticks: y.ticks(),
    })
}

fn line_of(rate: &RateFinding, unit: Unit) -> Vec<[f64; 2]> {
    rate.line
        .iter()
        .filter_map(|at| Some([number(&at.turns, Unit::Turn)?, number(&at.pressure, unit)?]))
        .collect()
}

fn place(dot: Raw, x: &Axis, y: &Axis) -> Dot {
    Dot {
        x: x.share(dot.x),
        y: y.share(dot.y),
        hollow: dot.hollow,
        label: dot.label,
    }
}

/// Every pressure over the time told with it, a mark a point.
pub(super) fn trace(eye: &Eye<'_>, valve: &ValveSection) -> Option<Chart> {
    let pressures: Vec<&ReadingLine> = valve
        .readings
        .iter()
        .filter(|line| line.figure.unit.dimension() == Dimension::Pressure)
        .collect();
    let unit = eye.chart_unit(pressures.iter().map(|line| &line.figure))?;
    let minutes = |line: &ReadingLine| {
        let at: jiff::Timestamp = line.said.at.parse().ok()?;
        // A few decades of milliseconds are far inside what a double holds exactly.
        #[allow(clippy::cast_precision_loss, reason = "see above")]
        Some(at.as_millisecond() as f64 / 60_000.0)
    };
    let start = pressures
        .iter()
        .filter_map(|line| minutes(line))
        .fold(f64::INFINITY, f64::min);
    let first = pressures
        .iter()
        .find(|line| minutes(line).is_some_and(|at| at <= start))?;
    let mut series: Vec<(String, Vec<Raw>)> = Vec::new();
    for line in &pressures {
        let (Some(at), Some(y)) = (minutes(line), number(&line.figure, unit)) else {
            continue;
        };
        let name = point(eye, line);
        let dot = Raw {
            x: at - start,
            y,
            hollow: !flowing(line),
            label: String::new(),
        };
        match series.iter_mut().find(|(known, _)| *known == name) {
            Some((_, dots)) => dots.push(dot),
            None => series.push((name, vec![dot])),
        }
    }
    // More than there are marks cannot be told apart: the points read most often are drawn.
    series.sort_by_key(|(_, dots)| std::cmp::Reverse(dots.len()));
    series.truncate(MARKS.len());
    for (_, dots) in &mut series {
        dots.sort_by(|a, b| a.x.total_cmp(&b.x));
    }
    let hours = series.iter().flat_map(|(_, dots)| dots).any(|dot| dot.x > 300.0);
    let scale = if hours { 60.0 } else { 1.0 };
    let all = || series.iter().flat_map(|(_, dots)| dots);
    let x = Axis::around(all().map(|dot| dot.x / scale), 8.0)?;
    let y = Axis::around(all().map(|dot| dot.y), 5.0)?;
    Some(Chart {
        x_label: format!(
            "{} {}",
            eye.page(if hours { "hours_after" } else { "minutes_after" }),
            eye.when(&first.said.at)
        ),
        y_label: format!("{} ({})", eye.page("pressure"), eye.unit(unit)),
        x_ticks: x.ticks(),
        y_ticks: y.ticks(),
        series: series
            .into_iter()
            .zip(MARKS)
            .map(|((name, dots), mark)| Series {
                name,
                mark,
                joined: true,
                points: dots
                    .into_iter()
                    .map(|dot| {
                        place(
                            Raw {
                                x: dot.x / scale,
                                ..dot
                            },
                            &x,
                            &y,
                        )
                    })
                    .collect(),
            })
            .collect(),
        rules: Vec::new(),
        line: None,
    })
}

/// The main point at each flow of the baseline: each such reading with the measured flow on record before it.
pub(super) fn droop(eye: &Eye<'_>, valve: &ValveSection) -> Option<Chart> {
    let main = valve.main_point.as_deref()?;
    let place_of = |id| eye.number(id).parse::<usize>().unwrap_or(usize::MAX);
    let readings: Vec<&ReadingLine> = valve
        .baseline
        .iter()
        .filter_map(|id| valve.reading(*id))
        .filter(|line| line.point == main)
        .collect();
    let unit = eye.chart_unit(readings.iter().map(|line| &line.figure))?;
    let measured: Vec<(usize, &Figure)> = valve
        .flow
        .iter()
        .filter_map(|line| Some((place_of(line.said.entry), line.flow.as_ref()?)))
        .collect();
    let flow_unit = measured
        .first()
        .map(|(_, flow)| eye.options.units.beside(flow.unit).unwrap_or(flow.unit))?;
    let dots: Vec<Raw> = readings
        .iter()
        .filter_map(|line| {
            let at = place_of(line.said.entry);
            let (_, flow) = measured.iter().rev().find(|(before, _)| *before < at)?;
            Some(Raw {
                x: number(flow, flow_unit)?,
                y: number(&line.figure, unit)?,
                hollow: !flowing(line),
                label: eye.number(line.said.entry),
            })
        })
        .collect();
    if dots.len() < 2 {
        return None;
    }
    let x = Axis::around(dots.iter().map(|dot| dot.x).chain([0.0]), 6.0)?;
    let y = Axis::around(dots.iter().map(|dot| dot.y), 5.0)?;
    let mut dots = dots;
    dots.sort_by(|a, b| a.x.total_cmp(&b.x));
    Some(Chart {
        x_label: format!("{} ({})", eye.page("flow"), eye.unit(flow_unit)),
        y_label: format!("{} ({})", eye.page("reading"), eye.unit(unit)),
        x_ticks: x.ticks(),
        y_ticks: y.ticks(),
        series: vec![Series {
            name: eye.page("baseline_readings"),
            mark: MARKS[0],
            joined: true,
            points: dots.into_iter().map(|dot| place(dot, &x, &y)).collect(),
        }],
        rules: Vec::new(),
        line: None,
    })
}
