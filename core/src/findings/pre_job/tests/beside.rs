//! What stands beside the valve.

use super::*;

#[test]
fn the_target_lies_below_the_zones_limit() {
    for (asked, verdict) in [("89", Verdict::Good), ("90", Verdict::Outside)] {
        assert_eq!(
            Job::new().asked(asked).check(CheckCode::ZoneLimit).verdict,
            verdict
        );
    }
}

/// Common practice, no source: 15 psi.
#[test]
fn a_relief_valve_opens_far_enough_above_the_valve_under_it() {
    for (opens, verdict, apart) in [("74", Verdict::Outside, "14.0"), ("75", Verdict::Good, "15.0")] {
        let mut job =
            Job::of("large_with_relief", None)
                .asked("60")
                .told("relief_opens_at", opens, Unit::Psi);
        let check = job.check(CheckCode::ReliefMargin);
        assert_eq!((check.verdict, check.digits(FigureName::Apart)), (verdict, apart));
    }
}

#[test]
fn a_relief_valve_on_the_same_job_is_looked_up_instead_of_told() {
    let mut job = Job::of("large_with_relief", Some("relief")).asked("60");
    assert_eq!(job.check(CheckCode::ReliefMargin).missing(), ["request_beside"]);
    let mut asked = job.asked_of(Scene::BESIDE, "80", None);
    assert_eq!(asked.check(CheckCode::ReliefMargin).verdict, Verdict::Good);
}

#[test]
fn a_relief_valve_in_hand_stands_over_the_highest_of_those_under_it() {
    let job = || {
        Job::of("relief", Some("reducing"))
            .asked("80")
            .asked_of(Scene::BESIDE, "60", None)
    };
    assert_eq!(job().check(CheckCode::ReliefMargin).verdict, Verdict::Good);
    let mut higher = job().told("highest_reducing", "70", Unit::Psi);
    let check = higher.check(CheckCode::ReliefMargin);
    assert_eq!(
        (check.verdict, check.digits(FigureName::Apart)),
        (Verdict::Outside, "10.0")
    );
}

/// Common practice, no source: 5 to 10 psi.
#[test]
fn the_low_flow_valve_stands_a_little_above_the_large_one() {
    for (low_flow, verdict) in [
        ("64", Verdict::Outside),
        ("65", Verdict::Good),
        ("70", Verdict::Good),
        ("71", Verdict::Look),
    ] {
        let mut small =
            Job::of("parallel_low_flow", None)
                .asked(low_flow)
                .told("other_set_point", "60", Unit::Psi);
        assert_eq!(small.check(CheckCode::Stagger).verdict, verdict, "{low_flow}");
        let mut large = Job::of("parallel_large", Some("parallel_low_flow"))
            .asked("60")
            .asked_of(Scene::BESIDE, low_flow, None);
        assert_eq!(large.check(CheckCode::Stagger).verdict, verdict, "{low_flow}");
    }
}

/// Common practice, no source: 2 psi.
#[test]
fn a_wide_tolerance_is_looked_at_where_two_valves_are_staggered() {
    let with = |tolerance| {
        let mut job = Job::of("parallel_large", None).asked_of(Scene::VALVE, "60", tolerance);
        job.check(CheckCode::StaggerTolerance)
    };
    assert_eq!(with(Some("2")).verdict, Verdict::Good);
    assert_eq!(with(Some("3")).verdict, Verdict::Look);
    assert_eq!(with(None).missing(), ["tolerance"]);
}
