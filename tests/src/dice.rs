//! Chance that can be repeated: the seed is printed, and `TURNWISE_SEED` brings the same throws again.

use anyhow::{Context, Result};
use std::time::{SystemTime, UNIX_EPOCH};

/// The variable that names the seed.
const VARIABLE: &str = "TURNWISE_SEED";

/// A run of throws: the `SplitMix64` generator, its constants from memory. All that matters is that a seed brings the
/// same throws again.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice by the seed of the environment, else by the time. The seed is printed.
    ///
    /// # Errors
    /// Where the environment names something that is no number.
    pub fn announced() -> Result<Self> {
        let seed = match std::env::var(VARIABLE) {
            Ok(text) => text.parse().with_context(|| format!("{VARIABLE}={text}"))?,
            Err(_) => SystemTime::now().duration_since(UNIX_EPOCH)?.as_secs(),
        };
        println!("{VARIABLE}={seed} brings the same throws again");
        Ok(Self(seed))
    }

    /// Dice by a seed given here: the same throws in every run.
    pub fn of(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below `bound`, which is not 0. Slightly uneven, which does not matter here.
    pub fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % bound
    }
}
