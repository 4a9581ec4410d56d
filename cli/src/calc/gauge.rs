//! `gauge`: how sure a reading is.

use super::{CalcError, Finite, Request};
use serde::Serialize;
use turnwise_core::gauge::{Accuracy, GaugeSpec};
use turnwise_core::quantity::Unit;

/// What is answered.
#[derive(Serialize)]
pub struct Answer {
    standard_psi: Finite,
    expanded_psi: Finite,
    warnings: [&'static str; 0],
}

/// Answers the uncertainty of a reading on a gauge of `span` and `grade` or `percent` (of span), with the optional
/// `resolution` and the reading `at`. Without a reading a grade counts at its widest.
pub fn answer(mut request: Request) -> Result<Answer, CalcError> {
    let span = request.need_quantity("span")?;
    let accuracy = accuracy(&mut request)?;
    let resolution = request.quantity("resolution")?;
    let atmosphere = request.atmosphere()?;
    let at = request.gauge("at", atmosphere)?;
    request.finish()?;
    let gauge = GaugeSpec::new(span, accuracy, resolution)?;
    Ok(Answer {
        standard_psi: gauge.standard(at).in_psi().try_into()?,
        expanded_psi: gauge.expanded(at).in_psi().try_into()?,
        warnings: [],
    })
}

fn accuracy(request: &mut Request) -> Result<Accuracy, CalcError> {
    let grade = request.text("grade")?;
    let percent = request.number_in("percent", Unit::Percent)?;
    match (grade, percent) {
        (Some(_), Some(_)) => Err(CalcError::new("given_twice", "both `grade` and `percent`")),
        (None, None) => Err(CalcError::new("missing_key", "no `grade` and no `percent`")),
        (Some(words), None) => {
            words
                .parse()
                .map(Accuracy::Grade)
                .map_err(|error: turnwise_core::gauge::UnknownGrade| {
                    CalcError::new(error.code(), error.to_string()).at("grade")
                })
        }
        (None, Some(percent)) => {
            Accuracy::percent(percent).map_err(|error| CalcError::from(error).at("percent"))
        }
    }
}
