//! The journal from outside: what goes in, what it folds to, what it refuses.

mod basics;
mod support;
