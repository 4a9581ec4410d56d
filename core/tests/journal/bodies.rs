//! What was written before is read for ever: one text of each kind, as it stands in journals, reads as what it
//! meant and is written again as it was. A text here is never changed; a kind that learns something gets another.

use std::collections::BTreeSet;
use turnwise_core::journal::*;

/// Ids as they stand in the texts.
const VALVE: &str = "0190a1b2-0000-7000-8000-0000000000a1";

/// Texts of every kind, some of them twice: with all that may be left out, and without.
const TEXTS: &[&str] = &[
    r#"{"kind":"job_opened","number":"1042","customer":"Hillside Water","site":"Oak Street vault","station":{"id":"0190a1b2-0000-7000-8000-000000000051","name":"Oak Street"},"valves":[{"id":"0190a1b2-0000-7000-8000-0000000000a1","name":"6 in","procedure":"reducing","size":{"digits":"6","unit":"in"}},{"id":"0190a1b2-0000-7000-8000-0000000000a2","name":"2 in","procedure":"reducing"}]}"#,
    r#"{"kind":"request","valve":"0190a1b2-0000-7000-8000-0000000000a1","pressure":{"digits":"52","unit":"psi"},"tolerance":{"digits":"2","unit":"psi"},"datum":"at the valve","asked_by":"J. Ortiz","zone_limit":{"digits":"80","unit":"psi"},"replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"request","valve":"0190a1b2-0000-7000-8000-0000000000a1","pressure":{"digits":"52.0","unit":"psi"},"datum":"at the valve","asked_by":"J. Ortiz"}"#,
    r#"{"kind":"particulars","asset":"0190a1b2-0000-7000-8000-0000000000a1","name":"spring_low","value":{"figure":{"digits":"20","unit":"psi"}},"replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"particulars","asset":"0190a1b2-0000-7000-8000-0000000000a1","name":"plate","value":{"text":"no plate"}}"#,
    r#"{"kind":"line_up","asset":"0190a1b2-0000-7000-8000-0000000000a1","element":"downstream_block","position":"throttled","counted":{"digits":"3 1/4","unit":"turn"},"replaces":["0190a1b2-0000-7000-8000-000000000001","0190a1b2-0000-7000-8000-000000000002"]}"#,
    r#"{"kind":"line_up","asset":"0190a1b2-0000-7000-8000-0000000000a1","element":"bypass","position":"shut"}"#,
    r#"{"kind":"line_up","asset":"0190a1b2-0000-7000-8000-0000000000a1","element":"inlet_cock","position":"open"}"#,
    r#"{"kind":"reading","asset":"0190a1b2-0000-7000-8000-0000000000a1","point":"outlet","place":"hydrant 7","figure":{"digits":"61.50","unit":"psi"},"gauge":"G-113","purpose":"as_left","water":"flowing","request":"0190a1b2-0000-7000-8000-000000000001"}"#,
    r#"{"kind":"reading","asset":"0190a1b2-0000-7000-8000-0000000000a1","point":"inlet","figure":{"digits":"131.59","unit":"psi"},"purpose":"as_found","water":"unknown"}"#,
    r#"{"kind":"reading","asset":"0190a1b2-0000-7000-8000-0000000000a1","point":"spool","figure":{"digits":"0","unit":"psi"},"purpose":"static_setting","water":"still"}"#,
    r#"{"kind":"screw_move","asset":"0190a1b2-0000-7000-8000-0000000000a1","screw":"reducing","turn":{"digits":"-1 1/8","unit":"turn"},"request":"0190a1b2-0000-7000-8000-000000000001","planned_from":"0190a1b2-0000-7000-8000-000000000002"}"#,
    r#"{"kind":"screw_move","asset":"0190a1b2-0000-7000-8000-0000000000a1","screw":"reducing","turn":{"digits":"+0.5","unit":"turn"}}"#,
    r#"{"kind":"speed_control","asset":"0190a1b2-0000-7000-8000-0000000000a1","control":"closing","open":{"digits":"2 1/2","unit":"turn"},"replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"step_mark","asset":"0190a1b2-0000-7000-8000-0000000000a1","procedure":"reducing","step":"bleed_air","outcome":"not_done","overridden":["needs_inlet_open"],"reason":"no vent on this cover","replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"step_mark","asset":"0190a1b2-0000-7000-8000-0000000000a1","procedure":"reducing","step":"flow_path","outcome":{"chosen":"flowing"}}"#,
    r#"{"kind":"step_mark","asset":"0190a1b2-0000-7000-8000-0000000000a1","procedure":"reducing","step":"flush","outcome":"done"}"#,
    r#"{"kind":"flow_evidence","asset":"0190a1b2-0000-7000-8000-0000000000a1","how":"meter","flow":{"digits":"156.35","unit":"gpm"},"place":"hydrant 7"}"#,
    r#"{"kind":"flow_evidence","asset":"0190a1b2-0000-7000-8000-0000000000a1","how":"outlet_fell_on_downward_move"}"#,
    r#"{"kind":"atmosphere_test","asset":"0190a1b2-0000-7000-8000-000000000051","level":"bottom","oxygen":{"digits":"20.9","unit":"%"},"flammable":{"digits":"0","unit":"% LFL"},"carbon_monoxide":{"digits":"0","unit":"ppm"},"hydrogen_sulphide":{"digits":"0","unit":"ppm"},"meter":"M-7","bump_tested":true}"#,
    r#"{"kind":"gauge","serial":"G-113","point":"outlet","span":{"digits":"100","unit":"psi"},"grade":"1A","resolution":{"digits":"0.5","unit":"psi"},"calibration_due":"2026-11-01","zero_before":{"digits":"0","unit":"psi"},"zero_after":{"digits":"0.5","unit":"psi"},"replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"gauge","serial":"G-114","span":{"digits":"200","unit":"psi"}}"#,
    r#"{"kind":"note","text":"lid is \"stiff\"\n\tand heavy ⚠","about":"0190a1b2-0000-7000-8000-000000000001"}"#,
    r#"{"kind":"photo","sha256":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855","size":0,"caption":"plate","about":"0190a1b2-0000-7000-8000-000000000001"}"#,
    r#"{"kind":"logger_file","asset":"0190a1b2-0000-7000-8000-0000000000a1","point":"outlet","file":"vault3.csv","sha256":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855","size":20,"reading":{"column":1,"unit":"psi","day_first":true},"name":"Pressure","rows":3600}"#,
    r#"{"kind":"person_joined","person":"0190a1b2-0000-7000-8000-0000000000b1","name":"Ana","duties":["wrench_hand","topside_hand","attendant","entry_supervisor"],"replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"person_joined","person":"0190a1b2-0000-7000-8000-0000000000b1","name":"Ana","duties":[]}"#,
    r#"{"kind":"grant","person":"0190a1b2-0000-7000-8000-0000000000b1","name":"Ana","role":"lead_tech","replaces":["0190a1b2-0000-7000-8000-000000000001"]}"#,
    r#"{"kind":"grant","person":"0190a1b2-0000-7000-8000-0000000000b1","name":"Ana","role":"technician"}"#,
    r#"{"kind":"history","asset":"0190a1b2-0000-7000-8000-0000000000a1","closed_at":"2025-05-06T11:00:00-07:00","as_left":{"digits":"55","unit":"psi"},"learned_rate":{"digits":"14.6","unit":"psi/turn"},"static_difference":{"digits":"-1.5","unit":"psi"},"records":["e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"]}"#,
    r#"{"kind":"history","asset":"0190a1b2-0000-7000-8000-0000000000a1","closed_at":"2025-05-06T11:00:00-07:00"}"#,
    r#"{"kind":"history","asset":"0190a1b2-0000-7000-8000-0000000000a1","closed_at":"2025-05-06T11:00:00-07:00","job":"0190a1b2-0000-7000-8000-000000000001","number":"2017","procedure":"relief","point":"sensing","requested":{"digits":"90","unit":"psi"},"as_found":{"digits":"88","unit":"psi"},"lock_up":{"digits":"93","unit":"psi"},"stroke_opening":{"digits":"9","unit":"s"},"stroke_closing":{"digits":"14","unit":"s"},"moves":3,"turned":{"digits":"-1/4","unit":"turn"},"faults":[{"en":"weeps","es":"llora"}]}"#,
    r#"{"kind":"procedure_file","id":"round","file":"round.toml","digest":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855","part":1,"parts":2,"text":"id = \"round\"\n"}"#,
    r#"{"kind":"withdrawn","entry":"0190a1b2-0000-7000-8000-000000000001","reason":"misread"}"#,
    r#"{"kind":"resolution","about":{"register":{"register":{"of":"position","asset":"0190a1b2-0000-7000-8000-0000000000a1","element":"downstream_block"},"replaces":["0190a1b2-0000-7000-8000-000000000001","0190a1b2-0000-7000-8000-000000000002"],"value":{"kind":"line_up","asset":"0190a1b2-0000-7000-8000-0000000000a1","element":"downstream_block","position":"open"}}},"reason":"looked again"}"#,
    r#"{"kind":"resolution","about":{"item":{"code":"request_changed","entries":["0190a1b2-0000-7000-8000-000000000001"]}},"reason":"asked the customer"}"#,
    r#"{"kind":"clock_check","with":"0190a1b2-0000-7000-8000-0000000000d1","offset_ms":-172800000,"round_trip_ms":12}"#,
    r#"{"kind":"initials","entries":23}"#,
    r#"{"kind":"sign_off","digest":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855","heads":["e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"],"clock":{"0101010101010101":23},"revision":1}"#,
    r#"{"kind":"re_opened","sign_off":"0190a1b2-0000-7000-8000-000000000001","reason":"leaks"}"#,
    r#"{"kind":"sonar_sweep","depth":1.50e+02, "b":1,"a":null}"#,
];

