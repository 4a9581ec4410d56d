//! The way back to as found, known at any moment.

use super::{Showing, line_up::found};
use crate::journal::{Body, Register, Stand};
use crate::quantity::Turns;
use crate::setting::{Direction, Finest, PlainFraction, way_back};
use crate::tablet::view::{ControlBack, PositionBack, PutBack, Turn, TurnBack, Way};

/// What to turn and what to move so that the valve stands as it was found.
pub fn put_back(showing: &Showing<'_>) -> PutBack {
    PutBack {
        screws: screws(showing),
        positions: positions(showing),
        controls: controls(showing),
    }
}

/// The sum of the moves of a screw, clockwise positive.
pub(super) fn moves_of(showing: &Showing<'_>, screw: &str) -> Vec<Turns> {
    showing
        .state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::ScrewMove(turned) if turned.asset == showing.valve && turned.screw == screw => {
                Turns::try_from(&turned.turn).ok()
            }
            _ => None,
        })
        .collect()
}

/// A turn in every way people say it. None where it is no number that a screw could turn.
pub(super) fn turn(turns: Turns) -> Option<Turn> {
    Some(Turn {
        turns: turns.in_turns(),
        degrees: turns.abs().in_degrees().round(),
        flats: (turns.abs().in_flats() * 10.0).round() / 10.0,
        fraction: PlainFraction::nearest(turns, Finest::Sixteenth)?.to_string(),
        way: match Direction::of(turns) {
            Direction::Clockwise => Way::Clockwise,
            Direction::CounterClockwise => Way::CounterClockwise,
            Direction::None => Way::None,
        },
    })
}

fn screws(showing: &Showing<'_>) -> Vec<TurnBack> {
    showing
        .procedure
        .screws
        .iter()
        .filter_map(|screw| {
            let moves = moves_of(showing, &screw.id);
            if moves.is_empty() {
                return None;
            }
            Some(TurnBack {
                screw: screw.id.clone(),
                name: screw.label.clone(),
                turn: turn(way_back(moves))?,
            })
        })
        .collect()
}

fn positions(showing: &Showing<'_>) -> Vec<PositionBack> {
    showing
        .procedure
        .elements
        .iter()
        .filter_map(|element| {
            let asset = element.of.asset(showing.state, showing.valve);
            let found = found(showing, asset, &element.id)?;
            let now = showing
                .state
                .position(asset, &element.id)
                .agreed()
                .copied()
                .flatten();
            (now != Some(found)).then(|| PositionBack {
                element: element.id.clone(),
                name: element.label.clone(),
                found,
                now,
            })
        })
        .collect()
}

fn controls(showing: &Showing<'_>) -> Vec<ControlBack> {
    showing
        .procedure
        .speed_controls
        .iter()
        .filter_map(|control| {
            let found = showing
                .state
                .live()
                .find_map(|folded| match &folded.entry.told.body {
                    Body::SpeedControl(said) if said.asset == showing.valve && said.control == control.id => {
                        Some(said.open.clone())
                    }
                    _ => None,
                })?;
            let register = Register::SpeedControl {
                asset: showing.valve,
                control: control.id.clone(),
            };
            let Stand::Agreed(Body::SpeedControl(now), _) = showing.state.standing(&register) else {
                return None;
            };
            (now.open != found).then(|| ControlBack {
                control: control.id.clone(),
                name: control.label.clone(),
                found,
                now: now.open.clone(),
            })
        })
        .collect()
}
