//! Whether a hand-out or a changed request makes sense, before anything of it is written down.

use crate::api::{Asked, CrewLine, HandOut};
use crate::error::Invalid;
use std::collections::BTreeSet;
use turnwise_core::journal::{PersonId, Role};
use turnwise_core::quantity::{Dimension, Figure, QuantityError};

/// The longest text of one field, in bytes: what fits on a line of the page, several times.
const TEXT_LIMIT: usize = 200;

/// The most valves on one job beside the first.
const BESIDE_LIMIT: usize = 49;

/// The most people on one job.
const CREW_LIMIT: usize = 20;

/// Checks a job before it is handed out. `knows` says whether there is a procedure of this id.
pub fn hand_out(job: &HandOut, knows: impl Fn(&str) -> bool) -> Result<(), Invalid> {
    let texts = [
        ("number", &job.number),
        ("customer", &job.customer),
        ("site", &job.site),
        ("station", &job.station),
        ("valve", &job.valve),
    ];
    for (field, words) in texts {
        text(field, words)?;
    }
    if !knows(&job.procedure) {
        return Err(wrong(
            "unknown_procedure",
            "procedure",
            "there is no such procedure",
        ));
    }
    optional("size", job.size.as_ref(), Dimension::Length)?;
    asked("request.", &job.request)?;
    optional("spring_low", job.spring_low.as_ref(), Dimension::Pressure)?;
    optional("spring_high", job.spring_high.as_ref(), Dimension::Pressure)?;
    optional("spring_rate", job.spring_rate.as_ref(), Dimension::Rate)?;
    if let (Some(low), Some(high)) = (&job.spring_low, &job.spring_high)
        && !above("spring_high", high, low)?
    {
        return Err(wrong(
            "range_reversed",
            "spring_high",
            "the highest setting is not above the lowest",
        ));
    }
    if job.beside.len() > BESIDE_LIMIT {
        return Err(wrong(
            "too_many_valves",
            "beside",
            &format!("more than {BESIDE_LIMIT} further valves"),
        ));
    }
    for (at, other) in job.beside.iter().enumerate() {
        let field = |name: &str| format!("beside.{at}.{name}");
        text(&field("valve"), &other.valve)?;
        if !knows(&other.procedure) {
            return Err(wrong(
                "unknown_procedure",
                &field("procedure"),
                "there is no such procedure",
            ));
        }
        asked(&field("request."), &other.request)?;
    }
    crew(&job.crew)
}

/// Checks what a customer asks. `at` stands before the names of its fields: `request.` or nothing.
pub fn asked(at: &str, asked: &Asked) -> Result<(), Invalid> {
    let field = |name: &str| format!("{at}{name}");
    text(&field("datum"), &asked.datum)?;
    text(&field("asked_by"), &asked.asked_by)?;
    figure(&field("pressure"), &asked.pressure, Dimension::Pressure)?;
    optional(&field("tolerance"), asked.tolerance.as_ref(), Dimension::Pressure)?;
    optional(
        &field("zone_limit"),
        asked.zone_limit.as_ref(),
        Dimension::Pressure,
    )?;
    if let Some(limit) = &asked.zone_limit
        && !above(&field("zone_limit"), limit, &asked.pressure)?
    {
        return Err(wrong(
            "limit_below_request",
            &field("zone_limit"),
            "the zone's limit is not above what is asked",
        ));
    }
    Ok(())
}

fn crew(crew: &[CrewLine]) -> Result<(), Invalid> {
    if crew.len() > CREW_LIMIT {
        return Err(wrong(
            "crew_too_large",
            "crew",
            &format!("more than {CREW_LIMIT} people"),
        ));
    }
    let mut people = BTreeSet::new();
    for (at, line) in crew.iter().enumerate() {
        let field = format!("crew.{at}.name");
        text(&field, &line.name)?;
        if !people.insert(PersonId::of_name(&line.name)) {
            return Err(wrong("named_twice", &field, "this person is on the crew already"));
        }
    }
    if !crew.iter().any(|line| line.role == Role::LeadTech) {
        return Err(wrong(
            "no_lead_tech",
            "crew",
            "somebody has to lead: name one lead tech",
        ));
    }
    Ok(())
}

