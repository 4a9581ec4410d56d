//! The record of a job as a document: PDF/A-3b, set by typst as a library, with the JSON that it was made from
//! embedded.
//!
//! The same JSON, photographs and options make the same bytes. What the page says is text that can be searched
//! and copied; charts and the line-up are drawn, not pictures. The fonts are Noto Sans and, for digests, the
//! `DejaVu` Sans Mono; both are in the program and are embedded, nothing of the machine is used.
//!
//! **What is kept between two renders**: the fonts and the parsed template, for as long as the program runs, and of
//! layouts those of the last record printed: printing it again after another entry sets only what is new. Older
//! layouts are dropped, so a server's memory does not grow.

mod chart;
mod given;
mod options;
mod qr;
mod sheet;
mod words;
mod world;

pub use options::{Lang, Options, PrintOptionError, Units, Wanted};

use crate::VerifyError;
use given::Given;
use sha2::{Digest as _, Sha256};
use turnwise_core::record::content::PhotoLine;
use turnwise_core::record::digest;
use turnwise_core::record::export::Export;
use typst::diag::SourceDiagnostic;
use typst::foundations::{Bytes, Datetime, Smart};
use typst::visualize::{ExchangeFormat, RasterImage};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};
use world::{ATTACHED, Desk, SHEET};

/// For how many renders typst keeps a part of a layout that nothing asked for.
const REMEMBERED: usize = 1;

/// Why a record could not be printed.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// It is not a record of a version that this program knows.
    #[error(transparent)]
    Record(#[from] VerifyError),
    /// A record, but one without the sections that a page is made of.
    #[error("the record lacks a part that a page is made of: {0}")]
    Content(String),
    /// The page could not be laid out. A fault of the template.
    #[error("the page could not be laid out: {0}")]
    Layout(String),
    /// The page could not be written as PDF/A-3b.
    #[error("the page could not be written as PDF/A-3b: {0}")]
    Export(String),
}

impl PdfError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Record(error) => error.code(),
            Self::Content(_) => "record_content",
            Self::Layout(_) => "pdf_layout",
            Self::Export(_) => "pdf_export",
        }
    }
}

/// Prints an export: PDF/A-3b with exactly the bytes of [`Export::text`] embedded as `record.json`, so that
/// [`crate::verify::verify`] takes the PDF as well as the export.
///
/// `photos` is asked for the bytes of each photograph by its SHA-256 (lower-case hex). A photograph that is not
/// there, whose bytes are others, or that is neither JPEG nor PNG leaves a frame that says so.
///
/// It takes a fraction of a second of computing and touches no disk; whoever serves others meanwhile calls it on a
/// thread of its own.
///
/// # Errors
/// [`PdfError`]. A signature that does not hold is none: the first page says so.
pub fn render(
    export: &Export,
    photos: &dyn Fn(&str) -> Option<Vec<u8>>,
    options: &Options,
) -> Result<Vec<u8>, PdfError> {
    let given = Given::read(export)?;
    let pictures: Vec<Picture> = given
        .document
        .photographs
        .iter()
        .map(|line| Picture::of(line, photos))
        .collect();
    let made = match make(&given, &pictures, *options) {
        // A picture in a colour space that PDF/A does not take must not cost the whole record.
        Err(PdfError::Export(_)) if pictures.iter().any(|picture| picture.bytes().is_some()) => {
            let without: Vec<Picture> = pictures.iter().map(|_| Picture::Absent("unfit")).collect();
            make(&given, &without, *options)
        }
        made => made,
    };
    typst::comemo::evict(REMEMBERED);
    made
}

