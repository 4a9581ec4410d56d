//! What passes the valve.

use super::*;
use crate::findings::pre_job::Citation;

/// Source: IEC 60534-2-1, recomputed with fluids 1.3.1: 150 to 20 psi gauge, FL 0.85, water at 15 degC chokes at
/// 118.82 psi; 100 to 50 psi, FL 0.90, at 92.71 psi.
#[test]
fn flow_chokes_at_the_drop_that_the_standard_gives() {
    let of = |asked, inlet, recovery| {
        let mut job = Job::new().asked(asked).told("inlet_high", inlet, Unit::Psi).told(
            "recovery",
            recovery,
            Unit::Ratio,
        );
        job.check(CheckCode::ChokedFlow)
    };
    let choked = of("20", "150", "0.85");
    assert_eq!(choked.verdict, Verdict::Outside);
    assert_eq!(choked.digits(FigureName::ChokedDrop), "118.8");
    assert_eq!(choked.digits(FigureName::Drop), "130.0");
    assert_eq!(choked.rule.kind, RuleKind::Standard);
    assert_eq!(choked.rule.cites, Some(Citation::Iec60534));
    let free = of("50", "100", "0.9");
    assert_eq!(
        (free.verdict, free.digits(FigureName::ChokedDrop)),
        (Verdict::Good, "92.7")
    );
    assert_eq!(of("50", "100", "1.5").missing(), ["recovery"]);
}

#[test]
fn a_target_that_is_not_below_the_inlet_leaves_nothing_to_reckon_with() {
    let mut job =
        Job::new()
            .asked("100")
            .told("inlet_high", "100", Unit::Psi)
            .told("recovery", "0.9", Unit::Ratio);
    for code in [CheckCode::ChokedFlow, CheckCode::Cavitation] {
        let check = job.check(code);
        assert_eq!(check.verdict, Verdict::NotKnown, "{code:?}");
        assert!(check.has(CheckNote::NoSense), "{code:?}");
    }
}

/// Source of the index: fluids 1.3.1 with the vapour pressure of IAPWS-95: 100 to 50 psi gauge, 2.2890 by the inlet
/// pressure (ISA-RP75.23). 2.0 for the ratio of the pressures is common practice, no source: 114.696 over 64.696 psi
/// is 1.77.
#[test]
fn cavitation_goes_by_the_valves_own_limit_and_only_without_one_by_the_ratio() {
    let job = |asked: &str| Job::new().asked(asked).told("inlet_high", "100", Unit::Psi);
    let by_ratio = job("50").check(CheckCode::Cavitation);
    assert_eq!(by_ratio.verdict, Verdict::Good);
    assert_eq!(by_ratio.digits(FigureName::Sigma), "2.29");
    assert_eq!(by_ratio.digits(FigureName::PressureRatio), "1.77");
    assert!(by_ratio.has(CheckNote::ByRatioOnly) && by_ratio.has(CheckNote::SigmaByInlet));
    assert_eq!(by_ratio.rule.kind, RuleKind::CommonPractice);
    assert_eq!(job("40").check(CheckCode::Cavitation).verdict, Verdict::Look);
    for (limit, verdict) in [("2.28", Verdict::Good), ("2.30", Verdict::Outside)] {
        let found = job("50")
            .told("sigma_limit", limit, Unit::Ratio)
            .check(CheckCode::Cavitation);
        assert_eq!(found.verdict, verdict, "{limit}");
        assert_eq!(found.rule.kind, RuleKind::Manual);
        assert!(found.has(CheckNote::SigmaByInlet) && !found.has(CheckNote::ByRatioOnly));
    }
}

/// Source: continuity, V = 0.4084977 Q/d^2 (ft/s, gpm, in): 1200 gpm through 6 in is 13.6 ft/s, 1800 is 20.4.
/// 20 ft/s is common practice, no source.
#[test]
fn the_velocity_at_peak_flow_stays_under_twenty_feet_a_second() {
    for (peak, verdict, shown) in [
        ("1200", Verdict::Good, "13.6"),
        ("1800", Verdict::Outside, "20.4"),
    ] {
        let mut job = Job::new()
            .told("flow_peak", peak, Unit::GallonPerMinute)
            .told("size", "6", Unit::Inch);
        let check = job.check(CheckCode::Velocity);
        assert_eq!(
            (check.verdict, check.digits(FigureName::Velocity)),
            (verdict, shown)
        );
        assert!(check.has(CheckNote::NominalBore));
    }
}

/// Source: Q = Cv sqrt(dP): 1000 gpm with 40 psi to drop needs Cv 158.1; 10 gpm with 60 psi needs 1.3. The shares are
/// common practice, no source.
#[test]
fn the_opening_is_looked_at_over_the_whole_range_of_flow() {
    let job = |full: &str| {
        Job::usual()
            .told("recovery", "0.9", Unit::Ratio)
            .told("coefficient", full, Unit::Cv)
            .told("flow_peak", "1000", Unit::GallonPerMinute)
            .told("flow_low", "10", Unit::GallonPerMinute)
    };
    for (full, verdict, share) in [
        ("240", Verdict::Good, "65.9"),
        ("165", Verdict::Look, "95.8"),
        ("150", Verdict::Outside, "105.4"),
    ] {
        let peak = job(full).check(CheckCode::OpeningAtPeak);
        assert_eq!((peak.verdict, peak.digits(FigureName::Share)), (verdict, share));
        assert_eq!(peak.digits(FigureName::NeededCoefficient), "158.1");
    }
    for (full, verdict, share) in [("240", Verdict::Look, "0.5"), ("12", Verdict::Good, "10.8")] {
        let least = job(full).check(CheckCode::OpeningAtLeast);
        assert_eq!((least.verdict, least.digits(FigureName::Share)), (verdict, share));
    }
}

#[test]
fn a_coefficient_counts_the_same_in_either_unit() {
    let share = |digits, unit| {
        let mut job = Job::usual()
            .told("recovery", "0.9", Unit::Ratio)
            .told("flow_peak", "1000", Unit::GallonPerMinute)
            .told("coefficient", digits, unit);
        job.check(CheckCode::OpeningAtPeak)
            .digits(FigureName::Share)
            .to_owned()
    };
    // 240 Cv is 207.6 Kv (IEC 60534-2-1).
    assert_eq!(share("240", Unit::Cv), share("207.6", Unit::Kv));
}

#[test]
fn a_zone_that_draws_less_than_the_manual_wants_is_outside() {
    for (drawn, verdict) in [("0.9", Verdict::Outside), ("1", Verdict::Good)] {
        // 1 L/s is 15.85 gpm (NIST SP 811).
        let mut job = Job::new().told("flow_low", drawn, Unit::LitrePerSecond).told(
            "min_flow",
            "15.8",
            Unit::GallonPerMinute,
        );
        let check = job.check(CheckCode::LeastFlow);
        assert_eq!((check.verdict, check.rule.kind), (verdict, RuleKind::Manual));
    }
}
