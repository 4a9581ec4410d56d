//! The gauges' scales.

use super::*;

/// Common practice, no source: between a quarter and three quarters of the scale, and the scale above the inlet.
#[test]
fn a_gauge_is_held_against_its_reading_and_the_inlet() {
    for (span, verdict, share) in [
        ("119", Verdict::Outside, "50.4"),
        ("120", Verdict::Good, "50.0"),
        ("240", Verdict::Good, "25.0"),
        ("300", Verdict::Look, "20.0"),
    ] {
        let check = Job::usual()
            .gauge("G-1", Some("outlet"), span)
            .check(CheckCode::GaugeRange);
        assert_eq!(check.about.as_ref().map(|about| about.en.as_str()), Some("G-1"));
        assert_eq!(
            (check.verdict, check.digits(FigureName::ShareOfSpan)),
            (verdict, share),
            "{span}"
        );
        assert_eq!(check.has(CheckNote::KeepValvedOff), verdict == Verdict::Outside);
    }
}

#[test]
fn a_gauge_at_the_inlet_reads_the_inlet() {
    let check = Job::usual()
        .gauge("G-2", Some("inlet"), "150")
        .check(CheckCode::GaugeRange);
    assert_eq!(check.digits(FigureName::ShareOfSpan), "80.0");
    assert_eq!(check.verdict, Verdict::Look);
}

#[test]
fn each_gauge_has_its_check_and_a_job_without_one_says_so() {
    let mut job = Job::usual()
        .gauge("G-1", None, "160")
        .gauge("G-2", None, "200")
        .gauge("G-2", None, "300");
    let gauges: Vec<_> = job
        .checks()
        .into_iter()
        .filter(|check| check.code == CheckCode::GaugeRange)
        .map(|check| (check.about.unwrap().en, check.verdict))
        .collect();
    assert_eq!(
        gauges,
        [
            ("G-1".to_owned(), Verdict::Good),
            ("G-2".to_owned(), Verdict::NotKnown)
        ]
    );
    assert_eq!(Job::usual().check(CheckCode::GaugeRange).missing(), ["gauge"]);
}
