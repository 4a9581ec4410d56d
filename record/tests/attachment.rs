//! The record that a PDF carries: found, held against its signature, and refused where it is not plain which one counts.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

mod support;

use lopdf::{Dictionary, Document, Object, Stream, dictionary};
use support::signed_job;
use turnwise_record::verify::{Kind, verify};

/// A PDF without a page that has these files attached (ISO 32000-2, 7.11.4), packed or not.
fn pdf(files: &[(&str, &[u8])], packed: bool) -> Vec<u8> {
    let mut document = Document::with_version("1.7");
    let mut names = Vec::new();
    for (name, bytes) in files {
        let kind = dictionary! { "Type" => "EmbeddedFile", "Subtype" => "application/json" };
        let mut stream = Stream::new(kind, bytes.to_vec()).with_compression(packed);
        if packed {
            stream.compress().unwrap();
        }
        let stream = document.add_object(stream);
        let file = document.add_object(dictionary! {
            "Type" => "Filespec", "F" => Object::string_literal(*name), "UF" => Object::string_literal(*name),
            "AFRelationship" => "Source", "EF" => dictionary! { "F" => stream },
        });
        names.extend([Object::string_literal(*name), file.into()]);
    }
    let pages =
        document.add_object(dictionary! { "Type" => "Pages", "Kids" => Vec::<Object>::new(), "Count" => 0 });
    let mut catalog = dictionary! { "Type" => "Catalog", "Pages" => pages };
    if !names.is_empty() {
        let tree: Dictionary = dictionary! { "Names" => names };
        catalog.set("Names", dictionary! { "EmbeddedFiles" => tree });
    }
    let root = document.add_object(catalog);
    document.trailer.set("Root", root);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

fn code(file: &[u8]) -> &'static str {
    verify(file).unwrap_err().code()
}

#[test]
fn a_pdf_with_an_export_attached_is_held_against_its_signature() {
    let export = signed_job().export.text().unwrap();
    for packed in [false, true] {
        let report = verify(&pdf(&[("record.json", export.as_bytes())], packed)).unwrap();
        assert_eq!(
            (report.kind, report.faults.len(), report.is_signed()),
            (Kind::PdfWithExport, 0, true)
        );
    }
}

#[test]
fn whatever_byte_of_the_attached_record_changes_the_pdf_does_not_verify() {
    let export = signed_job().export;
    // Without white space: a blank for another blank would be no change.
    let text = serde_json_canonicalizer::to_string(&export).unwrap();
    let mut file = pdf(&[("record.json", text.as_bytes())], false);
    let start = file
        .windows(text.len())
        .position(|bytes| bytes == text.as_bytes())
        .unwrap();
    let mut tried = 0;
    for at in (0..text.len()).step_by(text.len() / 60 + 1) {
        let flip = 1 << (tried % 8);
        file[start + at] ^= flip;
        let good = verify(&file).is_ok_and(|report| report.faults.is_empty() && report.is_signed());
        assert!(!good, "the change of byte {at} was not seen");
        file[start + at] ^= flip;
        tried += 1;
    }
    assert!(tried > 50, "{tried}");
    assert!(verify(&file).unwrap().is_signed(), "as it was");
}

#[test]
fn a_pdf_with_no_record_or_with_two_is_refused() {
    let export = signed_job().export.text().unwrap();
    assert_eq!(code(&pdf(&[], false)), "nothing_attached");
    assert_eq!(code(&pdf(&[("notes.txt", b"hello")], false)), "nothing_attached");
    let two = [("a.json", export.as_bytes()), ("b.json", b"{}".as_slice())];
    assert_eq!(code(&pdf(&two, false)), "several_attached");
}

#[test]
fn an_attachment_that_cannot_be_unpacked_is_damage_and_no_crash() {
    let export = signed_job().export.text().unwrap();
    let file = pdf(&[("record.json", export.as_bytes())], true);
    let stream = file.windows(7).position(|bytes| bytes == b"stream\n").unwrap() + 7;
    let mut cut = file;
    for byte in &mut cut[stream..stream + 40] {
        *byte = 0;
    }
    assert_eq!(code(&cut), "attachment_damaged");
}
