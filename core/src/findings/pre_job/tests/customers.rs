//! What the customers see.

use super::*;
use crate::findings::pre_job::Citation;

/// 60 psi asked at 100 ft, and a customer at this elevation.
fn seen(code: CheckCode, particular: &str, feet: &str) -> Check {
    let mut job = Job::new()
        .asked("60")
        .of_station("datum_elevation", "100", Unit::Foot)
        .of_station(particular, feet, Unit::Foot);
    job.check(code)
}

/// Source of the arithmetic: 2.306659 ft of water are 1 psi (NIST SP 811), so 50 ft up are 21.68 psi less.
/// Source of the limits: Ten States Standards 8.2.1 (section from memory): 20 psi at ground level, 35 normal.
#[test]
fn the_highest_customer_keeps_twenty_psi_and_better_thirty_five() {
    let high = |feet| seen(CheckCode::HighestCustomer, "highest_customer", feet);
    for (feet, verdict, shown) in [
        ("150", Verdict::Good, "38.3"),
        ("165", Verdict::Look, "31.8"),
        ("200", Verdict::Outside, "16.6"),
    ] {
        let check = high(feet);
        assert_eq!(
            (check.verdict, check.digits(FigureName::CustomerPressure)),
            (verdict, shown)
        );
        assert_eq!(check.rule.kind, RuleKind::Standard);
        assert_eq!(check.rule.cites, Some(Citation::TenStates));
        assert!(check.has(CheckNote::StillWater));
    }
}

/// Source of the limits: Ten States Standards 8.2.1 and the plumbing codes (numbers from memory): 80 psi either way.
/// 46.13 ft down are 20 psi more.
#[test]
fn the_lowest_customer_stays_under_eighty_psi_by_the_standard_and_by_the_code() {
    for (feet, by_standard, by_code) in [
        ("54", Verdict::Good, Verdict::Good),
        ("53", Verdict::Look, Verdict::Outside),
    ] {
        let standard = seen(CheckCode::LowestCustomer, "lowest_customer", feet);
        let code = seen(CheckCode::BuildingStatic, "lowest_customer", feet);
        assert_eq!((standard.verdict, code.verdict), (by_standard, by_code), "{feet}");
        assert_eq!(code.rule.kind, RuleKind::Code);
        assert_eq!(code.rule.cites, Some(Citation::PlumbingCodes));
    }
}

#[test]
fn without_the_elevation_of_the_request_nothing_is_said_of_a_customer() {
    let mut job = Job::new()
        .asked("60")
        .of_station("lowest_customer", "50", Unit::Foot);
    assert_eq!(
        job.check(CheckCode::LowestCustomer).missing(),
        ["datum_elevation"]
    );
}
