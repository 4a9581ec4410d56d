//! What the screens show: plain data, ready to draw. A screen holds no rule; whatever can be pressed, is
//! missing or follows from a figure is said here.
//!
//! Words come in two ways: texts of procedures as both languages, everything else as stable codes that the
//! screens' own catalogue puts into words.

mod close_out;
mod content;
mod crew_link;
mod diagnosis;
mod head;
mod line_up;
mod logger;
mod pre_job;
mod setting;
mod shared;
mod steps;
mod verdicts;

pub use close_out::*;
pub use content::*;
pub use crew_link::*;
pub use diagnosis::*;
pub use head::*;
pub use line_up::*;
pub use logger::*;
pub use pre_job::*;
pub use setting::*;
pub use shared::*;
pub use steps::*;
pub use verdicts::*;
