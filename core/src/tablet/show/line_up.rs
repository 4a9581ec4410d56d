//! The line-up screen.

use super::Showing;
use crate::journal::{AssetId, Body, Position, Register};
use crate::tablet::view::{ControlView, ElementView, LineUpView};

/// The elements in the order of the water, and the speed controls.
pub fn line_up(showing: &Showing<'_>) -> LineUpView {
    let elements = showing.procedure.elements.iter().map(|element| {
        let asset = element.of.asset(showing.state, showing.valve);
        ElementView {
            asset,
            element: element.id.clone(),
            class: element.class,
            side: element.side,
            name: element.label.clone(),
            normal: element.normal,
            standing: showing.standing(
                &Register::Position {
                    asset,
                    element: element.id.clone(),
                },
                |body| match body {
                    Body::LineUp(line_up) => Some(line_up.position),
                    _ => None,
                },
            ),
            found: found(showing, asset, &element.id),
        }
    });
    let controls = showing
        .procedure
        .speed_controls
        .iter()
        .map(|control| ControlView {
            control: control.id.clone(),
            name: control.label.clone(),
            standing: showing.standing(
                &Register::SpeedControl {
                    asset: showing.valve,
                    control: control.id.clone(),
                },
                |body| match body {
                    Body::SpeedControl(control) => Some(control.open.clone()),
                    _ => None,
                },
            ),
        });
    LineUpView {
        elements: elements.collect(),
        controls: controls.collect(),
    }
}

/// How an element was found: the first that anybody said of it.
pub(super) fn found(showing: &Showing<'_>, asset: AssetId, element: &str) -> Option<Position> {
    showing
        .state
        .live()
        .find_map(|folded| match &folded.entry.told.body {
            Body::LineUp(line_up) if line_up.asset == asset && line_up.element == element => {
                Some(line_up.position)
            }
            _ => None,
        })
}
