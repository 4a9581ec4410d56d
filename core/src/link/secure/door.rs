//! How many strangers may stand at the door at one time.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

/// Connections that have not proved yet who they are, all together. Each costs at most one handshake's worth of memory
/// and, until it is done, five seconds.
pub const STRANGERS: usize = 16;

/// The same from one address, so that one machine cannot keep the others out.
pub const STRANGERS_AN_ADDRESS: usize = 4;

/// Counts who stands at the door.
#[derive(Clone, Debug, Default)]
pub(super) struct Door(Arc<Mutex<BTreeMap<IpAddr, usize>>>);

/// A place at the door, free again when dropped.
#[derive(Debug)]
pub(super) struct Place {
    door: Door,
    from: IpAddr,
}

impl Door {
    /// A place for somebody from this address, while there is one.
    pub(super) fn place(&self, from: IpAddr) -> Option<Place> {
        let mut standing = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let theirs = standing.get(&from).copied().unwrap_or(0);
        if standing.values().sum::<usize>() >= STRANGERS || theirs >= STRANGERS_AN_ADDRESS {
            return None;
        }
        standing.insert(from, theirs + 1);
        drop(standing);
        Some(Place {
            door: self.clone(),
            from,
        })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut standing = self.door.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(theirs) = standing.get_mut(&self.from) {
            *theirs -= 1;
            if *theirs == 0 {
                standing.remove(&self.from);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn from(at: u8) -> IpAddr {
        IpAddr::from([10, 0, 0, at])
    }

    #[test]
    fn one_address_gets_its_share_and_leaves_room_for_the_others() {
        let door = Door::default();
        let first: Vec<_> = (0..9).filter_map(|_| door.place(from(1))).collect();
        assert_eq!(first.len(), STRANGERS_AN_ADDRESS);
        assert!(door.place(from(2)).is_some());
    }

    #[test]
    fn all_together_are_bounded_and_a_place_is_free_again_when_left() {
        let door = Door::default();
        let mut standing: Vec<_> = (0..100).filter_map(|at| door.place(from(at))).collect();
        assert_eq!(standing.len(), STRANGERS);
        assert!(door.place(from(200)).is_none());
        standing.pop();
        assert!(door.place(from(200)).is_some());
        drop(standing);
        assert!(door.0.lock().unwrap().is_empty());
    }
}
