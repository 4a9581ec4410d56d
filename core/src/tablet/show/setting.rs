//! The setting screen: where is it, where must it go, which way, how much, and what will that do?

use super::Showing;
use super::pre_job::history;
use super::put_back::{moves_of, turn};
use super::readings::{flow, points, standing_request, usual_unit};
use crate::findings::rate::{Evidence, Learned, LinePoint, Planned, plan, target, tolerance};
use crate::findings::verdict::settled;
use crate::journal::{Body, Water};
use crate::quantity::{Figure, GaugePressure, Turns, Unit};
use crate::setting::learn::{Answered, Estimate, LearnWarning};
use crate::setting::way_back;
use crate::tablet::view::{MoveView, Plan, PlotLine, PlotPoint, ScrewChoice, SettingView, Tolerance};

/// The fractions of a turn that are offered to tap.
const COMMON_TURNS: [&str; 6] = ["1/16", "1/8", "1/4", "1/2", "3/4", "1"];

/// The setting screen of the valve in hand. None where its procedure has no screw.
pub fn setting(showing: &Showing<'_>) -> Option<SettingView> {
    let (state, valve, screw) = (showing.state, showing.valve, showing.screw()?);
    let evidence = Evidence::of(state, showing.procedure, valve, screw);
    let estimate = evidence.estimate().and_then(Result::ok);
    let known = estimate.as_ref();
    let learned = Learned::of(state, valve, screw, &evidence, known, None);
    let (plan, no_plan, mut warnings) = match plan(state, showing.procedure, valve, screw, &evidence, known) {
        Ok(planned) => {
            let warnings = planned.warnings.iter().map(|warning| warning.code());
            match shown(&planned, &evidence, &learned, known) {
                Some(plan) => (Some(plan), Vec::new(), warnings.collect()),
                None => (None, vec!["not_finite"], warnings.collect()),
            }
        }
        Err(why) => (None, why, Vec::new()),
    };
    if flow(showing).is_none() {
        warnings.push("no_flow_evidence");
    }
    // What keeps the plan back already is not said twice.
    let said = |warning: &LearnWarning| match warning {
        LearnWarning::NoAnswer => no_plan.contains(&"prove_flow_again"),
        LearnWarning::WrongWay => no_plan.contains(&"went_wrong_way"),
        _ => false,
    };
    let learned_of = learned.warnings.iter().filter(|warning| !said(warning));
    warnings.extend(learned_of.map(|warning| warning.code()));
    let whole = moves_of(showing, &screw.id);
    let total = whole.iter().fold(Turns::ZERO, |sum, &next| sum + next);
    let back = way_back(whole.iter().copied());
    let of = |point: &str| {
        showing
            .newest(point)
            .map(|(read, told)| showing.reading(read, told))
    };
    let unit = usual_unit(showing);
    Some(SettingView {
        asset: valve,
        screw: screw.id.clone(),
        screw_name: screw.label.clone(),
        tolerance: tolerance(state, valve).map(|tolerated| Tolerance {
            figure: tolerated.figure,
            from_request: tolerated.from_request,
        }),
        target: target(state, valve, screw).ok().cloned(),
        request: standing_request(showing),
        outlet: of(&screw.sets),
        inlet: of("inlet"),
        flow: flow(showing),
        settled: settled(state, valve, &screw.sets),
        plan,
        no_plan: no_plan.into_iter().map(str::to_owned).collect(),
        warnings: warnings.into_iter().map(str::to_owned).collect(),
        moves: moves(showing, &screw.id, &learned),
        total: (!whole.is_empty()).then(|| turn(total)).flatten(),
        back: (back != Turns::ZERO).then(|| turn(back)).flatten(),
        plot: plot(showing, &screw.id),
        line: learned
            .line
            .iter()
            .filter_map(|point| plotted(point, unit))
            .collect(),
        rate: learned.rate,
        taught: learned.taught,
        dead_band: learned.dead_band,
        points: points(showing),
        unit,
        common_turns: COMMON_TURNS.map(str::to_owned).to_vec(),
        screws: screws(showing),
        history: history(showing),
    })
}

/// The screws to choose from: none where there is nothing to choose.
fn screws(showing: &Showing<'_>) -> Vec<ScrewChoice> {
    let all = &showing.procedure.screws;
    if all.len() < 2 {
        return Vec::new();
    }
    all.iter()
        .map(|screw| ScrewChoice {
            screw: screw.id.clone(),
            name: screw.label.clone(),
            sets: showing.point_name(&screw.sets),
        })
        .collect()
}

