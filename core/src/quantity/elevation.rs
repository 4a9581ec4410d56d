//! Lengths, and heights above a datum.

use super::scalar::{amounts_add_up, named_units, quantity};
use std::ops::{Add, Sub};

quantity! {
    /// A length, a diameter, or how much one elevation is above another.
    Length, Length
}

quantity! {
    /// A height above the survey's datum. Two of them have a difference, no sum.
    Elevation, Length
}

named_units! { Length:
    metres, in_metres = Metre, "metres";
    feet, in_feet = Foot, "feet";
    inches, in_inches = Inch, "inches";
}

named_units! { Elevation:
    metres, in_metres = Metre, "metres";
    feet, in_feet = Foot, "feet";
}

amounts_add_up!(Length);

impl Sub for Elevation {
    type Output = Length;
    fn sub(self, other: Self) -> Length {
        Length(self.0 - other.0)
    }
}

impl Add<Length> for Elevation {
    type Output = Self;
    fn add(self, rise: Length) -> Self {
        Self(self.0 + rise.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rise_from_one_elevation_to_another_leads_back_to_it() {
        let (vault, hill) = (Elevation::feet(812.5), Elevation::feet(900.0));
        let rise = hill - vault;
        assert!((rise.in_feet() - 87.5).abs() < 1e-12);
        assert!(((vault + rise).in_metres() - hill.in_metres()).abs() < 1e-12);
        assert!((Length::inches(12.0).in_feet() - 1.0).abs() < 1e-15);
    }
}
