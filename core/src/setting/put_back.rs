//! The way back to as found.

use crate::quantity::Turns;

/// Turns so few that they are rounding, not turning: a millionth of a turn.
const NOTHING: f64 = 1e-6;

/// How to turn the screw back to where it was found, given every move since, clockwise positive.
///
/// Equation: `back = -(sum of the moves)`. Source: common practice, no source. Range: the thread has no play
/// that matters, and every move is on record; a move whose figure makes no sense leaves the way back unknown,
/// so a caller who cannot read one must not ask.
/// Example: found, then 1/2 turn, 5/8 turn and 1/4 turn counter-clockwise: back is 1 3/8 turns clockwise.
pub fn way_back(moves: impl IntoIterator<Item = Turns>) -> Turns {
    let back = -moves.into_iter().sum::<Turns>();
    if back.abs().in_turns() < NOTHING {
        Turns::ZERO
    } else {
        back
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Direction, Finest, PlainFraction};
    use super::*;

    #[test]
    fn the_way_back_is_every_move_undone() {
        let moves = [-0.5, -0.625, -0.25].map(Turns::of);
        let back = way_back(moves);
        assert_eq!(
            PlainFraction::nearest(back, Finest::Eighth).map(|f| f.to_string()),
            Some("1 3/8".to_owned())
        );
        assert_eq!(Direction::of(back), Direction::Clockwise);
    }

    #[test]
    fn where_nothing_was_turned_there_is_nothing_to_turn_back() {
        assert_eq!(way_back([]), Turns::ZERO);
        // Six flats one way and a whole turn back, to the rounding of a sixth.
        let flats = std::iter::repeat_n(Turns::flats(1.0), 6);
        assert_eq!(way_back(flats.chain([Turns::of(-1.0)])), Turns::ZERO);
    }
}
