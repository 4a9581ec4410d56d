//! How much one turn of a screw changes a setting.

use super::scalar::{named_units, quantity};
use super::{PressureDifference, Turns};
use std::ops::{Div, Mul};

quantity! {
    /// Change of setting per turn clockwise.
    Rate, Rate
}

named_units! { Rate:
    psi_per_turn, in_psi_per_turn = PsiPerTurn, "psi per turn";
    kpa_per_turn, in_kpa_per_turn = KilopascalPerTurn, "kPa per turn";
}

impl Mul<Turns> for Rate {
    type Output = PressureDifference;
    fn mul(self, turns: Turns) -> PressureDifference {
        PressureDifference::pa(self.0 * turns.in_turns())
    }
}

impl Div<Rate> for PressureDifference {
    type Output = Turns;
    fn div(self, rate: Rate) -> Turns {
        Turns::of(self.in_pa() / rate.0)
    }
}

impl Div<Turns> for PressureDifference {
    type Output = Rate;
    fn div(self, turns: Turns) -> Rate {
        Rate(self.in_pa() / turns.in_turns())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_times_turns_is_a_difference_and_back() {
        let rate = Rate::psi_per_turn(27.0);
        let difference = rate * Turns::of(-1.5);
        assert!((difference.in_psi() + 40.5).abs() < 1e-12);
        assert!(((difference / rate).in_turns() + 1.5).abs() < 1e-12);
        assert!(((difference / Turns::of(-1.5)).in_psi_per_turn() - 27.0).abs() < 1e-12);
    }
}
