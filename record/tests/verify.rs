//! An export of a real journal, held against its signature: whole, spelled anew, and with something changed.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

mod support;

use serde_json::{Value, json};
use std::fmt::Write as _;
use support::{Signed, signed_job};
use turnwise_record::verify::{Kind, verify};

fn codes(file: &[u8]) -> Vec<&'static str> {
    match verify(file) {
        Ok(report) => report.faults.iter().map(|fault| fault.code).collect(),
        Err(error) => vec![error.code()],
    }
}

/// The export with one change made to its JSON.
fn changed(text: &str, change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut whole: Value = serde_json::from_str(text).unwrap();
    change(&mut whole);
    serde_json::to_vec(&whole).unwrap()
}

#[test]
fn a_signed_export_says_who_signed_what_and_when() {
    let Signed { export, digest, .. } = signed_job();
    let report = verify(export.text().unwrap().as_bytes()).unwrap();
    assert_eq!(report.faults, []);
    assert!(report.is_signed());
    assert_eq!((report.kind, report.revision), (Kind::Export, 1));
    assert_eq!(report.digest, digest);
    let [signature] = report.signatures.as_slice() else {
        panic!("one signature");
    };
    assert_eq!(signature.name, "Ana Ruiz");
    assert_eq!(signature.at, "2026-05-04T09:12:03+02:00");
    assert!(signature.holds && !signature.vouched_for);
}

#[test]
fn the_same_export_spelled_in_another_way_is_the_same() {
    let text = signed_job().export.text().unwrap();
    let whole: Value = serde_json::from_str(&text).unwrap();
    let compact = serde_json::to_vec(&whole).unwrap();
    let mut escaped = String::new();
    for letter in text.chars() {
        if letter.is_ascii() {
            escaped.push(letter);
        } else {
            for unit in letter.encode_utf16(&mut [0; 2]) {
                write!(escaped, "\\u{unit:04X}").unwrap();
            }
        }
    }
    assert_ne!(escaped, text, "the job has letters beyond ASCII");
    for spelled in [compact, escaped.into_bytes(), backwards(&whole).into_bytes()] {
        assert_eq!(codes(&spelled), [] as [&str; 0]);
    }
}

/// JSON with the names of every object in reverse order.
fn backwards(value: &Value) -> String {
    match value {
        Value::Object(fields) => {
            let fields: Vec<_> = fields
                .iter()
                .rev()
                .map(|(name, value)| format!("{}:{}", json!(name), backwards(value)))
                .collect();
            format!("{{{}}}", fields.join(", "))
        }
        Value::Array(all) => {
            let all: Vec<_> = all.iter().map(backwards).collect();
            format!("[{}]", all.join(" ,"))
        }
        other => other.to_string(),
    }
}

#[test]
fn whatever_byte_of_an_export_changes_it_does_not_verify() {
    let export = signed_job().export;
    let text = serde_json_canonicalizer::to_string(&export).unwrap();
    let mut changed = text.clone().into_bytes();
    // A hundred places all over the file: every place takes a quarter of an hour without optimization.
    let stride = text.len() / 100 + 1;
    let mut tried = 0;
    for at in (0..text.len()).step_by(stride) {
        let flip = 1 << (tried % 8);
        changed[at] ^= flip;
        let good = verify(&changed).is_ok_and(|report| report.faults.is_empty() && report.is_signed());
        let around = String::from_utf8_lossy(&changed[at.saturating_sub(30)..(at + 30).min(text.len())]);
        assert!(!good, "the change of byte {at} was not seen: {around}");
        changed[at] ^= flip;
        tried += 1;
    }
    assert!(tried > 80, "{tried}");
    assert_eq!(changed, text.into_bytes());
}

