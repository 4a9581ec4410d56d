//! The stages of the job, each done as a careful crew does it.

use super::crew::{Tablet, figure, psi};
use crate::journal::{Duty, FlowProof, ParticularValue, Position, Purpose, Water};
use crate::quantity::Unit;

/// Everything before the valve is touched: pre-job, entry, as found.
pub fn to_as_found(a: &mut Tablet) {
    a.requests("55", Some("80"));
    a.does("pre_job.request");
    a.chooses("pre_job.scope", "not_listed");
    a.knows(
        "min_flow",
        ParticularValue::Figure(figure("20", Unit::GallonPerMinute)),
    );
    a.knows("min_differential", ParticularValue::Figure(psi("5")));
    a.knows_word("keeps_shut", "outlet_cock");
    a.knows("spring_low", ParticularValue::Figure(psi("30")));
    a.knows("spring_high", ParticularValue::Figure(psi("300")));
    a.knows(
        "spring_rate",
        ParticularValue::Figure(figure("27", Unit::PsiPerTurn)),
    );
    for step in ["pre_job.inlet", "pre_job.customers", "pre_job.hydraulics"] {
        a.does(step);
    }
    before_entry(a);
    into_the_vault(a);
    a.knows_word("plate", "6 in, globe, class 150");
    a.photographs();
    a.does("as_found.photographs");
    a.knows("screw_height", ParticularValue::Figure(figure("9", Unit::Thread)));
    a.does("as_found.screw");
    a.counts("opening", "2");
    a.counts("closing", "1 1/2");
    a.does("as_found.speed_controls");
    as_it_stands(a);
}

/// Gauges, people told, the feed and the crew.
pub fn before_entry(a: &mut Tablet) {
    a.gauge("G-1", "inlet", None);
    a.gauge("G-2", "outlet", None);
    a.knows_word("operator_told", "Luz, 22:10");
    a.does("pre_job.affected");
    a.does("pre_job.telemetry");
    a.chooses("pre_job.second_feed", "second_feed");
    a.does("pre_job.discharge");
    a.does("pre_job.vault_card");
    a.knows_word("permit_space", "yes");
    a.does("pre_job.permit_space");
    a.has_duty("Ana", &[Duty::WrenchHand]);
    a.has_duty("Beto", &[Duty::TopsideHand]);
    a.has_duty("Cruz", &[Duty::Attendant]);
}

/// From the permit to the floor of the chamber.
pub fn into_the_vault(a: &mut Tablet) {
    for step in ["entry.permit", "entry.traffic", "entry.lock_tag"] {
        a.does(step);
    }
    a.tests_good_air();
    for step in [
        "entry.pick_hole",
        "entry.lid",
        "entry.ventilate",
        "entry.atmosphere",
        "entry.attendant",
        "entry.retrieval",
        "entry.enter",
    ] {
        a.does(step);
    }
}

/// Line-up and pressures of a valve that stands under pressure, no water moving.
pub fn as_it_stands(a: &mut Tablet) {
    let elements: Vec<(String, Position)> = a
        .procedure
        .elements
        .iter()
        .map(|element| (element.id.clone(), Position::Shut))
        .collect();
    for (element, position) in elements {
        a.puts(&element, position);
    }
    a.does("as_found.cocks");
    a.does("as_found.block_valves");
    a.does("as_found.leaks");
    a.chooses("as_found.service", "standing");
    a.reads_for("inlet", "131.5", Purpose::AsFound);
    a.reads_for("cover", "131.5", Purpose::AsFound);
    a.reads_for("outlet", "60", Purpose::AsFound);
    a.does("as_found.pressures");
}

/// Prepared, pressurised, bled, and the spool vented again.
pub fn to_the_question(a: &mut Tablet) {
    for step in ["prepare.arrow", "prepare.flush"] {
        a.does(step);
    }
    a.shuts("downstream_block");
    a.shuts("upstream_block");
    for point in ["inlet", "cover", "spool"] {
        a.reads(point, "0");
    }
    a.does("prepare.isolate");
    a.does("prepare.strainers");
    a.does("prepare.downstream_shut");
    a.shuts("outlet_cock");
    a.does("prepare.outlet_cock");
    a.opens_up("inlet_cock");
    a.opens_up("cover_cock");
    a.does("prepare.cocks_open");
    a.counts("opening", "4");
    a.counts("closing", "4");
    a.does("prepare.speed_controls");
    a.does("prepare.lock_nut");
    a.turns("-1 1/2");
    a.does("prepare.back_out");

    a.opens_up("upstream_block");
    a.does("pressurise.upstream");
    a.reads("spool", "0");
    a.does("pressurise.spool_vent");
    a.reads("spool", "0");
    a.does("pressurise.spool_proof");
    a.does("pressurise.bleed");
    a.reads("spool", "12");
    a.does("pressurise.vent_again");
}

