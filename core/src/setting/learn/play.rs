//! The play between screw and spring.
//!
//! Equation: the play operator of mechanics. Of a turn `t` clockwise, the first `s` do nothing, where `s` is the
//! slack that way, at most the dead band `d`; what is taken up on one side opens on the other, so that the two
//! slacks always add up to `d`. Several small turns after a reversal therefore share one dead band.
//! Units: turns. Source: standard textbook form of backlash; that a pilot's screw has it is common practice, no
//! source. Example: `d` = 0.1, taken up clockwise; -0.06 does nothing, another -0.06 does -0.02.

/// Where the screw stands in its play.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Play {
    band: f64,
    /// How much of a turn clockwise would be lost.
    slack: f64,
}

impl Play {
    /// Taken up for a turn in this direction (by its sign).
    pub(super) fn taken_up(band: f64, direction: f64) -> Self {
        Self {
            band,
            slack: if direction < 0.0 { band } else { 0.0 },
        }
    }

    /// Turns the screw, and says by how much the spring is driven.
    pub(super) fn turn(&mut self, turns: f64) -> f64 {
        if turns >= 0.0 {
            let lost = turns.min(self.slack);
            self.slack -= lost;
            turns - lost
        } else {
            let lost = (-turns).min(self.band - self.slack);
            self.slack += lost;
            turns + lost
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn driven(play: Play, turns: &[f64]) -> Vec<f64> {
        let mut play = play;
        turns
            .iter()
            .map(|&turns| (play.turn(turns) * 1e6).round() / 1e6)
            .collect()
    }

    #[test]
    fn several_small_turns_after_a_reversal_share_one_dead_band() {
        let clockwise = Play::taken_up(0.1, 1.0);
        assert_eq!(
            driven(clockwise, &[0.5, -0.06, -0.06, -0.2]),
            [0.5, 0.0, -0.02, -0.2]
        );
        assert_eq!(driven(clockwise, &[-0.06, 0.06, 0.1]), [0.0, 0.0, 0.1]);
    }

    #[test]
    fn a_turn_the_same_way_is_whole_and_the_first_one_the_other_way_is_not() {
        assert_eq!(driven(Play::taken_up(0.1, -1.0), &[-0.25, -0.25]), [-0.25, -0.25]);
        assert_eq!(
            driven(Play::taken_up(0.1, -1.0), &[0.25, 0.25, -0.25]),
            [0.15, 0.25, -0.15]
        );
    }
}
