//! Other ids in a condition that is taken from a shared file.

use super::condition::Condition;
use super::source::Instead;

impl Condition {
    /// Puts the ids that stand in for others in their places. Steps keep their ids: a procedure leaves one out or
    /// says it anew, and calls it the same.
    pub(super) fn instead(&mut self, instead: &mut Instead) {
        match self {
            Self::Position { element, .. } => instead.put(element),
            Self::Reading(reading) => instead.put(&mut reading.point),
            Self::Zero { point, .. } | Self::Gauge { point, .. } => instead.put(point),
            Self::Vented { points, .. } => points.iter_mut().for_each(|point| instead.put(point)),
            Self::Particular { name, .. } => instead.put(name),
            Self::Move { screw, .. } => instead.put(screw),
            Self::SpeedControl { control, .. } => instead.put(control),
            Self::Any(any) => any.iter_mut().for_each(|condition| condition.instead(instead)),
            Self::Step { .. }
            | Self::StepAt { .. }
            | Self::SetPoint { .. }
            | Self::Choice { .. }
            | Self::LineUp { .. }
            | Self::Flow
            | Self::Request
            | Self::ZoneLimit { .. }
            | Self::Duty { .. }
            | Self::Photo { .. }
            | Self::Note { .. }
            | Self::Atmosphere { .. }
            | Self::Attendant
            | Self::Retrieval { .. }
            | Self::PermitSpace
            | Self::Agreed
            | Self::Initials
            | Self::Signed => {}
        }
    }
}
