//! By how much the peer's wall clock differs from this one.

use super::Moment;
use crate::link::{ClockProbe, Message, PROBE_AGAIN_MS, PROBE_LATE_MS, PROBES};

/// Rounds of probes: a few in a row, of which the one with the shortest round trip counts, then a pause.
///
/// The peer's clock is taken to have been read half a round trip before the answer came; the error is at most
/// half the round trip (common practice, as in NTP's on-wire protocol; no source looked up).
#[derive(Debug)]
pub(super) struct Probes {
    /// The number of the newest probe.
    newest: u32,
    /// When it was asked; none while pausing or after it was answered.
    asked_ms: Option<u64>,
    left: u32,
    best: Option<Measured>,
    next_round_ms: u64,
}

/// One comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Measured {
    pub(super) offset_ms: i64,
    pub(super) round_trip_ms: u64,
}

impl Probes {
    /// The first round is due at once.
    pub(super) fn begin(now_ms: u64) -> Self {
        Self {
            newest: 0,
            asked_ms: None,
            left: 0,
            best: None,
            next_round_ms: now_ms,
        }
    }

    /// When there is next something to do.
    pub(super) fn next_tick(&self) -> u64 {
        match self.asked_ms {
            Some(asked) => asked + PROBE_LATE_MS,
            None => self.next_round_ms,
        }
    }

    /// What is to be sent and what is known, if it is time.
    pub(super) fn tick(&mut self, now_ms: u64) -> (Option<Message>, Option<Measured>) {
        if now_ms < self.next_tick() {
            return (None, None);
        }
        if self.asked_ms.is_none() {
            self.left = PROBES;
            self.best = None;
        }
        self.go_on(now_ms)
    }

    /// Takes an answer. One that was not asked for, or comes too late, says nothing.
    pub(super) fn answered(
        &mut self,
        now: Moment,
        probe: u32,
        wall_ms: i64,
    ) -> (Option<Message>, Option<Measured>) {
        let Some(asked_ms) = self.asked_ms.filter(|_| probe == self.newest) else {
            return (None, None);
        };
        let round_trip_ms = now.mono_ms.saturating_sub(asked_ms);
        let half = i64::try_from(round_trip_ms / 2).unwrap_or(i64::MAX);
        let measured = Measured {
            offset_ms: wall_ms.saturating_sub(now.wall_ms.saturating_sub(half)),
            round_trip_ms,
        };
        if self.best.is_none_or(|best| round_trip_ms < best.round_trip_ms) {
            self.best = Some(measured);
        }
        self.go_on(now.mono_ms)
    }

    fn go_on(&mut self, now_ms: u64) -> (Option<Message>, Option<Measured>) {
        if self.left == 0 {
            self.asked_ms = None;
            self.next_round_ms = now_ms + PROBE_AGAIN_MS;
            return (None, self.best.take());
        }
        self.left -= 1;
        self.newest = self.newest.wrapping_add(1);
        self.asked_ms = Some(now_ms);
        let probe = ClockProbe { probe: self.newest };
        (Some(Message::ClockProbe(probe)), None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A peer whose clock is ahead by this much, asked over round trips of these lengths.
    fn measure(ahead_ms: i64, round_trips: &[u64]) -> Option<Measured> {
        let mut now = Moment {
            mono_ms: 100,
            wall_ms: 1_000_000,
        };
        let mut probes = Probes::begin(now.mono_ms);
        let (mut asked, mut known) = probes.tick(now.mono_ms);
        for &round_trip in round_trips {
            let Some(Message::ClockProbe(ClockProbe { probe })) = asked else {
                panic!("a probe is due, not {asked:?}");
            };
            let half = i64::try_from(round_trip / 2).unwrap();
            let theirs = now.wall_ms + half + ahead_ms;
            now.mono_ms += round_trip;
            now.wall_ms += i64::try_from(round_trip).unwrap();
            (asked, known) = probes.answered(now, probe, theirs);
        }
        assert!(asked.is_none());
        known
    }

    #[test]
    fn a_clock_that_is_ahead_is_measured_as_ahead() {
        let known = measure(90_000, &[40, 30, 20, 30, 40]);
        assert_eq!(
            known,
            Some(Measured {
                offset_ms: 90_000,
                round_trip_ms: 20
            })
        );
    }

    #[test]
    fn a_clock_that_is_behind_is_measured_as_behind() {
        let known = measure(-7_200_000, &[2, 2, 2, 2, 2]);
        assert_eq!(
            known,
            Some(Measured {
                offset_ms: -7_200_000,
                round_trip_ms: 2
            })
        );
    }

    #[test]
    fn the_shortest_round_trip_counts_though_it_came_first() {
        let known = measure(0, &[6, 300, 300, 300, 300]);
        assert_eq!(known.map(|known| known.round_trip_ms), Some(6));
    }

    #[test]
    fn an_answer_nobody_asked_for_says_nothing() {
        let now = Moment {
            mono_ms: 0,
            wall_ms: 0,
        };
        let mut probes = Probes::begin(0);
        assert_eq!(probes.answered(now, 0, 55), (None, None));
        let (asked, _) = probes.tick(0);
        assert_eq!(asked, Some(Message::ClockProbe(ClockProbe { probe: 1 })));
        assert_eq!(probes.answered(now, 7, 55), (None, None));
    }

    #[test]
    fn probes_without_answers_end_and_the_next_round_comes_after_the_pause() {
        let mut probes = Probes::begin(0);
        let mut asked = 0;
        let mut now_ms = 0;
        loop {
            match probes.tick(now_ms) {
                (Some(_), None) => asked += 1,
                (None, None) => break,
                other => panic!("nothing was measured, so not {other:?}"),
            }
            now_ms = probes.next_tick();
        }
        assert_eq!(asked, PROBES);
        assert_eq!(probes.next_tick(), now_ms + PROBE_AGAIN_MS);
    }
}
