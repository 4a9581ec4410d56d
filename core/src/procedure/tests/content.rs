//! The texts of the procedures that come with the product.

use super::crew::{all_built_in, built_in};
use crate::journal::Duty;
use crate::procedure::{Condition, Procedure, Text};

fn all() -> Vec<Procedure> {
    all_built_in().iter().cloned().collect()
}

fn texts(procedure: &Procedure) -> Vec<(String, Text)> {
    let mut texts = vec![("title".to_owned(), procedure.title.clone())];
    let mut add = |of: &str, text: &Text| texts.push((of.to_owned(), text.clone()));
    procedure.elements.iter().for_each(|it| add(&it.id, &it.label));
    procedure.screws.iter().for_each(|it| add(&it.id, &it.label));
    procedure
        .speed_controls
        .iter()
        .for_each(|it| add(&it.id, &it.label));
    procedure
        .particulars
        .iter()
        .for_each(|it| add(&it.name, &it.label));
    procedure.runaway.iter().for_each(|it| add("runaway", &it.say));
    for point in &procedure.points {
        add(&point.id, &point.label);
        point.note.iter().for_each(|note| add(&point.id, note));
    }
    for step in procedure.steps() {
        for text in [&step.title, &step.say, &step.why] {
            add(&step.id, text);
        }
        step.caution.iter().for_each(|caution| add(&step.id, caution));
        for option in &step.options {
            add(&step.id, &option.label);
            option.remark.iter().for_each(|remark| add(&step.id, remark));
        }
        for condition in [&step.when, &step.needs, &step.evidence].into_iter().flatten() {
            add(&condition.code(), &condition.say(procedure));
        }
        for stop in &step.stops {
            add(&stop.code(), &stop.stop_say(procedure));
        }
    }
    for condition in &procedure.closes_with {
        add(&condition.code(), &condition.say(procedure));
    }
    texts
}

#[test]
fn every_text_is_there_in_both_languages_and_they_are_not_the_same_words() {
    for procedure in all() {
        for (of, text) in texts(&procedure) {
            for words in [&text.en, &text.es] {
                assert!(!words.trim().is_empty(), "{of}: {text:?}");
                assert_eq!(words.trim(), words, "{of}");
                assert!(!words.contains("  "), "{of}: {words}");
            }
            assert!(text.en != text.es || text.en == "No", "{of}: {text:?}");
        }
    }
}

#[test]
fn what_is_read_with_a_headlamp_is_short() {
    for procedure in all() {
        for step in procedure.steps() {
            for words in [&step.say.en, &step.say.es, &step.why.en, &step.why.es] {
                assert!(
                    words.chars().count() <= 160,
                    "{}: {} characters: {words}",
                    step.id,
                    words.chars().count()
                );
            }
            for words in step.caution.iter().flat_map(|caution| [&caution.en, &caution.es]) {
                assert!(words.chars().count() <= 160, "{}: {words}", step.id);
            }
            for title in [&step.title.en, &step.title.es] {
                let words = title.split_whitespace().count();
                assert!((1..=6).contains(&words), "{}: {title}", step.id);
            }
        }
    }
}

#[test]
fn every_step_is_one_or_more_whole_sentences() {
    for procedure in all() {
        for step in procedure.steps() {
            let cautions = step.caution.iter().flat_map(|caution| [&caution.en, &caution.es]);
            for words in [&step.say.en, &step.say.es, &step.why.en, &step.why.es]
                .into_iter()
                .chain(cautions)
            {
                assert!(words.ends_with(['.', '?']), "{}: {words}", step.id);
                let first = words.chars().find(|c| c.is_alphabetic()).unwrap();
                assert!(first.is_uppercase(), "{}: {words}", step.id);
            }
        }
    }
}

#[test]
fn the_job_is_not_longer_than_it_must_be() {
    let reducing = built_in("reducing");
    let on = |phase: &str| {
        reducing
            .phases
            .iter()
            .find(|it| it.id == phase)
            .unwrap()
            .steps
            .len()
    };
    let (flowing, of_static) = (on("set_flowing"), on("set_static"));
    let all = reducing.steps().count();
    assert!(all - of_static <= 95, "flowing: {}", all - of_static);
    assert!(all - flowing <= 107, "static: {}", all - flowing);
}

#[test]
fn the_tool_says_at_entry_that_it_is_not_the_permit() {
    for procedure in all() {
        let first = &procedure
            .phases
            .iter()
            .find(|phase| phase.id == "entry")
            .unwrap()
            .steps[0];
        let caution = first.caution.as_ref().unwrap();
        assert_eq!(caution.en, "This tool is not the permit.");
        assert!(caution.es.contains("no es el permiso"));
        assert_eq!(first.who, Some(Duty::EntrySupervisor));
    }
}

