//! What the tablet's and the office's servers have in common: who is let in, the pages, the socket that tells
//! a page to look again, and the way in for links of other devices.

mod answer;
mod assets;
mod changes;
mod guard;
mod link;
mod serve;

pub use answer::{BODY_LIMIT, Refusal, command_error, json, read};
pub use assets::{Page, asset};
pub use changes::changes;
pub use guard::{Guard, Token, guard};
pub use link::{Links, either, link};
pub use serve::{ListenError, Server, Serving, stop_asked};
