//! The figures that a body holds, wherever they are in it.

use super::{About, Body, ParticularValue, Resolution};
use crate::quantity::Figure;

impl Body {
    /// Every figure in it, in the order of its fields.
    pub fn figures(&self) -> Vec<&Figure> {
        match self {
            Body::JobOpened(b) => b.valves.iter().filter_map(|valve| valve.size.as_ref()).collect(),
            Body::Request(b) => [Some(&b.pressure), b.tolerance.as_ref(), b.zone_limit.as_ref()]
                .into_iter()
                .flatten()
                .collect(),
            Body::Particulars(b) => match &b.value {
                ParticularValue::Figure(figure) => vec![figure],
                ParticularValue::Text(_) => Vec::new(),
            },
            Body::LineUp(b) => b.counted.iter().collect(),
            Body::Reading(b) => vec![&b.figure],
            Body::ScrewMove(b) => vec![&b.turn],
            Body::SpeedControl(b) => vec![&b.open],
            Body::FlowEvidence(b) => b.flow.iter().collect(),
            Body::AtmosphereTest(b) => {
                vec![&b.oxygen, &b.flammable, &b.carbon_monoxide, &b.hydrogen_sulphide]
            }
            Body::Gauge(b) => [
                Some(&b.span),
                b.resolution.as_ref(),
                b.zero_before.as_ref(),
                b.zero_after.as_ref(),
            ]
            .into_iter()
            .flatten()
            .collect(),
            Body::History(b) => [
                &b.more.requested,
                &b.more.as_found,
                &b.as_left,
                &b.learned_rate,
                &b.static_difference,
                &b.more.lock_up,
                &b.more.stroke_opening,
                &b.more.stroke_closing,
                &b.more.turned,
            ]
            .into_iter()
            .flatten()
            .collect(),
            Body::Resolution(Resolution {
                about: About::Register { value, .. },
                ..
            }) => value.figures(),
            Body::StepMark(_)
            | Body::Note(_)
            | Body::Photo(_)
            | Body::LoggerFile(_)
            | Body::PersonJoined(_)
            | Body::Grant(_)
            | Body::Withdrawn(_)
            | Body::Resolution(_)
            | Body::ClockCheck(_)
            | Body::Initials(_)
            | Body::SignOff(_)
            | Body::ReOpened(_)
            | Body::ProcedureFile(_)
            | Body::Unknown(_) => Vec::new(),
        }
    }
}