#[test]
fn every_stop_says_what_to_do_and_who_decides() {
    for procedure in all() {
        for stop in procedure.steps().flat_map(|step| &step.stops) {
            let say = stop.stop_say(&procedure);
            assert!(
                say.en.starts_with("Stop.") && say.es.starts_with("Pare."),
                "{say:?}"
            );
            assert!(
                say.en
                    .ends_with("The entry supervisor decides, outside this tool."),
                "{say:?}"
            );
            assert!(
                say.es
                    .ends_with("Decide el supervisor de entrada, fuera de esta herramienta."),
                "{say:?}"
            );
        }
    }
}

#[test]
fn whoever_works_below_is_covered_by_the_stops_of_a_permit_space() {
    for procedure in all() {
        let below = procedure
            .steps()
            .filter(|step| step.who == Some(Duty::WrenchHand) && !step.id.starts_with("entry.lock"));
        for step in below {
            let codes: Vec<String> = step.stops.iter().map(Condition::code).collect();
            for stop in ["atmosphere", "attendant", "retrieval"] {
                assert!(codes.iter().any(|code| code == stop), "{} lacks {stop}", step.id);
            }
        }
    }
}

#[test]
fn a_gauge_on_the_pilot_circuit_says_that_it_is_not_the_system() {
    let reducing = built_in("reducing");
    let note = reducing.point("outlet").unwrap().note.clone().unwrap();
    assert!(note.en.contains("outlet cock"));
    for point in ["outlet", "spool", "system", "zone_low", "zone_high", "hydrant"] {
        assert!(reducing.point(point).unwrap().zone, "{point}");
    }
    for point in [
        "inlet",
        "cover",
        "test_bleed",
        "pilot_supply",
        "pilot_outlet",
        "stem",
    ] {
        assert!(!reducing.point(point).unwrap().zone, "{point}");
    }
}

/// A fact of the trade and the words of the procedure that carry it.
fn says(procedure: &Procedure, step: &str, words: &[&str]) {
    let found = procedure.step(step).unwrap_or_else(|| panic!("no step {step}"));
    let caution = found
        .caution
        .as_ref()
        .map(|caution| caution.en.as_str())
        .unwrap_or_default();
    let all = format!("{} {} {caution}", found.say.en, found.why.en).to_lowercase();
    for word in words {
        assert!(all.contains(word), "{step} says nothing of {word}: {all}");
    }
}

#[test]
fn before_the_job_nothing_is_forgotten() {
    let p = built_in("reducing");
    says(
        &p,
        "pre_job.request",
        &["outlet pressure", "tolerance", "where", "who asked"],
    );
    says(
        &p,
        "pre_job.manual",
        &["minimum flow", "start positions", "which cock"],
    );
    says(
        &p,
        "pre_job.customers",
        &["lowest", "highest", "elevation", "20 psi"],
    );
    says(
        &p,
        "pre_job.hydraulics",
        &["choked", "cavitation", "velocity", "opening"],
    );
    says(
        &p,
        "pre_job.companions",
        &["relief above", "low-flow valve above"],
    );
    says(
        &p,
        "pre_job.gauges",
        &["serial", "span", "grade", "calibration", "snubber", "valved off"],
    );
    says(&p, "pre_job.gauge_pair", &["two gauges on one tap"]);
    says(
        &p,
        "pre_job.affected",
        &["hospitals", "dialysis", "fire service", "sprinkler"],
    );
    says(&p, "pre_job.telemetry", &["alarms", "restores"]);
    says(
        &p,
        "pre_job.second_feed",
        &["another feed", "bypass", "watched", "outage"],
    );
    says(
        &p,
        "pre_job.discharge",
        &["permission", "backflow", "dechlorination", "residual", "volume"],
    );
    says(
        &p,
        "pre_job.vault_card",
        &[
            "photograph",
            "hazards",
            "lid tool",
            "kits",
            "hydrants",
            "other feeds",
            "traffic",
        ],
    );
}

#[test]
fn on_the_way_in_and_as_found_nothing_is_forgotten() {
    let p = built_in("reducing");
    says(
        &p,
        "entry.pick_hole",
        &["bump-tested", "serial", "before the lid"],
    );
    says(&p, "entry.lid", &["guard"]);
    says(&p, "entry.ventilate", &["pump", "fresh air"]);
    says(
        &p,
        "entry.atmosphere",
        &["top", "middle", "bottom", "oxygen first", "flammable", "toxic"],
    );
    says(&p, "entry.enter", &["keep it running", "everyone out"]);
    says(&p, "as_found.screw", &["height", "threads", "witness mark"]);
    says(&p, "as_found.speed_controls", &["turns", "seat", "over-pressure"]);
    says(
        &p,
        "as_found.block_valves",
        &["which way each opens", "counted against turns expected", "bypass"],
    );
    says(&p, "as_found.leaks", &["leaks", "passing shut block valves"]);
    says(&p, "as_found.flowing", &["regulated"]);
    says(&p, "as_found.pressures", &["inlet", "cover", "outlet", "static"]);
}

