//! What a gauge can tell: its accuracy, its resolution, and whether two readings agree.
//!
//! Uncertainties follow the *Guide to the Expression of Uncertainty in Measurement* (GUM, JCGM 100:2008): a limit
//! that a maker or an eye gives is a rectangular distribution, standard uncertainties add by their squares, and
//! the expanded uncertainty is twice the combined one (k = 2, about 95 %).

mod accuracy;
mod agreement;
mod grade;
mod spec;

pub use accuracy::{Accuracy, AccuracyError};
pub use agreement::{Agreement, agreement};
pub use grade::{Grade, Part, UnknownGrade};
pub use spec::{COVERAGE, GaugeSpec, SpecError};
