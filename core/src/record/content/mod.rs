//! What a record says, as types: a program that reads a record's JSON gets these.
//!
//! A section holds ids *and* words: the names of points, elements, screws and steps come from the procedure, in both
//! languages. Figures are as they were read, digits and unit; a figure that was computed stands in a place that says
//! so. Lists are in fold order (what was seen before what comes first), unless they say otherwise.

mod document;
mod equipment;
mod findings;
mod people;
mod readings;
mod review;
mod settings;
mod steps;
mod valve;

pub use document::*;
pub use equipment::*;
pub use findings::*;
pub use people::*;
pub use readings::*;
pub use review::*;
pub use settings::*;
pub use steps::*;
pub use valve::*;
