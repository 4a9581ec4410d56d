//! `agreement`: whether two readings agree, by what their gauges can tell.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::gauge;
use turnwise_core::quantity::PressureDifference;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    en: Finite,
    agree: bool,
    warnings: [&'static str; 0],
}

/// Answers whether `a` and `b` agree, given their expanded uncertainties `ua` and `ub`.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let atmosphere = request.atmosphere()?;
    let a = request.need_gauge("a", atmosphere)?;
    let ua: PressureDifference = request.need_quantity("ua")?;
    let b = request.need_gauge("b", atmosphere)?;
    let ub: PressureDifference = request.need_quantity("ub")?;
    request.finish()?;
    let none = PressureDifference::ZERO;
    if ua < none || ub < none {
        return Err(CalcError::new(
            "negative_uncertainty",
            "an uncertainty below zero",
        ));
    }
    if ua == none && ub == none {
        return Err(CalcError::new("no_uncertainty", "both uncertainties are zero"));
    }
    let found = gauge::agreement(a, ua, b, ub);
    Ok(Answer {
        en: found.en.try_into()?,
        agree: found.agree,
        warnings: [],
    })
}
