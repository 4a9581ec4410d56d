//! Figures as they were read, and the quantities they stand for.
//!
//! A [`Figure`] is what somebody read: digits and unit, kept for ever as typed. A [`Measure`] is a number with
//! a unit, on its way to arithmetic. The quantities ([`GaugePressure`], [`Turns`], [`Flow`] ...) are distinct
//! types, so that a gauge pressure is never taken for an absolute one, nor a reading for a difference.
//! Conversion happens on the way to the eye; nothing here writes a converted figure back.

pub mod constants;
mod density;
mod elevation;
mod error;
mod figure;
mod flow;
mod flow_coefficient;
mod measure;
mod pressure;
mod rate;
mod scalar;
mod speed;
mod temperature;
mod time_span;
mod turns;
mod unit;

pub use density::Density;
pub use elevation::{Elevation, Length};
pub use error::{FigureError, QuantityError};
pub use figure::Figure;
pub use flow::Flow;
pub use flow_coefficient::FlowCoefficient;
pub use measure::Measure;
pub use pressure::{AbsolutePressure, GaugePressure, PressureDifference, Stiffness};
pub use rate::Rate;
pub use speed::Speed;
pub use temperature::Temperature;
pub use time_span::TimeSpan;
pub use turns::Turns;
pub use unit::{Dimension, Unit};

#[cfg(test)]
mod properties;
#[cfg(test)]
mod reference_rows;
