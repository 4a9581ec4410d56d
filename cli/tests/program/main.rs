//! The program from outside: started as a process, spoken to over HTTP, stopped and killed.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

mod door;
mod killed;
mod office;
mod procedures;
mod sockets;
mod support;
