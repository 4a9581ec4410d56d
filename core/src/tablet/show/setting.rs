//! The setting screen: where is it, where must it go, which way, how much, and what will that do?

use super::Showing;
use super::pre_job::history;
use super::put_back::{moves_of, turn};
use super::readings::{flow, points, standing_request, usual_unit};
use crate::journal::{Body, Folded, ParticularValue, Reading, Register, Stand, Water, particular};
use crate::quantity::{Figure, GaugePressure, PressureDifference, Rate, Turns, Unit};
use crate::setting::{
    ClockwiseEffect, LARGEST_MOVE_ISOLATED, Limits, MoveRequest, SpringRange, default_tolerance,
    expected_reading, largest_move_on_line, turn_plan,
};
use crate::tablet::view::{MoveView, Plan, PlotPoint, ScrewChoice, SettingView, Tolerance};

/// The fractions of a turn that are offered to tap.
const COMMON_TURNS: [&str; 6] = ["1/16", "1/8", "1/4", "1/2", "3/4", "1"];

/// The setting screen of the valve in hand. None where its procedure has no screw.
pub fn setting(showing: &Showing<'_>) -> Option<SettingView> {
    let screw = showing.screw()?;
    let asked = showing.state.request(showing.valve);
    let target = match &screw.target {
        Some(name) => showing.particular(showing.valve, name).cloned(),
        None => asked
            .agreed()
            .copied()
            .flatten()
            .map(|request| request.pressure.clone()),
    };
    let outlet = showing.newest(set_point(showing));
    let (plan, no_plan, mut warnings) = match plan(showing) {
        Ok((plan, warnings)) => (Some(plan), Vec::new(), warnings),
        Err(why) => (None, why, Vec::new()),
    };
    if flow(showing).is_none() {
        warnings.push("no_flow_evidence".to_owned());
    }
    let whole = moves_of(showing, &screw.id);
    let total = whole.iter().fold(Turns::ZERO, |sum, &next| sum + next);
    Some(SettingView {
        asset: showing.valve,
        screw: screw.id.clone(),
        screw_name: screw.label.clone(),
        tolerance: tolerance(showing),
        target,
        request: standing_request(showing),
        outlet: outlet.map(|(folded, reading)| showing.reading(folded, reading)),
        inlet: showing
            .newest("inlet")
            .map(|(folded, reading)| showing.reading(folded, reading)),
        flow: flow(showing),
        plan,
        no_plan: no_plan.into_iter().map(str::to_owned).collect(),
        warnings,
        moves: moves(showing, &screw.id),
        total: (!whole.is_empty()).then(|| turn(total)).flatten(),
        plot: plot(showing, &screw.id),
        points: points(showing),
        unit: usual_unit(showing),
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

/// A particular of the spring behind the screw in hand.
fn spring<'a>(showing: &Showing<'a>, name: &str) -> Option<&'a Figure> {
    let name = showing.screw()?.spring_particular(name);
    showing.particular(showing.valve, &name)
}

/// The tolerance that counts: the request's, or the default rule.
fn tolerance(showing: &Showing<'_>) -> Option<Tolerance> {
    let request = showing.state.request(showing.valve).agreed().copied().flatten()?;
    if let Some(figure) = &request.tolerance {
        return Some(Tolerance {
            figure: figure.clone(),
            from_request: true,
        });
    }
    let unit = request.pressure.unit;
    let by_rule = default_tolerance(GaugePressure::try_from(&request.pressure).ok()?);
    Some(Tolerance {
        figure: Figure::computed(by_rule.in_unit(unit).ok()?, unit).ok()?,
        from_request: false,
    })
}

/// The next move, or the codes of why there is none. A reading older than the last turn never drives one.
fn plan(showing: &Showing<'_>) -> Result<(Plan, Vec<String>), Vec<&'static str>> {
    let mut why = Vec::new();
    let asked = match showing.state.request(showing.valve) {
        Stand::Agreed(Some(request), _) => GaugePressure::try_from(&request.pressure).ok(),
        Stand::Disagreed(_) => {
            why.push("request_disagreed");
            None
        }
        _ => None,
    };
    if asked.is_none() && why.is_empty() {
        why.push("no_request");
    }
    let asked = match showing.screw().and_then(|screw| screw.target.as_ref()) {
        Some(name) => {
            why.clear();
            let told = showing.particular(showing.valve, name);
            let told = told.and_then(|figure| GaugePressure::try_from(figure).ok());
            if told.is_none() {
                why.push("no_request");
            }
            told
        }
        None => asked,
    };
    let rate_figure = spring(showing, particular::SPRING_RATE);
    let rate = rate_figure.and_then(|figure| Rate::try_from(figure).ok());
    if rate.is_none() {
        why.push("no_rate");
    }
    let newest = showing.newest(set_point(showing));
    match newest {
        None => why.push("no_reading"),
        Some((folded, _)) if showing.older_than_turn(folded) => why.push("reading_older_than_turn"),
        Some((_, reading)) if reading.water == Water::Still => why.push("reading_without_flow"),
        Some(_) => {}
    }
    let (true, Some(to), Some(rate), Some(rate_figure), Some((folded, reading))) =
        (why.is_empty(), asked, rate, rate_figure, newest)
    else {
        return Err(why);
    };
    make_plan(showing, to, rate, rate_figure, folded, reading)
}

fn make_plan(
    showing: &Showing<'_>,
    to: GaugePressure,
    rate: Rate,
    rate_figure: &Figure,
    folded: &Folded,
    reading: &Reading,
) -> Result<(Plan, Vec<String>), Vec<&'static str>> {
    let from = GaugePressure::try_from(&reading.figure).map_err(|_| vec!["no_reading"])?;
    let clockwise = clockwise(showing);
    let pressure = |name| GaugePressure::try_from(spring(showing, name)?).ok();
    let range = pressure(particular::SPRING_LOW)
        .zip(pressure(particular::SPRING_HIGH))
        .and_then(|(low, high)| SpringRange::new(low, high).ok());
    let inlet = showing
        .newest("inlet")
        .and_then(|(_, reading)| GaugePressure::try_from(&reading.figure).ok());
    let min_differential = showing
        .particular(showing.valve, particular::MIN_DIFFERENTIAL)
        .and_then(|figure| PressureDifference::try_from(figure).ok());
    let planned = turn_plan(&MoveRequest {
        from,
        to,
        rate,
        clockwise,
        range,
        inlet,
        min_differential,
        limits: limits(showing),
    })
    .map_err(|error| vec![error.code()])?;
    let within = tolerance(showing)
        .and_then(|tolerance| PressureDifference::try_from(&tolerance.figure).ok())
        .is_some_and(|tolerance| (from - to).abs() <= tolerance);
    let next = planned.moves.first().copied().unwrap_or(Turns::ZERO);
    let unit = reading.figure.unit;
    let expected = expected_reading(from, next, rate, clockwise);
    let shown = || {
        Some(Plan {
            turn: turn(next)?,
            whole: turn(planned.turns)?,
            moves: u32::try_from(planned.moves.len()).ok()?,
            expected: Figure::computed(expected.in_unit(unit).ok()?, unit).ok()?,
            from: folded.entry.id,
            rate: rate_figure.clone(),
            rate_from: "printed".to_owned(),
            leave_it: within,
        })
    };
    let plan = shown().ok_or_else(|| vec!["not_finite"])?;
    Ok((
        plan,
        planned
            .warnings
            .iter()
            .map(|warning| warning.code().to_owned())
            .collect(),
    ))
}

/// How far one move may go: by pressure once the zone is on line, by turns while the station is isolated. The
/// zone counts as on line unless the downstream block valve is agreed to be shut.
fn limits(showing: &Showing<'_>) -> Limits {
    let isolated = showing
        .procedure
        .element("downstream_block")
        .map(|element| element.of.asset(showing.state, showing.valve))
        .and_then(|asset| {
            showing
                .state
                .position(asset, "downstream_block")
                .agreed()
                .copied()
                .flatten()
        })
        == Some(crate::journal::Position::Shut);
    if isolated {
        Limits {
            turns: Some(LARGEST_MOVE_ISOLATED),
            change: None,
        }
    } else {
        Limits {
            turns: None,
            change: Some(largest_move_on_line()),
        }
    }
}

/// What a turn clockwise was seen to do on this valve, or what it nearly always does.
fn clockwise(showing: &Showing<'_>) -> ClockwiseEffect {
    let register = Register::Particular {
        asset: showing.valve,
        name: particular::CLOCKWISE.to_owned(),
    };
    match showing.state.standing(&register) {
        Stand::Agreed(Body::Particulars(told), _)
            if told.value == ParticularValue::Text("lowers".to_owned()) =>
        {
            ClockwiseEffect::Lowers
        }
        _ => ClockwiseEffect::Raises,
    }
}

/// Every move, oldest first, with the first outlet reading made in knowledge of it and before any later move.
fn moves(showing: &Showing<'_>, screw: &str) -> Vec<MoveView> {
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
            Some(MoveView {
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