/// The point whose pressure the screw in hand sets.
fn set_point<'a>(showing: &Showing<'a>) -> &'a str {
    showing.set_point()
}

/// A plan for the eye, in the unit of the reading that it starts from.
fn shown(
    planned: &Planned,
    evidence: &Evidence<'_>,
    learned: &Learned,
    estimate: Option<&Estimate>,
) -> Option<Plan> {
    let unit = evidence.now()?.reading.figure.unit;
    let pressure = |at: GaugePressure| Figure::computed(at.in_unit(unit).ok()?, unit).ok();
    let next = &planned.next;
    let answered = estimate.is_some_and(|known| known.answered().contains(&Answered::Plausibly));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of one hundred"
    )]
    let chance = (next.chance.clamp(0.0, 1.0) * 100.0).round() as u32;
    Some(Plan {
        turn: turn(next.turns)?,
        whole: turn(next.whole)?,
        moves: planned.moves,
        expected: pressure(next.expected.reading)?,
        expected_low: pressure(next.expected.low)?,
        expected_high: pressure(next.expected.high)?,
        chance,
        short: next.short,
        from: planned.from,
        rate: learned.rate.as_ref()?.mean.clone(),
        rate_from: if answered { "learned" } else { "printed" }.to_owned(),
        leave_it: next.leave.is_some(),
        leave: next.leave,
    })
}

/// A point of the learned line in the plot's unit.
fn plotted(point: &LinePoint, unit: Unit) -> Option<PlotLine> {
    let pressure = |figure| GaugePressure::try_from(figure).ok()?.in_unit(unit).ok();
    Some(PlotLine {
        turns: Turns::try_from(&point.turns).ok()?.in_turns(),
        pressure: pressure(&point.pressure)?,
        low: pressure(&point.low)?,
        high: pressure(&point.high)?,
    })
}

/// Every move, oldest first, with the first outlet reading made in knowledge of it and before any later move.
fn moves(showing: &Showing<'_>, screw: &str, learned: &Learned) -> Vec<MoveView> {
    let turned: Vec<_> = showing
        .state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::ScrewMove(body) if body.asset == showing.valve && body.screw == screw => {
                Some((folded, body))
            }
            _ => None,
        })
        .collect();
    let outlet: Vec<_> = showing
        .readings()
        .filter(|(_, reading)| reading.point == set_point(showing))
        .collect();
    turned
        .iter()
        .enumerate()
        .filter_map(|(at, (folded, body))| {
            let later = &turned[at + 1..];
            let after = outlet
                .iter()
                .find(|(read, _)| read.saw(folded) && !later.iter().any(|(next, _)| read.saw(next)))
                .map(|(read, reading)| showing.reading(read, reading));
            let found = learned
                .moves
                .get(at)
                .filter(|found| found.entry == folded.entry.id);
            Some(MoveView {
                answered: found.map_or(Answered::Unseen, |found| found.answered),
                unseen: found.and_then(|found| found.unseen),
                said: showing.said(folded),
                body: (*body).clone(),
                turn: turn(Turns::try_from(&body.turn).ok()?)?,
                after,
            })
        })
        .collect()
}

/// Outlet against turns since as found: each outlet reading at the sum of the moves that its writer had seen.
fn plot(showing: &Showing<'_>, screw: &str) -> Vec<PlotPoint> {
    let turned: Vec<_> = showing
        .state
        .live()
        .filter_map(|folded| match &folded.entry.told.body {
            Body::ScrewMove(body) if body.asset == showing.valve && body.screw == screw => {
                Some((folded, Turns::try_from(&body.turn).ok()?))
            }
            _ => None,
        })
        .collect();
    let unit: Unit = usual_unit(showing);
    showing
        .readings()
        .filter(|(_, reading)| reading.point == set_point(showing))
        .filter_map(|(folded, reading)| {
            let turns = turned
                .iter()
                .filter(|(moved, _)| folded.saw(moved))
                .fold(Turns::ZERO, |sum, &(_, turns)| sum + turns);
            Some(PlotPoint {
                turns: turns.in_turns(),
                pressure: GaugePressure::try_from(&reading.figure)
                    .ok()?
                    .in_unit(unit)
                    .ok()?,
                flowing: reading.water == Water::Flowing,
            })
        })
        .collect()
}
