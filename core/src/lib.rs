//! The core of Turnwise: what happens on a job, what it means, and how it is kept.
//!
//! Arrows run only downward: `tablet` uses `link` and `store`; those use `review`, `procedure`, `journal`,
//! `setting` and `quantity`. The lower modules are pure: no clock, no files, no sockets, no randomness but
//! what is passed in. `cargo xtask test` checks both.

pub mod journal;
pub mod link;
pub mod procedure;
pub mod quantity;
pub mod record;
pub mod review;
pub mod setting;
pub mod store;
pub mod tablet;
