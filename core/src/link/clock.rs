//! Clocks compared, joined and digested.

use crate::journal::{Clock, JobId};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;

/// What stands for a clock on the wire when both sides may hold the same: the first half of a SHA-256.
pub(super) type Digest = [u8; 16];

/// Whether `all` reaches at least as far as `part` for every actor of `part`.
pub fn covers(all: &Clock, part: &Clock) -> bool {
    part.iter()
        .all(|(actor, reach)| all.get(actor).is_some_and(|has| has.seq >= reach.seq))
}

/// Moves `clock` forward to wherever `other` reaches further. Never back.
pub fn merge(clock: &mut Clock, other: &Clock) {
    for (actor, reach) in other {
        match clock.get_mut(actor) {
            Some(has) if has.seq >= reach.seq => {}
            Some(has) => *has = *reach,
            None => {
                clock.insert(*actor, *reach);
            }
        }
    }
}

/// The part of `clock` that reaches further than `told`.
pub fn beyond(clock: &Clock, told: &Clock) -> Clock {
    clock
        .iter()
        .filter(|(actor, reach)| told.get(actor).is_none_or(|has| has.seq < reach.seq))
        .map(|(actor, reach)| (*actor, *reach))
        .collect()
}

/// The digest of one clock.
pub(super) fn digest(clock: &Clock) -> Digest {
    let mut hash = Sha256::new();
    for (actor, reach) in clock {
        hash.update(actor.0);
        hash.update(reach.seq.to_be_bytes());
        hash.update(reach.hash.0);
    }
    half(hash)
}

/// The digest over all that is offered.
pub(super) fn digest_all(offers: &BTreeMap<JobId, Digest>) -> Digest {
    let mut hash = Sha256::new();
    for (job, digest) in offers {
        hash.update(job.0.as_bytes());
        hash.update(digest);
    }
    half(hash)
}

fn half(hash: Sha256) -> Digest {
    let whole: [u8; 32] = hash.finalize().into();
    let mut half = [0; 16];
    half.copy_from_slice(&whole[..16]);
    half
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{ActorId, ChangeHash, Reach};

    fn clock(reaches: &[(u8, u64)]) -> Clock {
        reaches
            .iter()
            .map(|&(actor, seq)| {
                let hash = ChangeHash([u8::try_from(seq).unwrap(); 32]);
                (ActorId([actor; 16]), Reach { seq, hash })
            })
            .collect()
    }

    #[test]
    fn a_clock_covers_what_reaches_no_further() {
        assert!(covers(&clock(&[(1, 3), (2, 1)]), &clock(&[(1, 2)])));
        assert!(covers(&clock(&[]), &clock(&[])));
        assert!(!covers(&clock(&[(1, 3)]), &clock(&[(1, 4)])));
        assert!(!covers(&clock(&[(1, 3)]), &clock(&[(2, 1)])));
    }

    #[test]
    fn merging_moves_forward_only() {
        let mut one = clock(&[(1, 3), (2, 9)]);
        merge(&mut one, &clock(&[(1, 5), (2, 1), (3, 1)]));
        assert_eq!(one, clock(&[(1, 5), (2, 9), (3, 1)]));
    }

    #[test]
    fn what_is_beyond_is_what_the_other_has_not_heard() {
        let told = clock(&[(1, 3), (2, 9)]);
        assert_eq!(
            beyond(&clock(&[(1, 4), (2, 9), (3, 1)]), &told),
            clock(&[(1, 4), (3, 1)])
        );
        assert!(beyond(&told, &told).is_empty());
    }

    #[test]
    fn a_digest_tells_clocks_apart_by_actor_number_and_hash() {
        let mut other_hash = clock(&[(1, 3)]);
        for reach in other_hash.values_mut() {
            reach.hash = ChangeHash([9; 32]);
        }
        let all = [
            clock(&[]),
            clock(&[(1, 3)]),
            clock(&[(1, 4)]),
            clock(&[(2, 3)]),
            other_hash,
        ];
        for (at, one) in all.iter().enumerate() {
            for (other_at, other) in all.iter().enumerate() {
                assert_eq!(digest(one) == digest(other), at == other_at);
            }
        }
    }
}
