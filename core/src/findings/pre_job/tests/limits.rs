//! The limits and their owners.

use super::*;
use crate::findings::pre_job::{LimitName, limits};
use crate::quantity::{Flow, GaugePressure, PressureDifference, Speed};

fn velocity(job: Job) -> Check {
    job.told("flow_peak", "1200", Unit::GallonPerMinute)
        .told("size", "6", Unit::Inch)
        .check(CheckCode::Velocity)
}

#[test]
fn an_owners_limit_decides_and_the_default_shows_beside_it() {
    let changed = velocity(Job::new().of_station("limit_velocity", "3.5", Unit::MetrePerSecond));
    assert_eq!(changed.verdict, Verdict::Outside);
    let limit = &changed.limits[0];
    assert_eq!(limit.figure, Figure::new("3.5", Unit::MetrePerSecond).unwrap());
    assert_eq!(
        limit.instead_of,
        Some(Figure::new("20", Unit::FootPerSecond).unwrap())
    );
    // What is reckoned is shown in the unit of the limit it is held against: 13.6 ft/s.
    assert_eq!(changed.digits(FigureName::Velocity), "4.15");
    let plain = velocity(Job::new());
    assert_eq!(
        (plain.verdict, plain.limits[0].instead_of.clone()),
        (Verdict::Good, None)
    );
}

#[test]
fn what_is_no_limit_changes_nothing() {
    for job in [
        Job::new().of_station("limit_velocity", "-1", Unit::FootPerSecond),
        Job::new().of_station("limit_velocity", "0", Unit::FootPerSecond),
        Job::new().of_station("limit_velocity", "5", Unit::Psi),
        Job::new().told("limit_velocity", "5", Unit::FootPerSecond),
        Job::new().says(
            Scene::STATION,
            "limit_velocity",
            ParticularValue::Text("slow".to_owned()),
        ),
    ] {
        let check = velocity(job);
        assert_eq!(check.verdict, Verdict::Good);
        assert_eq!(check.limits[0].instead_of, None);
    }
}

#[test]
fn where_two_limits_stand_the_default_is_in_force_and_it_is_said() {
    let check = velocity(
        Job::new()
            .of_station("limit_velocity", "5", Unit::FootPerSecond)
            .of_station("limit_velocity", "6", Unit::FootPerSecond),
    );
    assert_eq!(check.verdict, Verdict::Good);
    assert!(check.limits[0].disagreed);
}

#[test]
fn every_default_is_a_quantity_of_its_kind_and_every_limit_has_a_particular_of_its_own() {
    let mut names: Vec<_> = LimitName::ALL.iter().map(|name| name.particular()).collect();
    for &name in LimitName::ALL {
        let figure = name.default_figure();
        let kind = figure.unit.dimension();
        let known = GaugePressure::try_from(&figure).is_ok()
            || PressureDifference::try_from(&figure).is_ok()
            || Speed::try_from(&figure).is_ok()
            || Flow::try_from(&figure).is_ok()
            || super::super::facts::Plain::try_from(&figure).is_ok();
        assert!(known, "{name:?}: {kind}");
        assert_eq!(LimitName::of_particular(name.particular()), Some(name));
        assert_eq!(serde_json::to_value(name).unwrap(), name.particular());
    }
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), LimitName::ALL.len());
    assert_eq!(LimitName::of_particular("spring_low"), None);
}

#[test]
fn every_limit_is_listed_for_the_screen() {
    let mut job = Job::new().of_station("limit_stagger", "7", Unit::Psi);
    let listed = limits(&job.scene.state());
    assert_eq!(listed.len(), LimitName::ALL.len());
    let changed: Vec<_> = listed
        .iter()
        .filter(|limit| limit.instead_of.is_some())
        .map(|limit| limit.name)
        .collect();
    assert_eq!(changed, [LimitName::Stagger]);
}