fn text(field: &str, words: &str) -> Result<(), Invalid> {
    if words.trim().is_empty() {
        return Err(wrong("empty", field, "this is empty"));
    }
    if words.len() > TEXT_LIMIT {
        return Err(wrong(
            "too_long",
            field,
            &format!("longer than {TEXT_LIMIT} bytes"),
        ));
    }
    if words.chars().any(char::is_control) {
        return Err(wrong(
            "control_character",
            field,
            "there is a character in it that cannot be printed",
        ));
    }
    Ok(())
}

fn optional(field: &str, given: Option<&Figure>, dimension: Dimension) -> Result<(), Invalid> {
    given.map_or(Ok(()), |given| figure(field, given, dimension))
}

/// A figure of this dimension, above zero.
fn figure(field: &str, given: &Figure, dimension: Dimension) -> Result<(), Invalid> {
    let value = given
        .value()
        .map_err(|error| wrong("bad_figure", field, &error.to_string()))?;
    if given.unit.dimension() != dimension {
        return Err(wrong(
            "wrong_dimension",
            field,
            &format!("{given} is not a {dimension}"),
        ));
    }
    if value <= 0.0 {
        return Err(wrong(
            "not_above_zero",
            field,
            &format!("{given} is not above zero"),
        ));
    }
    Ok(())
}

/// Whether the figure of a field is above another that may have been read in another unit.
fn above(field: &str, given: &Figure, other: &Figure) -> Result<bool, Invalid> {
    let compared =
        || Ok::<_, QuantityError>(given.measure()?.value() > other.measure()?.in_unit(given.unit)?);
    compared().map_err(|error| wrong("bad_figure", field, &error.to_string()))
}