/// A photograph's bytes, or why there are none.
enum Picture {
    Jpeg(Vec<u8>),
    Png(Vec<u8>),
    Absent(&'static str),
}

impl Picture {
    fn of(line: &PhotoLine, photos: &dyn Fn(&str) -> Option<Vec<u8>>) -> Self {
        let Some(bytes) = photos(&line.sha256) else {
            return Self::Absent("missing");
        };
        if !turnwise_core::record::hex(&Sha256::digest(&bytes)).eq_ignore_ascii_case(&line.sha256) {
            return Self::Absent("other_bytes");
        }
        let reads = |format| RasterImage::plain(Bytes::new(bytes.clone()), format).is_ok();
        if bytes.starts_with(&[0xff, 0xd8]) && reads(ExchangeFormat::Jpg) {
            Self::Jpeg(bytes)
        } else if bytes.starts_with(b"\x89PNG") && reads(ExchangeFormat::Png) {
            Self::Png(bytes)
        } else {
            Self::Absent("unreadable")
        }
    }

    fn bytes(&self) -> Option<(&'static str, &Vec<u8>)> {
        match self {
            Self::Jpeg(bytes) => Some(("jpg", bytes)),
            Self::Png(bytes) => Some(("png", bytes)),
            Self::Absent(_) => None,
        }
    }

    /// Its path in the world. Numbered, not named by its hash: typst remembers every path for ever.
    fn path(&self, number: usize) -> Option<String> {
        self.bytes().map(|(ending, _)| format!("photo-{number}.{ending}"))
    }

    fn absent(&self) -> Option<&'static str> {
        match self {
            Self::Absent(why) => Some(why),
            _ => None,
        }
    }
}

fn make(given: &Given, pictures: &[Picture], options: Options) -> Result<Vec<u8>, PdfError> {
    let beside = sheet::Beside {
        report: &given.report,
        addendum: &given.addendum,
        photos: (0..)
            .zip(pictures)
            .map(|(number, picture)| (picture.path(number), picture.absent()))
            .collect(),
    };
    let sheet = sheet::sheet(&given.document, beside, options);
    let sheet = serde_json::to_vec(&sheet).map_err(|error| PdfError::Content(error.to_string()))?;
    let files = (0..).zip(pictures).filter_map(|(number, picture)| {
        let (_, bytes) = picture.bytes()?;
        Some((picture.path(number)?, bytes.clone()))
    });
    let desk = Desk::new(files.chain([
        (SHEET.to_owned(), sheet),
        (ATTACHED.to_owned(), given.attached.clone()),
    ]))
    .ok_or_else(|| PdfError::Layout("the template has no path".to_owned()))?;
    let document: PagedDocument = typst::compile(&desk)
        .output
        .map_err(|errors| PdfError::Layout(said(&errors)))?;
    let standards = PdfStandards::new(&[PdfStandard::A_3b])
        .map_err(|error| PdfError::Export(error.message().to_string()))?;
    let options = PdfOptions {
        ident: Smart::Custom(format!(
            "{}:{}:{}",
            digest(&given.attached),
            options.lang.code(),
            options.paper()
        )),
        creator: Smart::Custom(Some("Turnwise".to_owned())),
        timestamp: Some(timestamp(given)?),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(|errors| PdfError::Export(said(&errors)))
}

/// The date of the document: that of the newest entry in the record's own order that tells a readable time, so
/// that the same record has the same date whenever it is printed.
fn timestamp(given: &Given) -> Result<Timestamp, PdfError> {
    given
        .document
        .entries
        .iter()
        .rev()
        .filter_map(|entry| entry.at.parse::<jiff::Timestamp>().ok())
        .find_map(|at| {
            let civil = jiff::tz::TimeZone::UTC.to_datetime(at);
            let part = |part: i8| u8::try_from(part).ok();
            Datetime::from_ymd_hms(
                i32::from(civil.year()),
                part(civil.month())?,
                part(civil.day())?,
                part(civil.hour())?,
                part(civil.minute())?,
                part(civil.second())?,
            )
        })
        .map(Timestamp::new_utc)
        .ok_or_else(|| PdfError::Content("no entry tells a time".to_owned()))
}

fn said(errors: &[SourceDiagnostic]) -> String {
    let all: Vec<&str> = errors.iter().map(|error| error.message.as_str()).collect();
    all.join("; ")
}
