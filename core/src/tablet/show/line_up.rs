//! The line-up screen.

use super::Showing;
use crate::findings::water::{Stands, own_branch, water, would};
use crate::journal::{AssetId, Body, Position, Register};
use crate::procedure::Element;
use crate::tablet::view::{Agreement, ControlView, ElementView, LineUpView, Standing, Would};

/// The elements in the order of the water with what they let through, and the speed controls.
pub fn line_up(showing: &Showing<'_>) -> LineUpView {
    let elements = &showing.procedure.elements;
    let standings: Vec<(&str, Standing<Position>)> = elements
        .iter()
        .map(|element| (element.id.as_str(), standing(showing, element)))
        .collect();
    let stands = |element: &Element| {
        let standing = standings.iter().find(|(id, _)| *id == element.id);
        match standing.map(|(_, standing)| (standing.agreement, standing.values.first())) {
            Some((Agreement::Agreed, Some(said))) => Stands::So(said.value),
            _ => Stands::NotKnown,
        }
    };
    let shown = elements.iter().zip(&standings).map(|(element, (_, standing))| {
        let asset = element.of.asset(showing.state, showing.valve);
        let turned = [Position::Open, Position::Shut].map(|position| Would {
            position,
            water: would(elements, stands, &element.id, position),
        });
        ElementView {
            asset,
            element: element.id.clone(),
            class: element.class,
            side: element.side,
            branch: element.branch,
            tap: element.tap,
            name: element.label.clone(),
            normal: element.normal,
            standing: standing.clone(),
            found: found(showing, asset, &element.id),
            would: turned
                .into_iter()
                .filter(|would| !would.water.is_empty())
                .collect(),
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
        elements: shown.collect(),
        controls: controls.collect(),
        own: own_branch(elements),
        water: water(elements, stands),
    }
}

/// How an element stands, with everybody who says so.
fn standing(showing: &Showing<'_>, element: &Element) -> Standing<Position> {
    let register = Register::Position {
        asset: element.of.asset(showing.state, showing.valve),
        element: element.id.clone(),
    };
    showing.standing(&register, |body| match body {
        Body::LineUp(line_up) => Some(line_up.position),
        _ => None,
    })
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
