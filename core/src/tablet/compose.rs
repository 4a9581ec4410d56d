//! What a new job must have.

use super::{CommandError, NewJob};
use crate::procedure::Procedures;

/// Checks a job that is about to be opened.
pub fn check_new_job(new: &NewJob, procedures: &Procedures) -> Result<(), CommandError> {
    let refuse = |code: &str, message: &str| Err(CommandError::new(code, message));
    for (words, field) in [
        (&new.number, "number"),
        (&new.customer, "customer"),
        (&new.site, "site"),
        (&new.station.name, "station"),
    ] {
        if words.trim().is_empty() || words.chars().count() > 200 {
            return refuse("bad_field", &format!("{field}: 1 to 200 characters"));
        }
    }
    if new.valves.is_empty() || new.valves.len() > 50 {
        return refuse("bad_field", "valves: 1 to 50 of them");
    }
    for valve in &new.valves {
        if valve.name.trim().is_empty() {
            return refuse("bad_field", "valves: each has a name");
        }
        if procedures.get(&valve.procedure).is_none() {
            return refuse("unknown_procedure", "this tablet has no such procedure");
        }
    }
    Ok(())
}
