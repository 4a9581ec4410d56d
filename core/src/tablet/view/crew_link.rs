//! Pairing with the tablets of the crew.

use crate::journal::DeviceId;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The link with crew mates' tablets, without an office and without the internet.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CrewLinkView {
    /// Whether tablets can be paired and reached now.
    pub on: bool,
    /// The code that is shown for a crew mate to type.
    pub code: Option<CodeView>,
    /// Tablets around that show a code, by name.
    pub found: Vec<FoundView>,
    /// Tablets that are paired with this one, the linked first.
    pub paired: Vec<PairedView>,
}

/// A code that is shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CodeView {
    /// In two groups of three digits.
    pub digits: String,
    /// How often it can still be tried.
    pub tries_left: u32,
    /// For how long a code is shown, whole minutes.
    pub minutes: u32,
    /// Where this tablet is, to be typed where it is not found by name.
    pub here: Vec<String>,
}

/// A tablet around that shows a code.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct FoundView {
    /// What it calls itself. Anybody can call themselves so: the code decides.
    pub name: String,
    /// Where it is: goes into the command to pair.
    pub address: String,
}

/// A tablet that is paired with this one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PairedView {
    /// Which.
    pub device: DeviceId,
    /// What it called itself when it was paired, or calls itself now.
    pub name: String,
    /// The person on it when it was last heard.
    pub person: Option<String>,
    /// Whether it is linked now.
    pub linked: bool,
    /// When it was last heard, RFC 3339 by this tablet's clock.
    pub last_heard: Option<String>,
    /// When it was paired, the same way.
    pub paired_at: String,
}
