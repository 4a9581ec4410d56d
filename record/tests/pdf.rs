//! A printed record, by every structural means at hand: qpdf, poppler and mupdf. None of them is a validator of
//! PDF/A: what the standard asks beyond structure is checked by the writer of the file alone.

#![recursion_limit = "256"]
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop where something is not as it should be"
)]

mod sample;
mod support;

use sample::{Sample, sample};
use std::path::Path;
use std::process::Command;
use std::sync::LazyLock;
use turnwise_core::quantity::Unit;
use turnwise_core::record::signature::DeviceKey;
use turnwise_record::pdf::{Lang, Options, Units, render};
use turnwise_record::verify::{Kind, export_in, verify};

/// A job with its printed record, in a file of its own.
struct Printed {
    job: Sample,
    pdf: Vec<u8>,
    folder: tempfile::TempDir,
}

impl Printed {
    fn new(job: Sample, options: Options) -> Self {
        let pdf = print(&job, options);
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("record.pdf"), &pdf).unwrap();
        Self { job, pdf, folder }
    }

    /// What a program says of the file. It must succeed.
    fn ask(&self, program: &str, before: &[&str], after: &[&str]) -> String {
        let ran = Command::new(program)
            .args(before)
            .arg(self.folder.path().join("record.pdf"))
            .args(after)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&ran.stdout).into_owned();
        assert!(
            ran.status.success(),
            "{program}: {said}{}",
            String::from_utf8_lossy(&ran.stderr)
        );
        said
    }

    /// Its text, page by page, laid out in lines.
    fn pages(&self) -> Vec<String> {
        let text = self.ask("pdftotext", &["-layout"], &["-"]).replace('\u{a0}', " ");
        let mut pages: Vec<String> = text.split('\u{c}').map(str::to_owned).collect();
        assert_eq!(pages.pop().as_deref(), Some(""));
        pages
    }

    /// Its objects, decompressed, for searching.
    fn objects(&self) -> String {
        let out = self.folder.path().join("plain.pdf");
        self.ask(
            "qpdf",
            &["--qdf", "--object-streams=disable"],
            &[out.to_str().unwrap()],
        );
        String::from_utf8_lossy(&std::fs::read(out).unwrap()).into_owned()
    }
}

fn print(job: &Sample, options: Options) -> Vec<u8> {
    render(&job.export, &|hash| job.photos.get(hash).cloned(), &options).unwrap()
}

fn spanish() -> Options {
    Options {
        lang: Lang::Es,
        units: Units::new(Some(Unit::Kilopascal), Some(Unit::LitrePerSecond)).unwrap(),
    }
}

static SHORT: LazyLock<Printed> = LazyLock::new(|| Printed::new(sample(40, 2), Options::default()));
static SPANISH: LazyLock<Printed> = LazyLock::new(|| Printed::new(sample(40, 2), spanish()));
static LONG: LazyLock<Printed> = LazyLock::new(|| {
    let job = sample(400, 30)
        .signed()
        .with_late_notes(&["The strainer was changed on the Thursday after"]);
    Printed::new(job, Options::default())
});

fn all() -> [&'static Printed; 3] {
    [&SHORT, &SPANISH, &LONG]
}

#[test]
fn the_structure_is_sound() {
    for printed in all() {
        let said = printed.ask("qpdf", &["--check"], &[]);
        assert!(
            said.contains("No syntax or stream encoding errors found"),
            "{said}"
        );
        let pages = printed.pages().len();
        let said = printed.ask("mutool", &["info"], &[]);
        assert!(said.contains(&format!("Pages: {pages}")), "{said}");
    }
}

#[test]
fn it_claims_to_be_pdf_a_3b_and_says_what_its_colours_mean() {
    for printed in all() {
        let metadata = printed.ask("pdfinfo", &["-meta"], &[]);
        assert!(metadata.contains("<pdfaid:part>3</pdfaid:part>"), "{metadata}");
        assert!(
            metadata.contains("<pdfaid:conformance>B</pdfaid:conformance>"),
            "{metadata}"
        );
        let objects = printed.objects();
        for wanted in ["/OutputIntents", "/GTS_PDFA1", "/DestOutputProfile"] {
            assert!(objects.contains(wanted), "{wanted} is not there");
        }
        assert!(!objects.contains("/JavaScript") && !objects.contains("/Encrypt"));
    }
}

#[test]
fn every_font_is_embedded_and_is_one_of_ours() {
    for printed in all() {
        let said = printed.ask("pdffonts", &[], &[]);
        let fonts: Vec<Vec<&str>> = said
            .lines()
            .skip(2)
            .map(|line| line.split_whitespace().collect())
            .collect();
        assert!(fonts.len() >= 3, "{said}");
        for font in fonts {
            assert!(
                font[0].contains("NotoSans") || font[0].contains("DejaVuSansMono"),
                "{said}"
            );
            // From the right: object (two words), Unicode map, subset, embedded.
            assert_eq!(
                font[font.len() - 5..font.len() - 2],
                ["yes", "yes", "yes"],
                "{said}"
            );
        }
    }
}

