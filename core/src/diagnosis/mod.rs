//! What a valve is doing, from what was seen.

pub mod valve_state;
