//! What stands on every screen of a job, and the job's line in the list.

use super::{Showing, put_back::put_back};
use crate::journal::{Asset, Body, Register};
use crate::procedure::Text;
use crate::review::{Code, newest_sign_off, open_items, re_opened, request_changed};
use crate::tablet::view::{JobCard, JobHead, JobStatus, ReadingView, RequestChanged, RunawayLine, ZoneAlarm};

/// The job's line in the list.
pub fn card(showing: &Showing<'_>) -> JobCard {
    let opening = showing.state.opening();
    let text = |view: fn(&crate::journal::JobOpened) -> String| opening.map(view).unwrap_or_default();
    JobCard {
        job: showing.state.job,
        number: text(|opening| opening.number.clone()),
        customer: text(|opening| opening.customer.clone()),
        site: text(|opening| opening.site.clone()),
        station: text(|opening| opening.station.name.clone()),
        valves: opening
            .map(|opening| opening.valves.iter().map(|valve| valve.name.clone()).collect())
            .unwrap_or_default(),
        status: status(showing),
        custody: showing.custody(),
        open_items: open_count(showing),
    }
}

/// What stands on every screen of the job. None until the opening has come.
pub fn head(showing: &Showing<'_>) -> Option<JobHead> {
    let opening = showing.state.opening()?;
    let valve = opening.valves.iter().find(|valve| valve.id == showing.valve)?;
    Some(JobHead {
        job: showing.state.job,
        number: opening.number.clone(),
        customer: opening.customer.clone(),
        site: opening.site.clone(),
        station: opening.station.clone(),
        valves: opening
            .valves
            .iter()
            .map(|valve| Asset {
                id: valve.id,
                name: valve.name.clone(),
            })
            .collect(),
        valve: Asset {
            id: valve.id,
            name: valve.name.clone(),
        },
        procedure: valve.procedure.clone(),
        procedure_owner: showing.procedure.owner.clone(),
        procedure_missing: showing.procedure_missing,
        status: status(showing),
        me: showing.me.clone(),
        crew: showing.people(),
        request: showing.standing(&Register::Request { valve: valve.id }, |body| match body {
            Body::Request(request) => Some(request.clone()),
            _ => None,
        }),
        request_changed: changed(showing),
        custody: showing.custody(),
        links: showing.links.clone(),
        alarm: alarm(showing),
        open_items: open_count(showing),
        limits: limits(showing),
        mate_reading: mate_reading(showing),
        runaway: showing
            .procedure
            .runaway()
            .iter()
            .map(|line| RunawayLine {
                say: line.say.clone(),
                element: line.element.clone(),
            })
            .collect(),
        put_back: put_back(showing),
    })
}

/// How far the job is.
pub(in crate::tablet) fn status(showing: &Showing<'_>) -> JobStatus {
    let state = showing.state;
    let Some(opening) = state.entry(crate::journal::EntryId(state.job.0)) else {
        return JobStatus::Waiting;
    };
    if let Some(signed) = newest_sign_off(state) {
        return if re_opened(state, signed).is_some() {
            JobStatus::ReOpened
        } else {
            JobStatus::Signed
        };
    }
    let from = opening.entry.told.device;
    if state.live().any(|folded| folded.entry.told.device != from)
        || from == showing.device && worked(showing)
    {
        JobStatus::InWork
    } else {
        JobStatus::New
    }
}

/// Whether anything of the work itself is on record.
fn worked(showing: &Showing<'_>) -> bool {
    showing.state.live().any(|folded| {
        matches!(
            folded.entry.told.body,
            Body::Reading(_) | Body::ScrewMove(_) | Body::StepMark(_) | Body::LineUp(_)
        )
    })
}

fn open_count(showing: &Showing<'_>) -> u32 {
    u32::try_from(open_items(showing.review).count()).unwrap_or(u32::MAX)
}

/// What the setting of the valve in hand is not worth.
fn limits(showing: &Showing<'_>) -> Vec<Text> {
    showing
        .review
        .iter()
        .filter(|item| item.code == Code::LimitOnSetting && item.valve == Some(showing.valve))
        .filter_map(|item| item.say.clone())
        .collect()
}

fn changed(showing: &Showing<'_>) -> Option<RequestChanged> {
    let state = showing.state;
    let changed = request_changed(state, showing.valve)?;
    let pressure = |id| match state.entry(id)?.entry.told.body.found() {
        Body::Request(request) => Some(request.pressure.clone()),
        _ => None,
    };
    Some(RequestChanged {
        worked_to: pressure(changed.worked_to)?,
        asked: pressure(changed.request)?,
        said: showing.said(state.entry(changed.request)?),
        entries: changed.entries,
    })
}

/// The newest reading of the zone that is over the limit, whichever tablet made it.
fn alarm(showing: &Showing<'_>) -> Option<ZoneAlarm> {
    let alarm = crate::procedure::zone_alarm(showing.procedure, showing.state, showing.valve)?;
    let folded = showing.state.entry(alarm.reading)?;
    let Body::Reading(reading) = &folded.entry.told.body else {
        return None;
    };
    Some(ZoneAlarm {
        reading: showing.reading(folded, reading),
        limit: alarm.limit.clone(),
    })
}

/// The newest reading that came from another tablet.
fn mate_reading(showing: &Showing<'_>) -> Option<ReadingView> {
    showing
        .readings()
        .rev()
        .find(|(folded, _)| folded.entry.told.device != showing.device)
        .map(|(folded, reading)| showing.reading(folded, reading))
}
