//! What the store promises, on real files.

mod journals;
mod rows;
