//! The line-up as a drawing: the elements along the water, each as it was left, and whether that is normal.

use super::eye::{Eye, printable};
use serde::Serialize;
use turnwise_core::journal::Position;
use turnwise_core::procedure::{ElementClass, Side};
use turnwise_core::record::content::{Agreement, LineUpLine, ValveSection};

/// The drawing and its legend.
#[derive(Serialize)]
pub(in crate::pdf) struct Drawing {
    pub valve: String,
    pub elements: Vec<Drawn>,
    pub not_normal: usize,
    pub summary: String,
}

/// One element in the drawing.
#[derive(Serialize)]
pub(in crate::pdf) struct Drawn {
    /// Its number in the legend.
    pub number: usize,
    /// Where along the drawing, 0 to 1.
    pub x: f64,
    /// On which lane: `pipe`, `stub` (on the pipe's side), `control`, `around`.
    pub lane: &'static str,
    /// `open`, `shut`, `throttled`, `unknown` or `disagreed`.
    pub state: &'static str,
    pub label: String,
    pub class: String,
    pub normal: String,
    pub found: String,
    pub left: String,
    pub said: String,
    /// Whether it is left in another state than the normal one.
    pub differs: bool,
    /// What to say of that.
    pub remark: String,
}

/// The shares of the drawing's width before and behind the main valve.
const UPSTREAM: (f64, f64) = (0.04, 0.33);
const DOWNSTREAM: (f64, f64) = (0.67, 0.88);
const CONTROL: (f64, f64) = (0.36, 0.64);
const ZONE: (f64, f64) = (0.92, 0.99);
const AROUND: (f64, f64) = (0.42, 0.58);

/// Lays out the drawing; none for a valve whose procedure names no elements.
pub(super) fn drawing(eye: &Eye<'_>, valve: &ValveSection) -> Option<Drawing> {
    if valve.line_up.is_empty() {
        return None;
    }
    let count = |side| valve.line_up.iter().filter(|line| line.side == side).count();
    let mut placed = [0_usize; 5];
    let elements: Vec<Drawn> = (1..)
        .zip(&valve.line_up)
        .map(|(number, line)| {
            let (slot, (from, to)) = match line.side {
                Side::Upstream => (0, UPSTREAM),
                Side::Downstream => (1, DOWNSTREAM),
                Side::Control => (2, CONTROL),
                Side::Around => (3, AROUND),
                Side::Zone => (4, ZONE),
            };
            let (at, of) = (placed[slot], count(line.side));
            placed[slot] += 1;
            drawn(eye, line, number, from + (to - from) * share(at, of))
        })
        .collect();
    let not_normal = elements.iter().filter(|one| one.differs).count();
    Some(Drawing {
        valve: printable(&valve.name),
        summary: if not_normal == 0 {
            eye.page("line_up_normal")
        } else {
            format!("{}: {not_normal}", eye.page("line_up_differs"))
        },
        not_normal,
        elements,
    })
}

/// The share of a stretch at which the `at`th of `of` lies.
fn share(at: usize, of: usize) -> f64 {
    // A few elements: exact in a double.
    #[allow(clippy::cast_precision_loss, reason = "see above")]
    let (at, of) = (at as f64, of as f64);
    (at + 0.5) / of
}

fn drawn(eye: &Eye<'_>, line: &LineUpLine, number: usize, x: f64) -> Drawn {
    let drawn_on = match (line.side, line.class) {
        (Side::Upstream | Side::Downstream, ElementClass::GaugeCock | ElementClass::Vent)
        | (Side::Zone, _) => "stub",
        (Side::Upstream | Side::Downstream, _) => "pipe",
        (Side::Control, _) => "control",
        (Side::Around, _) => "around",
    };
    let stands = match (line.agreement, line.last.as_slice()) {
        (Some(Agreement::Agreed), [first, ..]) => Some(first.position),
        _ => None,
    };
    let state = match (line.agreement, stands) {
        (Some(Agreement::Disagreed), _) => "disagreed",
        (_, Some(Position::Open)) => "open",
        (_, Some(Position::Shut)) => "shut",
        (_, Some(Position::Throttled)) => "throttled",
        (_, None) => "unknown",
    };
    let position = |position: Position| eye.coded("position", position);
    let left = match state {
        "disagreed" => {
            let all: Vec<String> = line
                .last
                .iter()
                .map(|one| format!("{} ({})", position(one.position), printable(&one.said.name)))
                .collect();
            format!("{}: {}", eye.page("disagreed"), all.join(" / "))
        }
        "unknown" => eye.page("not_said"),
        _ => {
            let one = &line.last[0];
            match &one.counted {
                Some(counted) => format!("{}, {}", position(one.position), eye.line(counted)),
                None => position(one.position),
            }
        }
    };
    let differs = stands != Some(line.normal);
    Drawn {
        number,
        x,
        lane: drawn_on,
        state,
        label: eye.text(&line.label),
        class: eye.coded("class", line.class),
        normal: position(line.normal),
        found: line
            .found
            .as_ref()
            .map_or_else(|| eye.page("not_said"), |one| position(one.position)),
        said: line
            .last
            .first()
            .map(|one| format!("{} · {}", printable(&one.said.name), eye.entry(one.said.entry)))
            .unwrap_or_default(),
        left,
        differs,
        remark: match (differs, line.agreed) {
            (false, _) => String::new(),
            (true, true) => eye.page("may_be_agreed"),
            (true, false) => eye.page("not_normal"),
        },
    }
}