#[test]
fn what_was_changed_is_said() {
    let text = signed_job().export.text().unwrap();
    let figure = changed(&text, |whole| {
        whole["record"]["valves"][0]["readings"][0]["figure"]["digits"] = json!("56.0");
    });
    assert_eq!(codes(&figure), ["record_differs", "seal_wrong"]);
    let signature = changed(&text, |whole| {
        let bytes = whole["signatures"][0]["signature"].as_str().unwrap();
        let last = if bytes.ends_with('0') { '1' } else { '0' };
        whole["signatures"][0]["signature"] = json!(format!("{}{last}", &bytes[..127]));
    });
    assert_eq!(codes(&signature), ["wrong_signature", "seal_wrong"]);
    let signer = changed(&text, |whole| {
        whole["signatures"][0]["by"] = json!("00000000-0000-4000-8000-000000000001");
    });
    assert_eq!(codes(&signer), ["wrong_signature", "seal_wrong"]);
    let no_seal = changed(&text, |whole| {
        whole.as_object_mut().unwrap().remove("seal");
    });
    assert_eq!(codes(&no_seal), ["seal_missing"]);
    let beside = changed(&text, |whole| whole["note"] = json!("more"));
    assert_eq!(codes(&beside), ["other_form"]);
    let number = changed(&text, |whole| {
        whole["record"]["valves"][0]["readings"][0]["figure"]["digits"] = json!(55);
    });
    assert_eq!(codes(&number), ["other_form"], "a number where text belongs");
    let fraction = text.replacen("\"revision\": 1", "\"revision\": 1.0", 1);
    assert_eq!(codes(fraction.as_bytes()), ["bad_number"]);
    let twice = text.replacen('{', "{\"format\": \"turnwise-export\",", 1);
    assert_eq!(codes(twice.as_bytes()), ["duplicate_name"]);
    assert_eq!(codes(b"%PDF-1.7 and nothing more"), ["pdf_not_readable"]);
}

#[test]
fn an_office_vouches_for_the_signer_for_as_long_as_it_says() {
    let mut signed = signed_job();
    let office = signed.vouched_for("2027-01-01T00:00:00Z");
    let report = verify(signed.export.text().unwrap().as_bytes()).unwrap();
    assert_eq!(report.faults, []);
    assert_eq!(report.signatures[0].office.as_deref(), Some(office.as_str()));
    assert!(report.signatures[0].vouched_for);
    signed.vouched_for("2026-02-01T00:00:00Z");
    let late = verify(signed.export.text().unwrap().as_bytes()).unwrap();
    assert_eq!(late.faults[0].code, "certificate_not_then");
    assert!(!late.signatures[0].vouched_for);
}

#[test]
fn what_a_stranger_seals_anew_is_told_not_to_be_sealed_by_a_signer() {
    let mut signed = signed_job();
    signed.note_after();
    let by_signer = |export: &turnwise_core::record::export::Export| {
        let report = verify(export.text().unwrap().as_bytes()).unwrap();
        assert_eq!(
            (report.faults.len(), report.is_signed(), report.after),
            (0, true, 1)
        );
        report.seal.unwrap().by_signer
    };
    assert!(by_signer(&signed.export), "the signer's own device wrote it");
    let stranger = turnwise_core::record::signature::DeviceKey::from_secret([3; 32]);
    signed.export.addendum[0]["body"]["text"] = json!("strainer basket fine");
    signed
        .export
        .seal(&stranger, "some device", "2026-05-05T09:00:00Z")
        .unwrap();
    assert!(!by_signer(&signed.export), "a stranger did");
}

#[test]
fn a_signature_does_not_move_to_another_record() {
    let one = signed_job().export;
    let other = support::unsigned_job().export;
    let text = other.text().unwrap();
    let moved = changed(&text, |whole| {
        whole["signatures"] = serde_json::to_value(&one.signatures).unwrap();
    });
    let said = codes(&moved);
    assert!(
        said.contains(&"record_differs") && said.contains(&"job_differs"),
        "{said:?}"
    );
}

#[test]
fn a_job_that_nobody_signed_is_unchanged_and_not_signed() {
    let export = support::unsigned_job().export;
    let report = verify(export.text().unwrap().as_bytes()).unwrap();
    assert_eq!((report.faults.len(), report.is_signed()), (0, false));
    let alone = verify(export.canonical_record().unwrap().as_bytes()).unwrap();
    assert_eq!((alone.kind, alone.is_signed()), (Kind::Record, false));
    assert_eq!(alone.digest, report.digest);
}

#[test]
fn what_came_after_the_signature_is_told_and_the_signature_holds() {
    let mut signed = signed_job();
    signed.note_after();
    let report = verify(signed.export.text().unwrap().as_bytes()).unwrap();
    assert_eq!((report.faults.len(), report.after), (0, 1));
    assert!(report.is_signed());
}

#[test]
fn signed_again_the_earlier_signature_stays_readable_and_is_held_against_its_key() {
    let mut signed = signed_job();
    signed.note_after();
    signed.sign_again();
    let text = signed.export.text().unwrap();
    let report = verify(text.as_bytes()).unwrap();
    assert_eq!(report.faults, []);
    assert_eq!((report.revision, report.after), (2, 0));
    let [earlier] = report.earlier.as_slice() else {
        panic!("one earlier signature");
    };
    assert!(earlier.holds && earlier.revision == 1);
    let wrong = changed(&text, |whole| {
        whole["record"]["signatures"][0]["digest"] = json!("0".repeat(64));
    });
    assert!(codes(&wrong).contains(&"earlier_signature_wrong"));
}
