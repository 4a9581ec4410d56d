//! Procedures.