#[test]
fn the_very_bytes_that_were_given_are_attached_as_its_source() {
    for printed in all() {
        let out = printed.folder.path().join("attached.json");
        printed.ask("pdfdetach", &["-save", "1", "-o", out.to_str().unwrap()], &[]);
        assert_eq!(
            std::fs::read(&out).unwrap(),
            printed.job.export.text().unwrap().into_bytes()
        );
        let list = printed.ask("pdfdetach", &["-list"], &[]);
        assert!(
            list.contains("1 embedded files") && list.contains("record.json"),
            "{list}"
        );
        let objects = printed.objects();
        assert!(objects.contains("/AFRelationship /Source"));
        assert!(objects.contains("/AF "), "the catalogue does not name it");
        assert!(
            objects.contains("/Subtype /application#2fjson")
                || objects.contains("/Subtype /application#2Fjson")
        );
    }
}

#[test]
fn the_same_record_makes_the_same_bytes() {
    assert_eq!(print(&SHORT.job, Options::default()), SHORT.pdf);
    assert_ne!(SHORT.pdf, SPANISH.pdf);
}

#[test]
fn every_page_says_its_job_its_digest_and_its_number() {
    let digest = turnwise_core::record::digest(LONG.job.export.canonical_record().unwrap().as_bytes());
    let start = format!("Digest {} {}", &digest[..8], &digest[8..16]);
    let pages = LONG.pages();
    assert!(pages.len() > 12, "{} pages", pages.len());
    for (number, page) in (1..).zip(&pages) {
        for wanted in [
            "Job TW-2041",
            start.as_str(),
            &format!("Page {number} of {}", pages.len()),
        ] {
            assert!(page.contains(wanted), "page {number} lacks {wanted}:\n{page}");
        }
    }
}

/// The line of a table that begins with an entry's number.
fn row<'p>(pages: &'p [String], number: usize, holds: &str) -> Option<&'p str> {
    let number = number.to_string();
    pages
        .iter()
        .flat_map(|page| page.lines())
        .find(|line| line.split_whitespace().next() == Some(number.as_str()) && line.contains(holds))
}

#[test]
fn every_reading_and_every_move_is_there_to_the_digit() {
    for printed in all() {
        let pages = printed.pages();
        let valve = &printed.job.record()["valves"][0];
        let mut seen = 0;
        for (list, figure) in [("readings", "figure"), ("moves", "turn")] {
            for line in valve[list].as_array().unwrap() {
                let entries = printed.job.record()["entries"].as_array().unwrap();
                let number = 1 + entries
                    .iter()
                    .position(|entry| entry["id"] == line["said"]["entry"])
                    .unwrap();
                let digits = line[figure]["digits"].as_str().unwrap();
                let at = &line["said"]["at"].as_str().unwrap()[11..19];
                let row = row(&pages, number, at);
                assert!(
                    row.is_some_and(|row| row.contains(&format!(" {digits} "))),
                    "entry {number}, {digits}: {row:?}"
                );
                seen += 1;
            }
        }
        assert!(seen >= 15);
    }
}

#[test]
fn a_figure_in_another_unit_has_the_figure_as_read_beside_it() {
    let pages = SPANISH.pages();
    let row = row(&pages, 26, "08:26:26").unwrap();
    // 70.5 psi is 486 kPa.
    assert!(row.contains("70.5 psi") && row.contains("486 kPa"), "{row}");
    assert!(
        pages[0].contains("379 kPa") && pages[0].contains("(55.0 psi)"),
        "{}",
        pages[0]
    );
}

#[test]
fn the_text_can_be_searched_in_either_language() {
    let english = SHORT.pages().concat();
    let spanish = SPANISH.pages().concat();
    for (words, otherwise) in [
        ("Within tolerance", "Dentro de tolerancia"),
        ("Not signed", "Sin firma"),
        (
            "Disagreements and how they were settled",
            "Desacuerdos y cómo se resolvieron",
        ),
        ("Downstream block valve", "Válvula de corte aguas abajo"),
        ("counter-clockwise", "antihorario"),
    ] {
        assert!(english.contains(words) && !spanish.contains(words), "{words}");
        assert!(
            spanish.contains(otherwise) && !english.contains(otherwise),
            "{otherwise}"
        );
    }
    for typed in ["Luis Muñoz", "The plate is under paint", "[U+1F44D]", "≥"] {
        assert!(english.contains(typed) && spanish.contains(typed), "{typed}");
    }
}

