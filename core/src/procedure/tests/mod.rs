//! What the engine says of real journals, and what the procedures that come with the product ask.

mod closing;
mod content;
mod crew;
mod files;
mod initials;
mod marking;
mod order;
mod stops;
mod walking;
mod watching;
