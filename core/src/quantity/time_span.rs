//! How long something takes.

use super::scalar::{amounts_add_up, named_units, quantity};

quantity! {
    /// A span of time.
    TimeSpan, Time
}

named_units! { TimeSpan:
    seconds, in_seconds = Second, "seconds";
    minutes, in_minutes = Minute, "minutes";
}

amounts_add_up!(TimeSpan);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minute_is_sixty_seconds() {
        assert!((TimeSpan::minutes(1.5).in_seconds() - 90.0).abs() < 1e-12);
    }
}
