//! Scenes and instruments that the tests share.

pub mod appender;
pub mod bench;
pub mod dice;
pub mod entries;
pub mod link;
pub mod mount;
pub mod network;
pub mod screw;
pub mod strace;
