//! What every quantity has in common.

/// Declares a quantity: a number in the base unit of its dimension, with the ways in and out. A fourth argument
/// names a function that judges the number (in the base unit) before it becomes the quantity.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $dimension:ident $(, $judge:path)?) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From a value in any unit of the dimension.
            ///
            /// # Errors
            /// A unit of another dimension, a number that is not finite, or one that no such quantity can have.
            pub fn from_unit(
                value: f64,
                unit: $crate::quantity::Unit,
            ) -> Result<Self, $crate::quantity::QuantityError> {
                let wanted = $crate::quantity::Dimension::$dimension;
                if unit.dimension() != wanted {
                    return Err($crate::quantity::QuantityError::WrongDimension { unit, wanted });
                }
                let base = unit.to_base(value);
                if !base.is_finite() {
                    return Err($crate::quantity::QuantityError::NotFinite);
                }
                $($judge(base)?;)?
                Ok(Self(base))
            }

            /// The value in any unit of the dimension.
            ///
            /// # Errors
            /// A unit of another dimension.
            pub fn in_unit(
                self,
                unit: $crate::quantity::Unit,
            ) -> Result<f64, $crate::quantity::QuantityError> {
                let wanted = $crate::quantity::Dimension::$dimension;
                if unit.dimension() == wanted {
                    Ok(unit.of_base(self.0))
                } else {
                    Err($crate::quantity::QuantityError::WrongDimension { unit, wanted })
                }
            }

            /// Whether it is a finite number. Arithmetic on finite quantities can overflow.
            pub fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl TryFrom<$crate::quantity::Measure> for $name {
            type Error = $crate::quantity::QuantityError;

            fn try_from(measure: $crate::quantity::Measure) -> Result<Self, Self::Error> {
                Self::from_unit(measure.value(), measure.unit())
            }
        }

        impl TryFrom<&$crate::quantity::Figure> for $name {
            type Error = $crate::quantity::QuantityError;

            fn try_from(figure: &$crate::quantity::Figure) -> Result<Self, Self::Error> {
                figure.measure()?.try_into()
            }
        }
    };
}

/// Declares a named way in and a named way out for a unit that is at hand in code. For quantities that any
/// finite number can be.
macro_rules! named_units {
    ($name:ident: $($into:ident, $out:ident = $unit:ident, $words:literal;)*) => {
        impl $name {
            $(
                #[doc = concat!("From ", $words, ". The caller gives a finite number.")]
                pub const fn $into(value: f64) -> Self {
                    Self($crate::quantity::Unit::$unit.to_base(value))
                }

                #[doc = concat!("In ", $words, ".")]
                pub const fn $out(self) -> f64 {
                    $crate::quantity::Unit::$unit.of_base(self.0)
                }
            )*
        }
    };
}

/// Declares sums, differences, multiples and the sign of a quantity that is a difference or an amount.
macro_rules! amounts_add_up {
    ($name:ident) => {
        impl $name {
            /// None of it.
            pub const ZERO: Self = Self(0.0);

            /// Without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self {
                Self(self.0 * by)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, by: f64) -> Self {
                Self(self.0 / by)
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, std::ops::Add::add)
            }
        }
    };
}

pub(super) use {amounts_add_up, named_units, quantity};
