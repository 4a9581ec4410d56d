//! How often somebody may try to sign in.

use std::collections::HashMap;

/// Tries that are free before each further one has to wait.
const FREE: u32 = 5;

/// One try comes back after this many seconds.
const REFILL_S: i64 = 60;

/// So many names are remembered at most. Past it the oldest are forgotten first.
const REMEMBERED: usize = 10_000;

/// Wrong tries by name. A name that does not exist is counted like one that does.
#[derive(Debug, Default)]
pub struct Tries {
    wrong: HashMap<String, Wrong>,
}

#[derive(Clone, Copy, Debug)]
struct Wrong {
    count: u32,
    last: i64,
}

impl Tries {
    /// Seconds until the next try with a name may be made; 0: now.
    pub fn wait(&self, name: &str, now: i64) -> i64 {
        let Some(wrong) = self.wrong.get(&key(name)) else {
            return 0;
        };
        let wrong = Self::at(*wrong, now);
        if wrong.count < FREE {
            0
        } else {
            (wrong.last + REFILL_S - now).max(1)
        }
    }

    /// A try was wrong.
    pub fn wrong(&mut self, name: &str, now: i64) {
        if self.wrong.len() >= REMEMBERED && !self.wrong.contains_key(&key(name)) {
            let oldest = self
                .wrong
                .iter()
                .min_by_key(|(_, wrong)| wrong.last)
                .map(|(name, _)| name.clone());
            if let Some(oldest) = oldest {
                self.wrong.remove(&oldest);
            }
        }
        let wrong = self
            .wrong
            .entry(key(name))
            .or_insert(Wrong { count: 0, last: now });
        *wrong = Self::at(*wrong, now);
        wrong.count += 1;
        wrong.last = now;
    }

    /// A try was right.
    pub fn right(&mut self, name: &str) {
        self.wrong.remove(&key(name));
    }

    /// One try comes back a minute. A clock that went back gives none.
    fn at(wrong: Wrong, now: i64) -> Wrong {
        let back = (now - wrong.last).max(0) / REFILL_S;
        Wrong {
            count: wrong
                .count
                .saturating_sub(u32::try_from(back).unwrap_or(u32::MAX)),
            last: wrong.last + back * REFILL_S,
        }
    }
}

/// As the registry compares names. Long ones are cut: nobody's memory is filled by them.
fn key(name: &str) -> String {
    name.trim()
        .chars()
        .take(100)
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after_wrong(count: u32) -> Tries {
        let mut tries = Tries::default();
        for _ in 0..count {
            tries.wrong("Ines", 1_000);
        }
        tries
    }

    #[test]
    fn five_wrong_tries_are_free_and_the_next_waits_a_minute() {
        assert_eq!(after_wrong(4).wait("ines ", 1_000), 0);
        let tries = after_wrong(5);
        assert_eq!(tries.wait("INES", 1_000), 60);
        assert_eq!(tries.wait("ines", 1_059), 1);
        assert_eq!(tries.wait("ines", 1_060), 0);
        assert_eq!(tries.wait("somebody else", 1_000), 0);
    }

    #[test]
    fn a_right_one_clears_the_count() {
        let mut tries = after_wrong(9);
        tries.right("ines");
        assert_eq!(tries.wait("ines", 1_000), 0);
    }

    #[test]
    fn a_clock_that_goes_back_gives_no_tries() {
        assert!(after_wrong(5).wait("ines", 0) > 0);
    }

    #[test]
    fn a_flood_of_names_does_not_fill_the_memory() {
        let mut tries = Tries::default();
        for name in 0..REMEMBERED + 50 {
            tries.wrong(&format!("nobody {name}"), i64::try_from(name).unwrap());
        }
        assert_eq!(tries.wrong.len(), REMEMBERED);
    }
}
