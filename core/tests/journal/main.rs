//! The journal from outside: what goes in, what it folds to, what it refuses.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

mod aside;
mod basics;
mod bodies;
mod craft;
mod foreign;
mod golden;
mod naive;
mod order;
mod support;
