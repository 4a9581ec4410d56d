//! The hydrant flow test.

use super::*;
use crate::findings::pre_job::Citation;

/// 1061 gpm drew the mains from 80 to 60 psi; 45 psi asked, 10 psi for the valve.
fn tested(side: Option<&str>, peak: &str) -> Job {
    let job = Job::new()
        .asked("45")
        .told("min_differential", "10", Unit::Psi)
        .told("flow_peak", peak, Unit::GallonPerMinute)
        .of_station("test_flow", "1061", Unit::GallonPerMinute)
        .of_station("test_static", "80", Unit::Psi)
        .of_station("test_residual", "60", Unit::Psi);
    match side {
        None => job,
        Some(side) => job.says(
            Scene::STATION,
            "test_side",
            ParticularValue::Text(side.to_owned()),
        ),
    }
}

/// Source: NFPA 291, plain arithmetic: 1061 x (25/20)^0.54 is 1196.9 gpm.
#[test]
fn a_test_upstream_says_what_the_mains_can_give() {
    for (peak, verdict) in [("1100", Verdict::Good), ("1300", Verdict::Look)] {
        let check = tested(Some("upstream"), peak).check(CheckCode::FlowTest);
        assert_eq!(
            (check.verdict, check.digits(FigureName::Available)),
            (verdict, "1197")
        );
        assert_eq!(check.rule.cites, Some(Citation::Nfpa291));
        assert!(check.has(CheckNote::NotBehindRegulatingValve));
        assert!(!check.has(CheckNote::SmallDrop));
    }
}

/// Common practice, no source.
#[test]
fn a_test_behind_the_regulating_valve_proves_nothing() {
    let check = tested(Some("downstream"), "1100").check(CheckCode::FlowTest);
    assert_eq!(check.verdict, Verdict::Outside);
    assert!(check.has(CheckNote::NotBehindRegulatingValve));
}

#[test]
fn a_test_of_which_nobody_knows_the_side_says_nothing() {
    for side in [None, Some("over there")] {
        let check = tested(side, "1100").check(CheckCode::FlowTest);
        assert_eq!(check.verdict, Verdict::NotKnown);
        assert_eq!(check.missing(), ["test_side"]);
    }
}
