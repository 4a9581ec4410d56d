//! Figures as they were read, and the quantities they stand for.

mod figure;

pub use figure::*;
