//! One item of the review as the screens show it.

use super::{Showing, may_settle, may_sign};
use crate::findings::gauges::{Basis, uncertainty_of};
use crate::journal::{Body, Folded, Resolution};
use crate::procedure::{Phase, Text};
use crate::quantity::Figure;
use crate::review::{Code, Item, Way};
use crate::tablet::view::{
    Missing, ReadOn, ReviewItem, ReviewPlace, ReviewSettled, ReviewSide, SettleBy, Subject,
};

/// The most sides of one item that are shown next to one another; the rest is counted.
const SIDES: usize = 6;

impl Showing<'_> {
    /// An item as the screens show it.
    pub(super) fn review_item(&self, item: &Item) -> ReviewItem {
        let sides: Vec<&Folded> = item
            .entries
            .iter()
            .filter_map(|&id| self.state.entry(id))
            .collect();
        ReviewItem {
            code: item.code.as_str().to_owned(),
            settles_as: item.key.clone(),
            valve: self.valve_name(item),
            subject: self.item_subject(item),
            details: details(item),
            register: item.register.clone(),
            sides: sides.iter().take(SIDES).map(|folded| self.side(folded)).collect(),
            more: u32::try_from(sides.len().saturating_sub(SIDES)).unwrap_or(u32::MAX),
            entries: item.entries.clone(),
            apart: item.apart.map(|apart| (apart.en.abs() * 100.0).round() / 100.0),
            ways: self.ways(item),
            place: place(item),
            can_settle: self.me.as_ref().is_some_and(|me| may_settle(self, me.id)),
            settled: item
                .settled_by
                .and_then(|id| self.state.entry(id))
                .map(|folded| self.settled(folded)),
        }
    }

    /// The valve's name, where the job has several.
    fn valve_name(&self, item: &Item) -> Option<String> {
        let valves = &self.state.opening()?.valves;
        let named = valves.iter().find(|valve| Some(valve.id) == item.valve)?;
        (valves.len() > 1).then(|| named.name.clone())
    }

    fn item_subject(&self, item: &Item) -> Subject {
        match item.code {
            Code::ReadingsDiffer | Code::ReadingsSeemToDiffer | Code::StillAsFlowing => {
                if let Some(point) = &item.about {
                    return Subject::Text(self.point_name(point));
                }
            }
            Code::TwoOnScrew => {
                if let Some(screw) = &item.about {
                    return Subject::Text(self.label(screw));
                }
            }
            _ => {}
        }
        if let Some(say) = &item.say {
            return Subject::Text(say.clone());
        }
        if let Some(register) = &item.register {
            return self.register_name(register);
        }
        match &item.about {
            Some(about) => Subject::Text(super::subject::same(about)),
            None => Subject::Code(item.code.as_str().to_owned()),
        }
    }

    fn ways(&self, item: &Item) -> Vec<SettleBy> {
        if item.settled_by.is_some() {
            return Vec::new();
        }
        let me = self.me.as_ref().map(|me| me.id);
        let settles = me.is_some_and(|me| may_settle(self, me));
        item.code
            .ways()
            .iter()
            .filter_map(|way| match way {
                Way::Register => settles.then_some(SettleBy::Register),
                Way::Words => settles.then_some(SettleBy::Words),
                Way::ReOpen => me
                    .is_some_and(|me| may_sign(self, me))
                    .then_some(SettleBy::ReOpen),
                Way::Again => Some(SettleBy::Again),
                Way::Update => Some(SettleBy::Update),
            })
            .collect()
    }

    pub(super) fn side(&self, folded: &Folded) -> ReviewSide {
        ReviewSide {
            said: self.said(folded),
            item: self.item(folded),
            read_on: self.read_on(folded),
            body: folded.entry.told.body.found().clone(),
        }
    }

    fn read_on(&self, folded: &Folded) -> Option<ReadOn> {
        let Body::Reading(reading) = &folded.entry.told.body else {
            return None;
        };
        let sure = uncertainty_of(self.state, reading, &folded.entry.told.at)?;
        let unit = reading.figure.unit;
        let give_take = sure.expanded().in_unit(unit).ok();
        Some(ReadOn {
            gauge: match &sure.basis {
                Basis::Gauge(serial) => Some(serial.clone()),
                Basis::Assumed => None,
            },
            give_take: give_take.and_then(|expanded| Figure::computed(expanded, unit).ok()),
            problems: sure
                .problems
                .iter()
                .map(|problem| problem.code().to_owned())
                .collect(),
        })
    }

    fn settled(&self, folded: &Folded) -> ReviewSettled {
        ReviewSettled {
            said: self.said(folded),
            item: self.item(folded),
            reason: match &folded.entry.told.body {
                Body::Resolution(Resolution { reason, .. }) => Some(reason.clone()),
                _ => None,
            },
        }
    }
}

fn place(item: &Item) -> ReviewPlace {
    ReviewPlace {
        screen: item.place.screen.map(str::to_owned),
        procedure: item.place.procedure.clone(),
        step: item.place.step.clone(),
        want: item.condition.clone().or_else(|| match item.code {
            Code::NotNormal => item.about.as_ref().map(|element| format!("position:{element}")),
            Code::ReadingsDiffer | Code::StillAsFlowing => {
                item.about.as_ref().map(|point| format!("reading:{point}"))
            }
            Code::GaugeOutOfCalibration => item.about.as_ref().map(|serial| format!("gauge_record:{serial}")),
            _ => None,
        }),
    }
}

/// An item that is work still to be done.
pub(super) fn missing_item(showing: &Showing<'_>, item: &Item) -> Missing {
    Missing {
        phase: phase(showing, item),
        code: item
            .condition
            .clone()
            .unwrap_or_else(|| item.code.as_str().to_owned()),
        say: item.say.clone().unwrap_or_default(),
        procedure: item.place.procedure.clone(),
        step: item.place.step.clone(),
        screen: item.place.screen.map(str::to_owned),
        details: item.details.clone(),
    }
}

/// The phase of the step that an item is about.
fn phase(showing: &Showing<'_>, item: &Item) -> Option<Text> {
    let procedure = showing.procedures.get(item.place.procedure.as_deref()?)?;
    let step = item.place.step.as_deref()?;
    let holds = |phase: &&Phase| phase.steps.iter().any(|one| one.id == step);
    Some(procedure.phases.iter().find(holds)?.title.clone())
}

fn details(item: &Item) -> Vec<Subject> {
    let mut details: Vec<Subject> = item.details.iter().cloned().map(Subject::Text).collect();
    if item.code == Code::WithoutEffect {
        details.extend(item.condition.clone().map(Subject::Code));
    }
    details
}
