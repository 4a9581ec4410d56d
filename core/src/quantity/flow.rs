//! Flow of water.

use super::scalar::{amounts_add_up, named_units, quantity};

quantity! {
    /// Volume per time. Negative where it runs backwards.
    Flow, Flow
}

named_units! { Flow:
    gpm, in_gpm = GallonPerMinute, "US gallons per minute";
    litres_per_second, in_litres_per_second = LitrePerSecond, "litres per second";
    cubic_metres_per_hour, in_cubic_metres_per_hour = CubicMetrePerHour, "cubic metres per hour";
}

amounts_add_up!(Flow);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_leaves_by_two_pipes_came_in_by_one() {
        let sum = Flow::gpm(100.0) + Flow::litres_per_second(6.309_019_64);
        assert!((sum.in_gpm() - 200.0).abs() < 1e-6);
    }
}