#[test]
fn while_preparing_and_pressurising_nothing_is_forgotten() {
    let p = built_in("reducing");
    says(&p, "prepare.arrow", &["flow arrow", "pressure class"]);
    says(
        &p,
        "prepare.flush",
        &["beforehand", "bypass", "spool piece", "never through the valve"],
    );
    says(&p, "prepare.strainers", &["main strainer", "pilot's strainer"]);
    says(&p, "prepare.debris", &["photograph"]);
    says(&p, "prepare.outlet_cock", &["stays shut", "manual"]);
    says(
        &p,
        "prepare.speed_controls",
        &["to the stop", "never forced", "manual", "record the turns"],
    );
    says(&p, "prepare.back_out", &["below the target", "count", "low one"]);
    says(
        &p,
        "pressurise.spool_proof",
        &["beyond the shut block proves nothing"],
    );
    says(
        &p,
        "pressurise.bleed",
        &[
            "indicator vent",
            "cover",
            "tubing",
            "gauge lines",
            "solid water",
            "opens the main valve",
        ],
    );
    says(&p, "pressurise.vent_again", &["still shut", "zone's limit"]);
    says(
        &p,
        "can_water_move.answer",
        &[
            "hydrant",
            "blow-off",
            "tap",
            "customers",
            "fully",
            "nozzle gate",
            "shut slowly",
        ],
    );
}

#[test]
fn while_setting_nothing_is_forgotten() {
    let p = built_in("reducing");
    says(
        &p,
        "set_flowing.outlet_cock",
        &["vent running", "slowly", "shut the outlet cock at once"],
    );
    says(
        &p,
        "set_flowing.crack",
        &["demand already running", "first and the last tenth"],
    );
    says(
        &p,
        "set_flowing.flow_proof",
        &[
            "meter",
            "pitot",
            "discharge",
            "downward turn",
            "stem",
            "below inlet",
            "upward",
        ],
    );
    says(&p, "set_flowing.enough", &["minimum flow", "low-flow setting"]);
    says(
        &p,
        "set_flowing.set",
        &["settled", "learn", "older than the last turn", "prove flow again"],
    );
    says(&p, "set_flowing.watch", &["shout", "voice", "attendant"]);
    says(&p, "set_static.block_tight", &["tight", "protects nobody"]);
    says(
        &p,
        "set_static.cocks_shut",
        &["outlet cock, then the cover cock, then the inlet cock"],
    );
    says(&p, "set_static.vent_outlet", &["second trapped volume"]);
    says(&p, "set_static.sensing_line", &["remote line"]);
    says(&p, "set_static.crack_bleed", &["crack"]);
    says(&p, "set_static.bleed_again", &["every high point again"]);
    says(&p, "set_static.difference", &["minus the static", "predicts"]);
}

#[test]
fn while_proving_leaving_and_closing_nothing_is_forgotten() {
    let p = built_in("reducing");
    says(
        &p,
        "tune_and_prove.speed_controls",
        &["a little at a time", "running flow", "over-pressure"],
    );
    says(&p, "tune_and_prove.cycles", &["three times", "spread"]);
    says(
        &p,
        "tune_and_prove.baseline",
        &["low, normal and high", "cover", "stem", "droop", "faults"],
    );
    says(
        &p,
        "tune_and_prove.lock_up",
        &["climbs", "warming", "25 psi per degree f", "15 c"],
    );
    says(&p, "tune_and_prove.block_shut", &["slowly"]);
    says(
        &p,
        "leave.positions",
        &["normal position", "bypass shut", "look at each"],
    );
    says(&p, "leave.gauges", &["zero", "as agreed"]);
    says(&p, "leave.hydrants", &["drains", "caps"]);
    says(&p, "leave.alarms", &["restored"]);
    says(&p, "leave.customers", &["highest", "lowest"]);
    says(&p, "leave.people_out", &["people and tools"]);
    says(&p, "close_out.as_left", &["time", "gauge", "request"]);
    says(&p, "close_out.not_done", &["why"]);
    says(
        &p,
        "close_out.come_back",
        &["24-72 h", "24 h logger", "next service"],
    );
}