#[test]
fn no_word_lies_outside_the_page_and_headings_of_tables_come_again() {
    for printed in all() {
        let boxes = printed.ask("pdftotext", &["-bbox"], &["-"]);
        let number = |line: &str, name: &str| -> f64 {
            let rest = line.split(&format!("{name}=\"")).nth(1).unwrap();
            rest.split('"').next().unwrap().parse().unwrap()
        };
        let (mut width, mut words) = (0.0, 0);
        for line in boxes.lines() {
            if line.contains("<page ") {
                width = number(line, "width");
            } else if line.contains("<word ") {
                words += 1;
                // 17 mm of margin are 48.2 points; the last ulp is the writer's.
                assert!(
                    number(line, "xMin") > 47.0 && number(line, "xMax") < width - 47.0,
                    "{line}"
                );
            }
        }
        assert!(words > 500);
    }
    let heads = LONG
        .pages()
        .iter()
        .filter(|page| {
            page.lines()
                .any(|line| line.contains("Point") && line.contains("As read"))
        })
        .count();
    assert!(heads >= 4, "the heading of the readings stands on {heads} pages");
}

#[test]
fn a_photograph_that_is_not_there_or_is_another_leaves_a_frame_that_says_so() {
    let job = sample(40, 3);
    let hashes: Vec<&str> = job.record()["photographs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|photo| photo["sha256"].as_str().unwrap())
        .collect();
    let photos = |hash: &str| {
        if hash == hashes[0] {
            None
        } else if hash == hashes[1] {
            Some(b"others".to_vec())
        } else {
            job.photos.get(hash).cloned()
        }
    };
    let pdf = render(&job.export, &photos, &Options::default()).unwrap();
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("record.pdf"), &pdf).unwrap();
    let images = images(folder.path());
    let printed = Printed { job, pdf, folder };
    let text = printed.pages().concat();
    assert!(text.contains("Not at hand where this was printed"));
    assert!(text.contains("Its bytes are not those on record"));
    assert_eq!(images, 1);
}

/// How many pictures a file holds.
fn images(folder: &Path) -> usize {
    let said = Command::new("pdfimages")
        .args(["-list"])
        .arg(folder.join("record.pdf"))
        .output()
        .unwrap();
    String::from_utf8_lossy(&said.stdout)
        .lines()
        .skip(2)
        .filter(|line| line.contains(" image "))
        .count()
}

#[test]
fn every_photograph_of_a_long_job_is_in_it() {
    assert_eq!(images(LONG.folder.path()), 30);
}

#[test]
fn a_signed_record_says_who_signed_with_which_key_and_what_came_after() {
    let pages = LONG.pages();
    let first = &pages[0];
    let key = DeviceKey::from_secret([7; 32]).public();
    assert!(
        first.contains("Signed") && first.contains("Dana Reyes"),
        "{first}"
    );
    assert!(first.contains("1 entry came after the signature"), "{first}");
    let all = pages.concat();
    assert!(all.contains(&key) && all.contains("key not vouched for"));
    assert!(all.contains("The strainer was changed on the Thursday after"));
    assert!(SHORT.pages()[0].contains("nobody has signed"));
}

#[test]
fn a_printed_record_is_verified_as_the_export_that_it_carries() {
    let report = verify(&LONG.pdf).unwrap();
    assert_eq!(report.kind, Kind::PdfWithExport);
    assert_eq!((report.faults.as_slice(), report.after), (&[][..], 1));
    assert!(report.is_signed());
    assert!(!verify(&SHORT.pdf).unwrap().is_signed());
    assert_eq!(export_in(&LONG.pdf).unwrap(), LONG.job.export);
}

#[test]
fn a_changed_record_is_printed_with_the_change_named_on_its_first_page() {
    let mut job = sample(40, 0).signed();
    job.export.record["notes"][0]["text"] = "another word".into();
    job.seal();
    let printed = Printed::new(job, Options::default());
    let first = &printed.pages()[0];
    assert!(first.contains("Changed: do not rely on this"), "{first}");
    assert!(
        first.contains("The record is not the one that was signed"),
        "{first}"
    );
}

#[test]
fn a_journal_with_nothing_but_a_reading_and_a_turn_is_printed_too() {
    for job in [support::signed_job(), support::unsigned_job()] {
        let pdf = render(&job.export, &|_| None, &spanish()).unwrap();
        assert_eq!(verify(&pdf).unwrap().faults, []);
    }
}

#[test]
fn what_is_no_record_is_refused_with_its_code() {
    let code = |record: serde_json::Value| {
        let mut job = sample(40, 0);
        job.export.record = record;
        job.seal();
        render(&job.export, &|_| None, &Options::default())
            .unwrap_err()
            .code()
    };
    assert_eq!(code("%PDF".into()), "other_form");
    let bare = serde_json::json!({ "format": "turnwise-record", "version": turnwise_core::record::VERSION });
    assert_eq!(code(bare), "other_form");
}
