//! What the engine says of real journals, and what the procedures that come with the product ask.

mod closing;
mod content;
pub(crate) mod crew;
mod evidence;
mod files;
mod initials;
mod kinds;
mod marking;
mod order;
mod shelf;
pub(crate) mod stages;
mod stations;
mod stops;
mod walking;
mod watching;
