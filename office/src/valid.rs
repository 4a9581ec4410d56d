//! Whether a hand-out or a changed request makes sense, before anything of it is written down.

use crate::api::{Asked, CrewLine, HandOut, HandedParticular};
use crate::error::Invalid;
use std::collections::BTreeSet;
use turnwise_core::findings::pre_job::LimitName;
use turnwise_core::journal::{ParticularValue, PersonId, Role, particular};
use turnwise_core::procedure::{Procedures, ToldAs};
use turnwise_core::quantity::{Dimension, Figure, QuantityError};

/// The longest text of one field, in bytes: what fits on a line of the page, several times.
const TEXT_LIMIT: usize = 200;

/// The most valves on one job beside the first.
const BESIDE_LIMIT: usize = 49;

/// The most people on one job.
const CREW_LIMIT: usize = 20;

/// Checks a job before it is handed out.
pub fn hand_out(job: &HandOut, procedures: &Procedures) -> Result<(), Invalid> {
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
    if procedures.get(&job.procedure).is_none() {
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
        if procedures.get(&other.procedure).is_none() {
            return Err(wrong(
                "unknown_procedure",
                &field("procedure"),
                "there is no such procedure",
            ));
        }
        asked(&field("request."), &other.request)?;
    }
    let mut told = BTreeSet::from(FIELDS_OF_THEIR_OWN);
    for (at, each) in job.particulars.iter().enumerate() {
        let field = format!("particulars.{at}");
        if !told.insert(&each.name) {
            return Err(wrong("named_twice", &field, "this particular is given already"));
        }
        particular(&field, each, procedures)?;
    }
    crew(&job.crew)
}

/// The particulars that have a field of their own.
const FIELDS_OF_THEIR_OWN: [&str; 4] = [
    particular::SIZE,
    particular::SPRING_LOW,
    particular::SPRING_HIGH,
    particular::SPRING_RATE,
];

/// A particular that some procedure asks for, told as it is to be told, or a limit of the checks.
fn particular(field: &str, told: &HandedParticular, procedures: &Procedures) -> Result<(), Invalid> {
    let told_as = match LimitName::of_particular(&told.name) {
        Some(limit) => ToldAs::Figure(vec![limit.default_figure().unit.dimension()]),
        None => procedures
            .iter()
            .find_map(|procedure| procedure.particular(&told.name))
            .map(|asked| asked.told_as.clone())
            .ok_or_else(|| wrong("unknown_particular", field, "no procedure asks for this"))?,
    };
    match (&told_as, &told.value) {
        (ToldAs::Figure(dimensions), ParticularValue::Figure(figure)) => {
            let value = figure
                .value()
                .map_err(|error| wrong("bad_figure", field, &error.to_string()))?;
            if !dimensions.contains(&figure.unit.dimension()) {
                let message = format!("{figure} is not what {} is told as", told.name);
                return Err(wrong("wrong_dimension", field, &message));
            }
            // An elevation may lie below the datum; nothing else is less than nothing.
            if value < 0.0 && figure.unit.dimension() != Dimension::Length {
                return Err(wrong("below_zero", field, &format!("{figure} is below zero")));
            }
            Ok(())
        }
        (ToldAs::Choice(words), ParticularValue::Text(word)) => {
            if words.iter().any(|known| known.id == *word) {
                Ok(())
            } else {
                Err(wrong(
                    "unknown_word",
                    field,
                    "this is none of the words to choose from",
                ))
            }
        }
        (ToldAs::Words | ToldAs::Figure(_), ParticularValue::Text(words)) => text(field, words),
        (ToldAs::Words | ToldAs::Choice(_), ParticularValue::Figure(figure)) => Err(wrong(
            "wrong_dimension",
            field,
            &format!("{figure} where words are wanted"),
        )),
    }
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
            particulars: Vec::new(),
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
        let invalid = hand_out(&job, &Procedures::built_in().unwrap()).unwrap_err();
        (invalid.code, invalid.field)
    }

    fn at(code: &'static str, field: &str) -> (&'static str, String) {
        (code, field.to_owned())
    }

    #[test]
    fn a_job_that_makes_sense_is_taken() {
        assert_eq!(hand_out(&a_job(), &Procedures::built_in().unwrap()), Ok(()));
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
        assert_eq!(hand_out(&job, &Procedures::built_in().unwrap()), Ok(()));
    }

    #[test]
    fn a_spring_has_its_lower_end_below_its_upper() {
        assert_eq!(
            refused(|job| job.spring_high = Some(psi("20"))),
            at("range_reversed", "spring_high")
        );
    }

    fn told(name: &str, digits: &str, unit: Unit) -> HandedParticular {
        HandedParticular {
            name: name.to_owned(),
            value: ParticularValue::Figure(Figure {
                digits: digits.to_owned(),
                unit,
            }),
        }
    }

    fn in_words(name: &str, words: &str) -> HandedParticular {
        HandedParticular {
            name: name.to_owned(),
            value: ParticularValue::Text(words.to_owned()),
        }
    }

    #[test]
    fn particulars_are_those_that_a_procedure_asks_for_and_limits_are_of_their_own_kind() {
        let mut job = a_job();
        job.particulars = vec![
            told("recovery", "0.85", Unit::Ratio),
            told("coefficient", "400", Unit::Kv),
            told("datum_elevation", "-12", Unit::Metre),
            told("relief_opens_at", "80", Unit::Psi),
            told("limit_velocity", "4", Unit::MetrePerSecond),
            in_words("test_side", "upstream"),
            in_words("plate", "reducing pilot"),
        ];
        assert_eq!(hand_out(&job, &Procedures::built_in().unwrap()), Ok(()));
        for (given, code) in [
            (told("colour", "1", Unit::Ratio), "unknown_particular"),
            (told("limit_colour", "1", Unit::Ratio), "unknown_particular"),
            (told("size", "6", Unit::Inch), "named_twice"),
            (told("recovery", "0.85", Unit::Psi), "wrong_dimension"),
            (told("limit_velocity", "4", Unit::Psi), "wrong_dimension"),
            (told("recovery", "0,85", Unit::Ratio), "bad_figure"),
            (told("flow_peak", "-1", Unit::GallonPerMinute), "below_zero"),
            (told("test_side", "1", Unit::Ratio), "wrong_dimension"),
            (in_words("test_side", "sideways"), "unknown_word"),
            (in_words("plate", " "), "empty"),
        ] {
            assert_eq!(
                refused(|job| job.particulars.push(given.clone())),
                at(code, "particulars.0"),
                "{given:?}"
            );
        }
        assert_eq!(
            refused(|job| job.particulars = vec![told("min_flow", "5", Unit::LitrePerSecond); 2]),
            at("named_twice", "particulars.1")
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
        assert_eq!(hand_out(&job, &Procedures::built_in().unwrap()), Ok(()));
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
            refused(|job| job.procedure = "valve_float".to_owned()),
            at("unknown_procedure", "procedure")
        );
    }
}
