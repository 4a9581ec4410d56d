//! What holds for any figure.

use super::{Dimension, Figure, Measure, Unit};
use proptest::prelude::*;

fn any_unit() -> impl Strategy<Value = Unit> {
    proptest::sample::select(Unit::ALL)
}

/// Two units of one dimension, often twice the same.
fn any_pair() -> impl Strategy<Value = (Unit, Unit)> {
    any_unit().prop_flat_map(|from| {
        let same: Vec<Unit> = Unit::ALL
            .iter()
            .copied()
            .filter(|to| to.dimension() == from.dimension())
            .collect();
        (Just(from), proptest::sample::select(same))
    })
}

proptest! {
    #[test]
    fn what_was_typed_is_what_is_kept(digits in "[+-]?[0-9]{1,12}(\\.[0-9]{1,10})?", unit in any_unit()) {
        let figure = Figure::new(&digits, unit).unwrap();
        prop_assert_eq!(&figure.digits, &digits);
        let json = serde_json::to_string(&figure).unwrap();
        prop_assert_eq!(serde_json::from_str::<Figure>(&json).unwrap(), figure.clone());
        // Its text reads back as the same number in the same unit.
        let read: Measure = figure.to_string().parse().unwrap();
        prop_assert_eq!(read, figure.measure().unwrap());
        prop_assert_eq!(read.value().to_bits(), digits.parse::<f64>().unwrap().to_bits());
    }

    #[test]
    fn a_plain_fraction_reads_as_its_parts(
        negative: bool, whole in 0_u32..40, numerator in 1_u32..16, more in 1_u32..16,
    ) {
        let denominator = numerator + more;
        let sign = if negative { "-" } else { "" };
        let figure = Figure::new(&format!("{sign}{whole} {numerator}/{denominator}"), Unit::Turn).unwrap();
        let magnitude = f64::from(whole * denominator + numerator) / f64::from(denominator);
        let value = figure.value().unwrap();
        prop_assert!((value.abs() - magnitude).abs() < 1e-12);
        prop_assert_eq!(value < 0.0, negative);
    }

    #[test]
    fn any_text_whatever_gives_a_finite_number_or_an_error(digits in any::<String>(), unit in any_unit()) {
        if let Ok(value) = (Figure { digits, unit }).value() {
            prop_assert!(value.is_finite());
        }
    }

    #[test]
    fn near_numbers_give_a_finite_number_or_an_error(text in "[-+0-9., /eE]{0,30}[a-zA-Z/ %°]{0,8}") {
        if let Ok(measure) = text.parse::<Measure>() {
            prop_assert!(measure.value().is_finite());
        }
    }

    #[test]
    fn more_in_one_unit_is_more_in_the_other(
        (from, to) in any_pair(), low in -1e6_f64..1e6, more in 1e-3_f64..1e6,
    ) {
        let high = low + more;
        prop_assert!(from.convert(low, to).unwrap() < from.convert(high, to).unwrap());
        if from.dimension() != Dimension::Temperature {
            // Nothing but temperature has an offset: twice as much is twice as much.
            let (once, twice) = (from.convert(high, to).unwrap(), from.convert(2.0 * high, to).unwrap());
            prop_assert!((twice - 2.0 * once).abs() <= 1e-12 * twice.abs());
        }
    }
}
