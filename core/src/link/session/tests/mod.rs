//! Sessions against each other over a simulated wire, and against peers that mean no good.

mod convergence;
mod custody;
mod hostile;
mod talk;
mod world;
