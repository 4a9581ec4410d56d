//! How much a peer may say.

use crate::link::{BURST, Fault, WORD_BYTES, WORDS_PER_SECOND};

/// A store of words that a peer may say, refilled as time goes by.
///
/// Bundles and their confirmations do not count: the window bounds them.
#[derive(Debug)]
pub(super) struct Allowance {
    /// Thousandths of a word.
    left: u64,
    at_ms: u64,
}

const WORD: u64 = 1_000;
const FULL: u64 = BURST as u64 * WORD;

impl Allowance {
    pub(super) fn full(now_ms: u64) -> Self {
        Self {
            left: FULL,
            at_ms: now_ms,
        }
    }

    /// Takes one frame of this many bytes off the allowance.
    pub(super) fn spend(&mut self, now_ms: u64, bytes: usize) -> Result<(), Fault> {
        let passed = now_ms.saturating_sub(self.at_ms);
        // Words a second are thousandths a millisecond.
        let refill = passed.saturating_mul(u64::from(WORDS_PER_SECOND));
        self.left = self.left.saturating_add(refill).min(FULL);
        self.at_ms = self.at_ms.max(now_ms);
        let cost = (1 + bytes / WORD_BYTES) as u64 * WORD;
        self.left = self.left.checked_sub(cost).ok_or(Fault::TooMuch)?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_burst_is_let_through_and_no_more() {
        let mut allowance = Allowance::full(0);
        for _ in 0..BURST {
            allowance.spend(0, 1).unwrap();
        }
        assert_eq!(allowance.spend(0, 1), Err(Fault::TooMuch));
    }

    #[test]
    fn time_gives_it_back_up_to_the_burst() {
        let mut allowance = Allowance::full(0);
        for _ in 0..BURST {
            allowance.spend(0, 1).unwrap();
        }
        for _ in 0..WORDS_PER_SECOND {
            allowance.spend(1_000, 1).unwrap();
        }
        assert_eq!(allowance.spend(1_000, 1), Err(Fault::TooMuch));
        for _ in 0..BURST {
            allowance.spend(u64::MAX, 1).unwrap();
        }
        assert_eq!(allowance.spend(u64::MAX, 1), Err(Fault::TooMuch));
    }

    #[test]
    fn long_words_cost_more() {
        let mut allowance = Allowance::full(0);
        for _ in 0..BURST / 2 {
            allowance.spend(0, WORD_BYTES).unwrap();
        }
        assert_eq!(allowance.spend(0, 1), Err(Fault::TooMuch));
    }
}
