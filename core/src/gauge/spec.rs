//! A gauge, and how sure a reading of it is.

use super::{Accuracy, Part};
use crate::quantity::{GaugePressure, PressureDifference};
use thiserror::Error;

/// The coverage factor of the expanded uncertainty: 2, about 95 % where the contributions are many or bell-shaped
/// (GUM, 6.3.3).
pub const COVERAGE: f64 = 2.0;

/// What is known of a gauge whose scale begins at zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeSpec {
    /// Full scale.
    pub span: PressureDifference,
    /// How far off it may be.
    pub accuracy: Accuracy,
    /// The smallest step one can read, where known.
    pub resolution: Option<PressureDifference>,
}

/// Why these figures make no gauge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum SpecError {
    /// A span of zero or less.
    #[error("the span of a gauge is above zero")]
    SpanNotPositive,
    /// A resolution below zero.
    #[error("the resolution of a gauge is not below zero")]
    NegativeResolution,
}

impl SpecError {
    /// The stable code of this error.
    pub fn code(self) -> &'static str {
        match self {
            Self::SpanNotPositive => "span_not_positive",
            Self::NegativeResolution => "negative_resolution",
        }
    }
}

impl GaugeSpec {
    /// A gauge.
    ///
    /// # Errors
    /// [`SpecError`] for a span that is not above zero or a resolution below it.
    pub fn new(
        span: PressureDifference,
        accuracy: Accuracy,
        resolution: Option<PressureDifference>,
    ) -> Result<Self, SpecError> {
        if !(span > PressureDifference::ZERO && span.is_finite()) {
            return Err(SpecError::SpanNotPositive);
        }
        if resolution.is_some_and(|step| !(step >= PressureDifference::ZERO && step.is_finite())) {
            return Err(SpecError::NegativeResolution);
        }
        Ok(Self {
            span,
            accuracy,
            resolution,
        })
    }

    /// The part of the scale that a pressure falls in.
    pub fn part(&self, at: GaugePressure) -> Part {
        let share = at.in_pa() / self.span.in_pa();
        if (0.25 - 1e-9..=0.75 + 1e-9).contains(&share) {
            Part::Middle
        } else {
            Part::End
        }
    }

    /// The limit of error at a reading, either way; the widest of the scale where the reading is not known.
    pub fn limit(&self, at: Option<GaugePressure>) -> PressureDifference {
        let part = at.map_or(Part::End, |at| self.part(at));
        self.span * (self.accuracy.limit(part) / 100.0)
    }

    /// The standard uncertainty of a reading, from the gauge's limit of error and its resolution.
    ///
    /// Equation: `u = sqrt((a / sqrt 3)^2 + (r / (2 sqrt 3))^2)`, `a` the limit of error and `r` the resolution,
    /// both pressures. Range: a gauge in calibration, read without parallax, at rest. Source: GUM (JCGM 100:2008),
    /// 4.3.7 (rectangular limits) and F.2.2.1 (resolution).
    /// Example: 0-200 psi, 0.5 % of span, read to 1 psi: 0.6455 psi.
    pub fn standard(&self, at: Option<GaugePressure>) -> PressureDifference {
        let accuracy = self.limit(at).in_pa() / 3.0_f64.sqrt();
        let resolution = self
            .resolution
            .map_or(0.0, |step| step.in_pa() / (2.0 * 3.0_f64.sqrt()));
        PressureDifference::pa(accuracy.hypot(resolution))
    }

    /// The expanded uncertainty of a reading: twice the standard one.
    ///
    /// Equation: `U = k u`, `k = 2`. Source: GUM (JCGM 100:2008), 6.2.1.
    /// Example: 0-200 psi, 0.5 % of span, read to 1 psi: 1.2910 psi.
    pub fn expanded(&self, at: Option<GaugePressure>) -> PressureDifference {
        self.standard(at) * COVERAGE
    }
}

#[cfg(test)]
mod tests {
    use super::super::Grade;
    use super::*;

    fn gauge(span: f64, accuracy: Accuracy, resolution: Option<f64>) -> GaugeSpec {
        GaugeSpec::new(
            PressureDifference::psi(span),
            accuracy,
            resolution.map(PressureDifference::psi),
        )
        .unwrap()
    }

    /// Source: plain arithmetic on the equations of the GUM (JCGM 100:2008).
    #[test]
    fn the_uncertainty_of_a_gauge_comes_from_its_limit_and_its_resolution() {
        let half = Accuracy::PercentOfSpan(0.5);
        let (large, small) = (gauge(200.0, half, Some(1.0)), gauge(100.0, half, Some(0.5)));
        for (u, printed) in [
            (large.standard(None), 0.6455),
            (large.expanded(None), 1.2910),
            (small.standard(None), 0.3227),
            (small.expanded(None), 0.6455),
        ] {
            assert!((u.in_psi() - printed).abs() <= 5e-5, "{} {printed}", u.in_psi());
        }
        let both = large.standard(None).in_psi().hypot(small.standard(None).in_psi());
        assert!((both - 0.7217).abs() < 5e-5, "{both}");
        assert!((both * COVERAGE - 1.4434).abs() < 5e-5);
    }

    #[test]
    fn a_reading_near_an_end_of_the_scale_is_less_sure_where_the_grade_says_so() {
        let gauge = gauge(100.0, Accuracy::Grade(Grade::B), None);
        let limit = |psi| gauge.limit(Some(GaugePressure::psi(psi))).in_psi();
        for (at, expected) in [
            (24.9, 3.0),
            (25.0, 2.0),
            (75.0, 2.0),
            (75.1, 3.0),
            (-1.0, 3.0),
            (120.0, 3.0),
        ] {
            assert!((limit(at) - expected).abs() < 1e-12, "{at}");
        }
        assert!((gauge.limit(None).in_psi() - 3.0).abs() < 1e-12);
    }

    #[test]
    fn figures_that_make_no_gauge_are_refused() {
        let new = |span, resolution| {
            GaugeSpec::new(
                PressureDifference::psi(span),
                Accuracy::Grade(Grade::A),
                Some(PressureDifference::psi(resolution)),
            )
            .unwrap_err()
            .code()
        };
        assert_eq!(new(0.0, 1.0), "span_not_positive");
        assert_eq!(new(-100.0, 1.0), "span_not_positive");
        assert_eq!(new(f64::NAN, 1.0), "span_not_positive");
        assert_eq!(new(100.0, -1.0), "negative_resolution");
    }
}
