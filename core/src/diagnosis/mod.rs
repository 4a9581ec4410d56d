//! What may be wrong with a valve, and what would tell the causes apart.
//!
//! | Question | Function |
//! |---|---|
//! | What is the valve doing, by its pressures and the flow? | [`valve_state::valve_state`] |
//! | Why does it not do what it should, and what to look at next? | [`diagnose`] |
//!
//! [`diagnose`] is a table and the logic over it. It never says more than what was seen carries: a cause is named as
//! found only when everything that shows it was seen and every other cause of the same symptom is ruled out.

mod cause;
mod coded;
mod rank;
mod sign;
mod symptom;
mod table;
pub mod valve_state;

pub use cause::Cause;
pub use rank::{CauseFound, Diagnosis, Observations, Standing, diagnose};
pub use sign::Sign;
pub use symptom::Symptom;
pub use table::{Row, Sighting, rows};

#[cfg(test)]
mod tests;
