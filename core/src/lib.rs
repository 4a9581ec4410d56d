//! The core of Turnwise: what happens on a job, what it means, and how it is kept.
//!
//! Arrows run only downward: `tablet` uses `link` and `store`; those use `record`, `review`, `findings`,
//! `procedure`, `journal`, and below them the arithmetic that knows nothing of a job. The lower modules are
//! pure: no clock, no files, no sockets, no randomness but what is passed in. `cargo xtask test` checks both.

pub mod diagnosis;
pub mod findings;
pub mod gauge;
pub mod hydraulics;
pub mod journal;
pub mod link;
pub mod logger;
pub mod procedure;
pub mod quantity;
pub mod record;
pub mod review;
pub mod setting;
pub mod steady;
pub mod store;
pub mod tablet;