/// Set with water flowing.
pub fn set_flowing(a: &mut Tablet) {
    a.chooses("can_water_move.answer", "yes");
    a.does("set_flowing.watch");
    a.puts("spool_vent", Position::Throttled);
    a.opens_up("outlet_cock");
    a.does("set_flowing.outlet_cock");
    a.reads("spool", "31");
    a.does("set_flowing.spool_stops");
    a.opens_up("hydrant");
    a.does("set_flowing.demand");
    a.puts("downstream_block", Position::Throttled);
    a.does("set_flowing.crack");
    a.sees_flow(FlowProof::VisibleDischarge);
    a.does("set_flowing.flow_proof");
    a.opens_up("downstream_block");
    a.shuts("spool_vent");
    a.does("set_flowing.open");
    a.chooses("set_flowing.enough", "at_least_minimum");
    a.water(Water::Flowing);
    a.reads("inlet", "131");
    a.reads("outlet", "31");
    a.does("set_flowing.first_reading");
    a.turns("7/8");
    a.reads("outlet", "55");
    a.does("set_flowing.set");
}

/// Set static, with the pilot isolated, and opened to the zone again.
pub fn set_static(a: &mut Tablet) {
    a.chooses("can_water_move.answer", "no");
    a.reads("spool", "0");
    a.does("set_static.block_tight");
    a.shuts("outlet_cock");
    a.does("set_static.outlet_shut");
    a.shuts("cover_cock");
    a.does("set_static.cover_shut");
    a.shuts("inlet_cock");
    a.does("set_static.cocks_shut");
    a.reads("pilot_supply", "0");
    a.does("set_static.vent_supply");
    a.reads("pilot_outlet", "0");
    a.does("set_static.vent_outlet");
    a.does("set_static.fit_bleed");
    a.opens_up("inlet_cock");
    a.does("set_static.admit");
    a.does("set_static.crack_bleed");
    a.turns("7/8");
    a.reads_for("test_bleed", "55", Purpose::StaticSetting);
    a.does("set_static.adjust");
    a.shuts("inlet_cock");
    a.reads("pilot_supply", "0");
    a.reads("pilot_outlet", "0");
    a.does("set_static.vent_to_remove");
    a.does("set_static.reconnect");
    a.opens_up("inlet_cock");
    a.opens_up("cover_cock");
    a.does("set_static.inlet_cover");
    a.does("set_static.bleed_again");
    a.reads("spool", "10");
    a.does("set_static.vent_again");
    a.puts("spool_vent", Position::Throttled);
    a.opens_up("outlet_cock");
    a.does("set_static.outlet_cock");
    a.reads("spool", "54");
    a.does("set_static.spool_stops");
    a.opens_up("downstream_block");
    a.shuts("spool_vent");
    a.does("set_static.open");
}

/// Speeds and lock nut, then the proof; the parts with flow only where there is flow.
pub fn prove(a: &mut Tablet, flow: bool) {
    if flow {
        a.counts("opening", "2");
        a.counts("closing", "1");
        a.does("tune_and_prove.speed_controls");
        a.knows(
            "stroke_opening",
            ParticularValue::Figure(figure("9", Unit::Second)),
        );
        a.knows(
            "stroke_closing",
            ParticularValue::Figure(figure("14", Unit::Second)),
        );
    }
    a.does("tune_and_prove.lock_nut");
    a.reads("outlet", "55");
    a.does("tune_and_prove.re_read");
    if flow {
        for outlet in ["55", "54.5", "55.5"] {
            a.reads("outlet", outlet);
        }
        a.does("tune_and_prove.cycles");
        for (outlet, cover) in [("56", "88"), ("55", "81"), ("53.5", "74")] {
            a.reads_for("outlet", outlet, Purpose::Baseline);
            a.reads_for("cover", cover, Purpose::Baseline);
        }
        a.does("tune_and_prove.baseline");
    }
    a.shuts("downstream_block");
    a.does("tune_and_prove.block_shut");
    a.water(Water::Still);
    a.reads_for("spool", "57", Purpose::LockUp);
    a.reads_for("spool", "57", Purpose::LockUp);
    a.does("tune_and_prove.lock_up");
    a.opens_up("downstream_block");
    a.does("tune_and_prove.block_open");
    a.reads_for("inlet", "131", Purpose::AsLeft);
    a.reads_for("outlet", "55", Purpose::AsLeft);
    a.does("tune_and_prove.as_left");
}

/// Out of the chamber, and closed out but for the signature.
pub fn leave_and_close(a: &mut Tablet) {
    a.shuts("hydrant");
    a.does("leave.positions");
    a.gauge("G-1", "inlet", Some("0"));
    a.gauge("G-2", "outlet", Some("0"));
    for step in ["leave.gauges", "leave.cap", "leave.hydrants", "leave.alarms"] {
        a.does(step);
    }
    a.reads("zone_high", "38");
    a.reads("zone_low", "72");
    for step in ["leave.customers", "leave.people_out", "leave.permit", "leave.lid"] {
        a.does(step);
    }
    a.does("close_out.not_done");
    a.knows_word("come_back", "strainer in 48 h");
    a.initials();
}
