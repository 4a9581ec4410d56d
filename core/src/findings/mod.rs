//! What a job's entries come to: the rate its moves taught, whether it is right, how it behaves, and what the
//! checks before the work say. Computed from the folded journal, never remembered.

pub mod gauges;

#[cfg(test)]
mod scene;
