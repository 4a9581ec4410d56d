//! What is shouted, and what is not trusted.

use super::crew::{Tablet, VALVE, built_in, psi};
use crate::journal::{Duty, PersonId};
use crate::procedure::{duty_warning, is_stale, newest_reading_is_stale, zone_alarm};

fn alarm(a: &mut Tablet) -> Option<String> {
    let state = a.state();
    zone_alarm(&a.procedure, &state, VALVE).map(|alarm| format!("{} {}", alarm.point, alarm.figure))
}

#[test]
fn both_tablets_shout_when_the_newest_reading_of_the_zone_is_over_its_limit() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.requests("55", Some("80"));
    a.meets(&mut b);
    b.reads("hydrant", "84");
    assert_eq!(alarm(&mut b).as_deref(), Some("hydrant 84 psi"));
    assert_eq!(alarm(&mut a), None);
    a.meets(&mut b);
    assert_eq!(alarm(&mut a).as_deref(), Some("hydrant 84 psi"));
    a.reads("hydrant", "72");
    assert_eq!(alarm(&mut a), None);
}

#[test]
fn of_readings_beside_one_another_the_one_over_the_limit_counts() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.requests("55", Some("80"));
    a.meets(&mut b);
    a.reads("outlet", "60");
    b.reads("outlet", "91");
    a.reads("outlet", "61");
    a.meets(&mut b);
    assert_eq!(alarm(&mut a).as_deref(), Some("outlet 91 psi"));
    assert_eq!(alarm(&mut b).as_deref(), Some("outlet 91 psi"));
}

#[test]
fn the_limit_holds_in_whatever_unit_the_gauge_reads() {
    let mut a = Tablet::opens("reducing");
    a.requests("55", Some("80"));
    a.reads("zone_low", "80");
    assert_eq!(alarm(&mut a), None);
    let kpa = |digits: &str| crate::quantity::Figure::new(digits, crate::quantity::Unit::Kilopascal).unwrap();
    let mut read = |digits: &str| {
        let figure = kpa(digits);
        let id = a.reads("zone_low", "0");
        let state = a.state();
        let crate::journal::Body::Reading(mut reading) = state.entry(id).unwrap().entry.told.body.clone()
        else {
            panic!("a reading");
        };
        reading.figure = figure;
        a.say(crate::journal::Body::Reading(reading));
        alarm(&mut a)
    };
    assert_eq!(read("551"), None);
    assert_eq!(
        read("552").as_deref(),
        Some("zone_low 552 kPa"),
        "80 psi is 551.58 kPa"
    );
}

#[test]
fn points_that_the_zone_does_not_see_raise_no_alarm() {
    let mut a = Tablet::opens("reducing");
    a.requests("55", Some("80"));
    for point in ["inlet", "cover", "test_bleed", "pilot_supply"] {
        a.reads(point, "131");
    }
    assert_eq!(alarm(&mut a), None);
}

#[test]
fn where_two_requests_stand_the_lower_limit_counts() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    a.requests("55", Some("80"));
    b.requests("50", Some("70"));
    a.meets(&mut b);
    a.reads("outlet", "75");
    let state = a.state();
    let alarm = zone_alarm(&a.procedure, &state, VALVE).unwrap();
    assert_eq!(alarm.limit, psi("70"));
}

#[test]
fn a_reading_is_stale_once_anybody_turned_without_its_writer_knowing() {
    let mut a = Tablet::opens("reducing");
    let mut b = Tablet::joins("reducing", "Beto", 2);
    a.meets(&mut b);
    assert!(
        !newest_reading_is_stale(&a.state(), VALVE, "outlet"),
        "nothing read"
    );
    let reading = a.reads("outlet", "60");
    assert!(!newest_reading_is_stale(&a.state(), VALVE, "outlet"));
    let turn = b.turns("1/4");
    a.meets(&mut b);
    let state = a.state();
    assert!(is_stale(&state, state.entry(reading).unwrap()));
    assert!(newest_reading_is_stale(&state, VALVE, "outlet"));
    a.takes_back(turn);
    assert!(
        !newest_reading_is_stale(&a.state(), VALVE, "outlet"),
        "there was no turn"
    );
    b.meets(&mut a);
    b.turns("1/4");
    b.reads("outlet", "62");
    assert!(!newest_reading_is_stale(&b.state(), VALVE, "outlet"));
}

#[test]
fn the_attendant_is_warned_off_every_step_but_watching() {
    let mut a = Tablet::opens("reducing");
    a.has_duty("Cruz", &[Duty::Attendant]);
    a.has_duty("Beto", &[Duty::TopsideHand]);
    let reducing = built_in("reducing");
    let state = a.state();
    let warned = |step: &str, name: &str| {
        let step = reducing.step(step).unwrap();
        duty_warning(&reducing, &state, VALVE, step, PersonId::of_name(name))
    };
    assert_eq!(
        warned("set_flowing.watch", "Cruz"),
        Some("attendant_only_watches")
    );
    assert_eq!(warned("leave.customers", "Cruz"), Some("attendant_only_watches"));
    assert_eq!(warned("entry.atmosphere", "Cruz"), None);
    assert_eq!(warned("set_flowing.watch", "Beto"), None);
    a.knows_word("permit_space", "no");
    let state = a.state();
    let step = reducing.step("set_flowing.watch").unwrap();
    assert_eq!(
        duty_warning(&reducing, &state, VALVE, step, PersonId::of_name("Cruz")),
        None
    );
}

#[test]
fn the_runaway_card_shuts_the_outlet_cock_then_the_blocks_and_warns_of_a_torn_diaphragm() {
    let reducing = built_in("reducing");
    let order: Vec<Option<&str>> = reducing
        .runaway()
        .iter()
        .map(|line| line.element.as_deref())
        .collect();
    assert_eq!(
        order,
        [
            Some("outlet_cock"),
            Some("downstream_block"),
            Some("upstream_block"),
            Some("bypass"),
            Some("hydrant"),
            None
        ]
    );
    assert!(reducing.runaway().last().unwrap().say.en.contains("diaphragm"));
}
