//! Turning of a screw.

use super::scalar::{amounts_add_up, named_units, quantity};

quantity! {
    /// How far a screw is turned. Clockwise is positive.
    Turns, Turn
}

named_units! { Turns:
    of, in_turns = Turn, "turns";
    degrees, in_degrees = Degree, "degrees";
    flats, in_flats = Flat, "flats of a hexagon";
}

amounts_add_up!(Turns);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_flats_and_360_degrees_are_one_turn() {
        assert!((Turns::flats(6.0).in_turns() - 1.0).abs() < 1e-15);
        assert!((Turns::degrees(360.0).in_turns() - 1.0).abs() < 1e-15);
        assert!((Turns::of(-0.5).in_flats() + 3.0).abs() < 1e-15);
        assert!((Turns::of(-0.5).in_degrees() + 180.0).abs() < 1e-12);
    }

    #[test]
    fn turns_one_way_and_as_far_back_make_none() {
        let moves = [Turns::of(0.5), Turns::of(0.375), Turns::of(-0.875)];
        assert_eq!(moves.into_iter().sum::<Turns>(), Turns::ZERO);
    }
}
