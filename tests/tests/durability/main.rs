//! "Saved" is said only of what is on the disk, and what was said stays true: against a killed program, a full disk, a
//! read-only one, one that fails, and a damaged file.

mod copy;
mod damage;
mod failing_disk;
mod flush;
mod full_disk;
mod kill;
mod read_only;
mod support;
