//! The spring, the screw, and how far to turn it.
//!
//! Common practice, no source, throughout: a screw turned clockwise compresses the spring and raises the
//! setting, by its rate times the turns. It holds with water moving, the lock nut slack, and inside the
//! spring's range.

mod direction;
mod fraction;
pub mod learn;
mod next_move;
mod plan;
mod put_back;
mod rules;
mod spring;
mod warning;

pub use direction::{ClockwiseEffect, Direction};
pub use fraction::{Finest, PlainFraction};
pub use next_move::{LeaveIt, NextMove, NextMoveError, Wish, next_move};
pub use plan::{Limits, MoveRequest, PlanError, TurnPlan, expected_reading, turn_plan};
pub use put_back::way_back;
pub use rules::{LARGEST_MOVE_ISOLATED, default_tolerance, largest_move_on_line};
pub use spring::{Place, Spring, SpringError, SpringRange};
pub use warning::Warning;

#[cfg(test)]
mod learned_properties;
#[cfg(test)]
mod properties;
