//! Whether two entries of a register say the same thing.

use super::{Body, Duty, ParticularValue};
use crate::quantity::Figure;
use std::cmp::Ordering;

impl Body {
    /// Whether both say that the same is so. How it came about does not matter: what was replaced, why, what
    /// was overridden, how many turns were counted, how a name is written.
    ///
    /// A figure is the same as another of the same unit and number, `60` as `60.0`; never across units.
    /// Bodies of different kinds say different things, and so do bodies that are no register's unless they
    /// are equal.
    #[must_use]
    pub fn same_value(&self, other: &Body) -> bool {
        match (self, other) {
            (Self::Request(a), Self::Request(b)) => {
                a.valve == b.valve
                    && same_figure(&a.pressure, &b.pressure)
                    && same_optional(a.tolerance.as_ref(), b.tolerance.as_ref())
                    && a.datum == b.datum
                    && a.asked_by == b.asked_by
                    && same_optional(a.zone_limit.as_ref(), b.zone_limit.as_ref())
            }
            (Self::Particulars(a), Self::Particulars(b)) => {
                a.asset == b.asset && a.name == b.name && same_particular(&a.value, &b.value)
            }
            (Self::LineUp(a), Self::LineUp(b)) => {
                a.asset == b.asset && a.element == b.element && a.position == b.position
            }
            (Self::SpeedControl(a), Self::SpeedControl(b)) => {
                a.asset == b.asset && a.control == b.control && same_figure(&a.open, &b.open)
            }
            (Self::StepMark(a), Self::StepMark(b)) => {
                a.asset == b.asset && a.procedure == b.procedure && a.step == b.step && a.outcome == b.outcome
            }
            (Self::Gauge(a), Self::Gauge(b)) => {
                a.serial == b.serial
                    && a.point == b.point
                    && same_figure(&a.span, &b.span)
                    && a.grade == b.grade
                    && same_optional(a.resolution.as_ref(), b.resolution.as_ref())
                    && a.calibration_due == b.calibration_due
                    && same_optional(a.zero_before.as_ref(), b.zero_before.as_ref())
                    && same_optional(a.zero_after.as_ref(), b.zero_after.as_ref())
            }
            (Self::PersonJoined(a), Self::PersonJoined(b)) => {
                a.person == b.person && duties(&a.duties) == duties(&b.duties)
            }
            (Self::Grant(a), Self::Grant(b)) => a.person == b.person && a.role == b.role,
            _ => self == other,
        }
    }
}

fn same_figure(a: &Figure, b: &Figure) -> bool {
    a == b
        || (a.unit == b.unit
            && matches!((a.value(), b.value()), (Ok(a), Ok(b)) if a.partial_cmp(&b) == Some(Ordering::Equal)))
}

fn same_optional(a: Option<&Figure>, b: Option<&Figure>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => same_figure(a, b),
        (a, b) => a.is_none() && b.is_none(),
    }
}

fn same_particular(a: &ParticularValue, b: &ParticularValue) -> bool {
    match (a, b) {
        (ParticularValue::Figure(a), ParticularValue::Figure(b)) => same_figure(a, b),
        (a, b) => a == b,
    }
}

/// Duties in one order, each once.
fn duties(duties: &[Duty]) -> Vec<Duty> {
    let mut duties = duties.to_vec();
    duties.sort_unstable();
    duties.dedup();
    duties
}