fn wrong(code: &'static str, field: &str, message: &str) -> Invalid {
    Invalid {
        code,
        field: field.to_owned(),
        message: message.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::api::BesideIt;
    use turnwise_core::quantity::Unit;

    fn psi(digits: &str) -> Figure {
        Figure {
            digits: digits.to_owned(),
            unit: Unit::Psi,
        }
    }

    fn a_job() -> HandOut {
        HandOut {
            number: "2041".to_owned(),
            customer: "Pine Hollow Water".to_owned(),
            site: "Mill Road".to_owned(),
            station: "Vault 7".to_owned(),
            valve: "Main".to_owned(),
            procedure: "reducing".to_owned(),
            size: Some(Figure {
                digits: "6".to_owned(),
                unit: Unit::Inch,
            }),
            request: Asked {
                pressure: psi("55"),
                tolerance: Some(psi("2")),
                datum: "at the valve".to_owned(),
                asked_by: "the operator".to_owned(),
                zone_limit: Some(psi("80")),
            },
            spring_low: Some(psi("20")),
            spring_high: Some(psi("105")),
            spring_rate: Some(Figure {
                digits: "13.5".to_owned(),
                unit: Unit::PsiPerTurn,
            }),
            known: None,
            beside: Vec::new(),
            crew: vec![
                person("Ana Ruiz", Role::LeadTech),
                person("Ben Cole", Role::Technician),
            ],
        }
    }

    fn person(name: &str, role: Role) -> CrewLine {
        CrewLine {
            name: name.to_owned(),
            role,
        }
    }

    /// The code and the field that a job is refused with after a change.
    fn refused(change: impl FnOnce(&mut HandOut)) -> (&'static str, String) {
        let mut job = a_job();
        change(&mut job);
        let invalid = hand_out(&job, |id| id == "reducing").unwrap_err();
        (invalid.code, invalid.field)
    }

    fn at(code: &'static str, field: &str) -> (&'static str, String) {
        (code, field.to_owned())
    }

    #[test]
    fn a_job_that_makes_sense_is_taken() {
        assert_eq!(hand_out(&a_job(), |id| id == "reducing"), Ok(()));
    }

    #[test]
    fn a_figure_that_is_none_is_named_by_its_field() {
        assert_eq!(
            refused(|job| job.request.pressure = psi("fifty")),
            at("bad_figure", "request.pressure")
        );
        assert_eq!(
            refused(|job| job.request.pressure = psi("1e999")),
            at("bad_figure", "request.pressure")
        );
        assert_eq!(
            refused(|job| job.request.tolerance = Some(psi("-2"))),
            at("not_above_zero", "request.tolerance")
        );
        assert_eq!(
            refused(|job| job.size = Some(psi("6"))),
            at("wrong_dimension", "size")
        );
        assert_eq!(
            refused(|job| job.spring_rate = Some(psi("13"))),
            at("wrong_dimension", "spring_rate")
        );
    }

    #[test]
    fn a_limit_must_be_above_what_is_asked_in_whatever_unit() {
        let bar = |digits: &str| {
            Some(Figure {
                digits: digits.to_owned(),
                unit: Unit::Bar,
            })
        };
        assert_eq!(
            refused(|job| job.request.zone_limit = bar("3.7")),
            at("limit_below_request", "request.zone_limit")
        );
        let mut job = a_job();
        job.request.zone_limit = bar("3.9");
        assert_eq!(hand_out(&job, |_| true), Ok(()));
    }

    #[test]
    fn a_spring_has_its_lower_end_below_its_upper() {
        assert_eq!(
            refused(|job| job.spring_high = Some(psi("20"))),
            at("range_reversed", "spring_high")
        );
    }

    #[test]
    fn a_further_valve_is_checked_like_the_first_and_named_by_its_place() {
        let other = |valve: &str, procedure: &str| BesideIt {
            valve: valve.to_owned(),
            known: None,
            procedure: procedure.to_owned(),
            request: a_job().request,
        };
        let mut job = a_job();
        job.beside = vec![other("Relief", "reducing")];
        assert_eq!(hand_out(&job, |id| id == "reducing"), Ok(()));
        assert_eq!(
            refused(|job| job.beside = vec![other("Relief", "reducing"), other(" ", "reducing")]),
            at("empty", "beside.1.valve")
        );
        assert_eq!(
            refused(|job| job.beside = vec![other("Relief", "siphon")]),
            at("unknown_procedure", "beside.0.procedure")
        );
        assert_eq!(
            refused(|job| {
                let mut relief = other("Relief", "reducing");
                relief.request.pressure = psi("-1");
                job.beside = vec![relief];
            }),
            at("not_above_zero", "beside.0.request.pressure")
        );
        assert_eq!(
            refused(|job| job.beside = vec![other("Relief", "reducing"); 50]),
            at("too_many_valves", "beside")
        );
    }

    #[test]
    fn somebody_leads_and_nobody_is_named_twice() {
        assert_eq!(
            refused(|job| job.crew[0].role = Role::Technician),
            at("no_lead_tech", "crew")
        );
        assert_eq!(refused(|job| job.crew.clear()), at("no_lead_tech", "crew"));
        assert_eq!(
            refused(|job| job.crew.push(person(" ana ruiz", Role::Reader))),
            at("named_twice", "crew.2.name")
        );
    }

    #[test]
    fn words_are_there_and_short_enough_to_print() {
        assert_eq!(refused(|job| job.number = "  ".to_owned()), at("empty", "number"));
        assert_eq!(
            refused(|job| job.customer = "x".repeat(201)),
            at("too_long", "customer")
        );
        assert_eq!(
            refused(|job| job.site = "Mill\nRoad".to_owned()),
            at("control_character", "site")
        );
        assert_eq!(
            refused(|job| job.request.datum = String::new()),
            at("empty", "request.datum")
        );
        assert_eq!(
            refused(|job| job.crew[1].name = String::new()),
            at("empty", "crew.1.name")
        );
        assert_eq!(
            refused(|job| job.procedure = "relief".to_owned()),
            at("unknown_procedure", "procedure")
        );
    }
}
