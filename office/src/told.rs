//! What the office writes into a journal.

use crate::api::{Asked, HandOut};
use turnwise_core::findings::pre_job::LimitName;
use turnwise_core::journal::{
    Asset, AssetId, Body, EntryId, Grant, JobOpened, ParticularValue, Particulars, PersonId, Request, Role,
    ValveOnJob, particular,
};
use turnwise_core::procedure::{Owner, Procedures};
use turnwise_core::quantity::Figure;

/// The entries of a job that is handed out, in their order. `beside`: the ids of the further valves; `carried`: procedure
/// files and earlier visits. The first is the opening; the last names a lead
/// tech.
pub fn handed_out(
    job: &HandOut,
    station: AssetId,
    valve: AssetId,
    beside: &[AssetId],
    carried: Vec<Body>,
    procedures: &Procedures,
) -> Vec<Body> {
    let mut bodies = vec![Body::JobOpened(JobOpened {
        number: trimmed(&job.number),
        customer: trimmed(&job.customer),
        site: trimmed(&job.site),
        station: Asset {
            id: station,
            name: trimmed(&job.station),
        },
        valves: std::iter::once(ValveOnJob {
            id: valve,
            name: trimmed(&job.valve),
            procedure: job.procedure.clone(),
            size: job.size.clone(),
        })
        .chain(job.beside.iter().zip(beside).map(|(other, &id)| ValveOnJob {
            id,
            name: trimmed(&other.valve),
            procedure: other.procedure.clone(),
            size: None,
        }))
        .collect(),
    })];
    // What the job is worked by and what is known of its valves go before whatever is asked.
    bodies.extend(carried);
    bodies.push(request(valve, &job.request, Vec::new()));
    for (other, &id) in job.beside.iter().zip(beside) {
        bodies.push(request(id, &other.request, Vec::new()));
    }
    let known: [(&str, &Option<Figure>); 4] = [
        (particular::SPRING_LOW, &job.spring_low),
        (particular::SPRING_HIGH, &job.spring_high),
        (particular::SPRING_RATE, &job.spring_rate),
        (particular::SIZE, &job.size),
    ];
    for (name, figure) in known {
        if let Some(figure) = figure {
            bodies.push(Body::Particulars(Particulars {
                asset: valve,
                name: name.to_owned(),
                value: ParticularValue::Figure(figure.clone()),
                replaces: Vec::new(),
            }));
        }
    }
    for told in &job.particulars {
        let asset = match owner(&told.name, procedures) {
            Owner::Valve => valve,
            Owner::Station => station,
        };
        bodies.push(Body::Particulars(Particulars {
            asset,
            name: told.name.clone(),
            value: told.value.clone(),
            replaces: Vec::new(),
        }));
    }
    let (lead, others): (Vec<_>, Vec<_>) = job.crew.iter().partition(|line| line.role == Role::LeadTech);
    for line in others.into_iter().chain(lead) {
        bodies.push(Body::Grant(Grant {
            person: PersonId::of_name(&line.name),
            name: trimmed(&line.name),
            role: line.role,
            replaces: Vec::new(),
        }));
    }
    bodies
}

/// Whose a particular is. Limits of the checks are the chamber's.
fn owner(name: &str, procedures: &Procedures) -> Owner {
    if LimitName::of_particular(name).is_some() {
        return Owner::Station;
    }
    let asked = procedures.iter().find_map(|procedure| procedure.particular(name));
    asked.map(|asked| asked.of).unwrap_or_default()
}

/// What a customer asks, in the place of what stood on the page.
pub fn request(valve: AssetId, asked: &Asked, replaces: Vec<EntryId>) -> Body {
    Body::Request(Request {
        valve,
        pressure: asked.pressure.clone(),
        tolerance: asked.tolerance.clone(),
        datum: trimmed(&asked.datum),
        asked_by: trimmed(&asked.asked_by),
        zone_limit: asked.zone_limit.clone(),
        replaces,
    })
}

fn trimmed(words: &str) -> String {
    words.trim().to_owned()
}
