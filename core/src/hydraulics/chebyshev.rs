//! Sums of Chebyshev polynomials.

/// The sum of `coefficients[k] T_k(x)` for `x` in -1..1, by Clenshaw's recurrence.
pub(super) fn sum(coefficients: &[f64], x: f64) -> f64 {
    let (mut one, mut two) = (0.0, 0.0);
    for &coefficient in coefficients.iter().skip(1).rev() {
        (one, two) = (coefficient + 2.0 * x * one - two, one);
    }
    coefficients.first().copied().unwrap_or(0.0) + x * one - two
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_is_what_its_polynomials_add_up_to() {
        for x in [-1.0, -0.3, 0.0, 0.7, 1.0] {
            let expected = 2.0 - 3.0 * x + 0.5 * (2.0 * x * x - 1.0) + 0.25 * (4.0 * x * x * x - 3.0 * x);
            assert!((sum(&[2.0, -3.0, 0.5, 0.25], x) - expected).abs() < 1e-14, "{x}");
        }
        assert!(sum(&[], 0.5).abs() < 1e-300);
    }
}
