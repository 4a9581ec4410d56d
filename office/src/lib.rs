//! The office: it hands out jobs, changes requests while a crew is out, and keeps the records.

pub mod api;
