//! How fast something moves.

use super::scalar::{amounts_add_up, named_units, quantity};

quantity! {
    /// A speed: of water in a pipe, of a wave along it. Negative where it runs backwards.
    Speed, Speed
}

named_units! { Speed:
    metres_per_second, in_metres_per_second = MetrePerSecond, "metres per second";
    feet_per_second, in_feet_per_second = FootPerSecond, "feet per second";
}

amounts_add_up!(Speed);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_foot_a_second_is_a_little_less_than_a_third_of_a_metre() {
        assert!((Speed::feet_per_second(10.0).in_metres_per_second() - 3.048).abs() < 1e-12);
    }
}
