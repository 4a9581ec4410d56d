//! What may be wrong with a valve, from what was seen, and what to look at next.

pub mod valve_state;