#[test]
fn every_text_reads_as_its_kind_and_is_written_again_as_it_was() {
    for text in TEXTS {
        let body: Body = serde_json::from_str(text).unwrap_or_else(|error| panic!("{error} in {text}"));
        assert_eq!(serde_json::to_string(&body).unwrap(), *text);
        assert!(
            text.starts_with(&format!("{{\"kind\":\"{}\"", body.kind())),
            "{text}"
        );
    }
}

#[test]
fn every_kind_has_a_text() {
    let read: BTreeSet<String> = TEXTS
        .iter()
        .map(|text| serde_json::from_str::<Body>(text).unwrap().kind().to_owned())
        .collect();
    let known = Body::KINDS.iter().chain(&["sonar_sweep"]);
    assert_eq!(read, known.map(|kind| (*kind).to_owned()).collect());
}

#[test]
fn what_a_later_version_adds_to_a_known_kind_is_no_obstacle() {
    for text in TEXTS {
        let body: Body = serde_json::from_str(text).unwrap();
        let Body::Unknown(_) = body else {
            let added = text.replacen('{', r#"{"added_later":{"x":[1]},"#, 1);
            assert_eq!(serde_json::from_str::<Body>(&added).unwrap(), body, "{added}");
            continue;
        };
    }
}

#[test]
fn an_entrys_text_reads_and_is_written_again_as_it_was() {
    let told = concat!(
        r#"{"by":"0190a1b2-0000-7000-8000-0000000000b1","keyed_by":"0190a1b2-0000-7000-8000-0000000000b2","#,
        r#""device":"0190a1b2-0000-7000-8000-0000000000d1","boot":"0190a1b2-0000-7000-8000-0000000000e1","#,
        r#""mono_ms":18446744073709551615,"at":"2026-03-04T09:30:00.250-08:00","body":{"kind":"initials","entries":3}}"#
    );
    let read: Told = serde_json::from_str(told).unwrap();
    assert_eq!(serde_json::to_string(&read).unwrap(), told);
    assert_eq!(read.mono_ms, u64::MAX);
    let alone = told.replace(r#""keyed_by":"0190a1b2-0000-7000-8000-0000000000b2","#, "");
    assert_eq!(serde_json::from_str::<Told>(&alone).unwrap().keyed_by, None);
}

#[test]
fn two_bodies_say_the_same_only_where_what_they_find_is_the_same() {
    let body = |text: &str| serde_json::from_str::<Body>(text).unwrap();
    let same = |a: &str, b: &str| {
        assert!(body(a).same_value(&body(a)) && body(b).same_value(&body(b)));
        assert_eq!(body(a).same_value(&body(b)), body(b).same_value(&body(a)));
        body(a).same_value(&body(b))
    };
    for text in TEXTS {
        assert!(same(text, text));
    }
    let line_up = |rest: &str| format!(r#"{{"kind":"line_up","asset":"{VALVE}","element":"bypass",{rest}}}"#);
    let shut = line_up(r#""position":"shut""#);
    assert!(same(
        &shut,
        &line_up(
            r#""position":"shut","counted":{"digits":"3","unit":"turn"},"replaces":["0190a1b2-0000-7000-8000-000000000001"]"#
        )
    ));
    assert!(!same(&shut, &line_up(r#""position":"open""#)));
    assert!(!same(&shut, &shut.replace("bypass", "inlet_cock")));

    let size = |figure: &str| {
        format!(r#"{{"kind":"particulars","asset":"{VALVE}","name":"spring_low","value":{figure}}}"#)
    };
    let figure = |digits: &str, unit: &str| {
        size(&format!(
            r#"{{"figure":{{"digits":"{digits}","unit":"{unit}"}}}}"#
        ))
    };
    assert!(same(&figure("20", "psi"), &figure("20.0", "psi")));
    assert!(same(&figure("1/2", "turn"), &figure("0.5", "turn")));
    assert!(!same(&figure("20", "psi"), &figure("20.1", "psi")));
    assert!(!same(&figure("20", "psi"), &figure("20", "kPa")));
    assert!(!same(&figure("20", "psi"), &size(r#"{"text":"20 psi"}"#)));

    let step = |rest: &str| {
        format!(r#"{{"kind":"step_mark","asset":"{VALVE}","procedure":"reducing","step":"flush",{rest}}}"#)
    };
    assert!(same(
        &step(r#""outcome":"done""#),
        &step(r#""outcome":"done","overridden":["x"],"reason":"y""#)
    ));
    assert!(!same(
        &step(r#""outcome":"done""#),
        &step(r#""outcome":"not_done""#)
    ));

    let joined = |name: &str, duties: &str| {
        format!(r#"{{"kind":"person_joined","person":"{VALVE}","name":"{name}","duties":[{duties}]}}"#)
    };
    let both = joined("Ana", r#""wrench_hand","attendant""#);
    assert!(same(
        &both,
        &joined("ana ", r#""attendant","wrench_hand","attendant""#)
    ));
    assert!(!same(&both, &joined("Ana", r#""attendant""#)));

    let grant = |role: &str| format!(r#"{{"kind":"grant","person":"{VALVE}","name":"Ana","role":"{role}"}}"#);
    assert!(!same(&grant("lead_tech"), &grant("reader")));
    let request = |rest: &str| {
        format!(
            r#"{{"kind":"request","valve":"{VALVE}","pressure":{{"digits":"52","unit":"psi"}},"datum":"here","asked_by":"J"{rest}}}"#
        )
    };
    assert!(same(
        &request(""),
        &request(r#","replaces":["0190a1b2-0000-7000-8000-000000000001"]"#)
    ));
    assert!(!same(
        &request(""),
        &request(r#","tolerance":{"digits":"2","unit":"psi"}"#)
    ));
}
