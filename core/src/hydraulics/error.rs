//! Why a formula has no answer.

use thiserror::Error;

/// Why a formula has no answer for these figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum HydraulicsError {
    /// A temperature outside the range of the formula.
    #[error("the temperature is outside the range of the formula")]
    TemperatureOutOfRange,
    /// An outlet pressure above the inlet pressure.
    #[error("the outlet pressure is above the inlet pressure")]
    OutletAboveInlet,
    /// Inlet and outlet pressure are equal.
    #[error("there is no difference between inlet and outlet pressure")]
    NoDifference,
    /// The inlet pressure is not above the vapour pressure: what arrives is not water.
    #[error("the inlet pressure is not above the vapour pressure")]
    InletBoils,
    /// A recovery factor that is not above 0 and at most 1.
    #[error("the recovery factor FL is more than 0 and at most 1")]
    RecoveryOutOfRange,
    /// A flow coefficient of zero or less.
    #[error("the flow coefficient is not above zero")]
    CoefficientNotPositive,
    /// A negative flow.
    #[error("the flow is below zero")]
    NegativeFlow,
    /// A discharge coefficient that is not above 0 and at most 1.
    #[error("the discharge coefficient is more than 0 and at most 1")]
    DischargeOutOfRange,
    /// A length, diameter or thickness of zero or less.
    #[error("a length is not above zero")]
    LengthNotPositive,
    /// A pressure below zero where water is to come out.
    #[error("the pressure is below zero")]
    NegativePressure,
    /// A residual pressure that is not below the static one.
    #[error("the residual pressure is not below the static pressure")]
    ResidualNotBelowStatic,
    /// A pressure to keep that is above the static one.
    #[error("the pressure to keep is above the static pressure")]
    AboveStatic,
    /// A stiffness of zero or less.
    #[error("a stiffness is not above zero")]
    StiffnessNotPositive,
    /// A density of zero or less.
    #[error("the density is not above zero")]
    DensityNotPositive,
    /// A factor of restraint below zero.
    #[error("the restraint factor is below zero")]
    NegativeRestraint,
    /// A wave speed of zero or less.
    #[error("the wave speed is not above zero")]
    WaveSpeedNotPositive,
    /// A part of the stroke below 0 or above 1.
    #[error("a part of the stroke is from 0 to 1")]
    OpeningOutOfRange,
    /// The result is more than a number can hold.
    #[error("the result is not a finite number")]
    NotFinite,
}

impl HydraulicsError {
    /// The stable code of this error.
    pub fn code(self) -> &'static str {
        match self {
            Self::TemperatureOutOfRange => "temperature_out_of_range",
            Self::OutletAboveInlet => "outlet_above_inlet",
            Self::NoDifference => "no_difference",
            Self::InletBoils => "inlet_below_vapour_pressure",
            Self::RecoveryOutOfRange => "fl_out_of_range",
            Self::CoefficientNotPositive => "coefficient_not_positive",
            Self::NegativeFlow => "negative_flow",
            Self::DischargeOutOfRange => "discharge_coefficient_out_of_range",
            Self::LengthNotPositive => "length_not_positive",
            Self::NegativePressure => "negative_pressure",
            Self::ResidualNotBelowStatic => "residual_not_below_static",
            Self::AboveStatic => "above_static",
            Self::StiffnessNotPositive => "stiffness_not_positive",
            Self::DensityNotPositive => "density_not_positive",
            Self::NegativeRestraint => "negative_restraint",
            Self::WaveSpeedNotPositive => "wave_speed_not_positive",
            Self::OpeningOutOfRange => "opening_out_of_range",
            Self::NotFinite => "not_finite",
        }
    }
}
