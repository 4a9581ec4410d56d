//! What is known of the network around, and the code that is shown.

use super::Fingerprint;
use super::pairing::ShownCode;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::net::SocketAddr;

/// How many tablets around are remembered. A crew has a handful; whoever announces thousands gains nothing.
pub const FOUND: usize = 64;

/// How the crew's link stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CrewState {
    /// Where it listens. None while links are off.
    pub listening: Option<SocketAddr>,
    /// The code that is shown, if one is.
    pub code: Option<ShownCode>,
    /// Where others can reach this tablet, as looked up when the code was shown.
    pub here: Vec<SocketAddr>,
    /// Tablets that announce themselves, by the name of their announcement.
    pub found: BTreeMap<String, Found>,
}

/// A tablet that announces itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// What it calls itself: said only while it shows a code.
    pub name: Option<String>,
    /// Where it is.
    pub addresses: Vec<SocketAddr>,
    /// By this those who are paired with it know it, and nobody else.
    pub mark: Mark,
}

/// What a tablet announces of who it is: a random number of this start, and a digest of that and of its certificate's
/// fingerprint. Whoever has the fingerprint can tell; to others each start looks like another tablet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Random, drawn at each start.
    pub start: u64,
    /// The first 8 bytes of the digest.
    pub digest: u64,
}

impl Mark {
    /// The mark of a tablet in one start.
    pub fn of(fingerprint: Fingerprint, start: u64) -> Self {
        let mut hash = Sha256::new();
        hash.update(b"turnwise mark");
        hash.update(fingerprint.0);
        hash.update(start.to_be_bytes());
        let hash: [u8; 32] = hash.finalize().into();
        let mut first = [0; 8];
        first.copy_from_slice(&hash[..8]);
        Self {
            start,
            digest: u64::from_be_bytes(first),
        }
    }

    /// Whether it is that of this tablet.
    pub fn is(self, fingerprint: Fingerprint) -> bool {
        self == Self::of(fingerprint, self.start)
    }

    /// As it is announced: two numbers in hex.
    pub fn write(self) -> String {
        format!("{:016x}{:016x}", self.start, self.digest)
    }

    /// Reads what [`Mark::write`] wrote.
    pub fn read(text: &str) -> Option<Self> {
        if text.len() != 32 || !text.is_ascii() {
            return None;
        }
        let half = |half: &str| u64::from_str_radix(half, 16).ok();
        Some(Self {
            start: half(&text[..16])?,
            digest: half(&text[16..])?,
        })
    }
}

impl CrewState {
    /// A tablet announces itself, or announces something new. Whether anything changed.
    pub(super) fn heard(&mut self, announcement: &str, found: Found) -> bool {
        if self.found.get(announcement) == Some(&found) {
            return false;
        }
        if self.found.len() >= FOUND && !self.found.contains_key(announcement) {
            return false;
        }
        self.found.insert(announcement.to_owned(), found);
        true
    }

    /// Where a paired tablet announces that it is.
    pub(super) fn addresses(&self, fingerprint: Fingerprint) -> Vec<SocketAddr> {
        let theirs = self.found.values().filter(|found| found.mark.is(fingerprint));
        theirs.flat_map(|found| found.addresses.iter().copied()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ONE: Fingerprint = Fingerprint([1; 32]);

    fn found(mark: Mark) -> Found {
        Found {
            name: None,
            addresses: vec!["192.168.7.2:4700".parse().unwrap()],
            mark,
        }
    }

    #[test]
    fn a_mark_is_known_by_the_fingerprint_and_differs_at_each_start() {
        let mark = Mark::of(ONE, 7);
        assert!(mark.is(ONE));
        assert!(!mark.is(Fingerprint([2; 32])));
        assert_ne!(mark.digest, Mark::of(ONE, 8).digest);
        assert_eq!(Mark::read(&mark.write()), Some(mark));
        for text in ["", "12", &"x".repeat(32), &"é".repeat(16)] {
            assert_eq!(Mark::read(text), None);
        }
    }

    #[test]
    fn a_paired_tablet_is_looked_for_where_it_announces_itself() {
        let mut state = CrewState::default();
        assert!(state.heard("a", found(Mark::of(ONE, 7))));
        assert!(!state.heard("a", found(Mark::of(ONE, 7))), "nothing new");
        assert_eq!(state.addresses(ONE).len(), 1);
        assert_eq!(state.addresses(Fingerprint([2; 32])), []);
    }

    #[test]
    fn thousands_of_announcements_are_not_remembered() {
        let mut state = CrewState::default();
        for at in 0..5_000 {
            state.heard(&at.to_string(), found(Mark::of(ONE, at)));
        }
        assert_eq!(state.found.len(), FOUND);
    }
}
