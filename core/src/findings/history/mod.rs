//! What earlier visits to a valve say, and how this one compares.
//!
//! An earlier visit travels as one [`History`] entry: [`visit`] sums a closed job up, and whoever opens a new job for
//! the valve writes it in. [`compare`] lays this visit beside them. Both are pure, so the screens, the record and the
//! office say the same.

mod compare;
mod known;
mod rate;
mod visit;

pub use compare::{Compared, Drift, Drifted, Predicted, RateChange, RateChanged, Visit, compare};
pub use known::{KnownValve, MOST_VISITS, known, last, newest};
pub use rate::learned_rate;
pub use visit::{closed_at, visit};

use crate::journal::{
    AssetId, Body, Folded, JobState, ParticularValue, Particulars, Reading, Register, Stand,
};
use crate::procedure::Procedure;
use crate::quantity::Figure;

/// The point that a valve is set by: what its first screw sets, else the procedure's main point.
pub fn main_point(procedure: &Procedure) -> Option<&str> {
    let set = procedure.screws.first().map(|screw| screw.sets.as_str());
    set.or_else(|| procedure.points.first().map(|point| point.id.as_str()))
}

/// The live readings of a valve at a point, in fold order.
fn readings<'a>(
    state: &'a JobState,
    valve: AssetId,
    point: &'a str,
) -> impl DoubleEndedIterator<Item = (&'a Folded, &'a Reading)> {
    state
        .live()
        .filter_map(move |folded| match &folded.entry.told.body {
            Body::Reading(reading) if reading.asset == valve && reading.point == point => {
                Some((folded, reading))
            }
            _ => None,
        })
}

/// A particular, where exactly one value stands.
fn particular<'a>(state: &'a JobState, asset: AssetId, name: &str) -> Option<&'a ParticularValue> {
    let register = Register::Particular {
        asset,
        name: name.to_owned(),
    };
    match state.standing(&register) {
        Stand::Agreed(Body::Particulars(Particulars { value, .. }), _) => Some(value),
        _ => None,
    }
}

/// The same where it is a figure.
fn told_figure<'a>(state: &'a JobState, asset: AssetId, name: &str) -> Option<&'a Figure> {
    match particular(state, asset, name)? {
        ParticularValue::Figure(figure) => Some(figure),
        ParticularValue::Text(_) => None,
    }
}

#[cfg(test)]
mod tests;
