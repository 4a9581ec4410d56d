//! What a job's entries come to: so far, how sure each reading is. Computed from the folded journal, never
//! remembered.

pub mod gauges;
pub mod history;
pub mod observed;
pub mod pre_job;
pub mod rate;
pub mod verdict;
pub mod water;

#[cfg(test)]
mod scene;
