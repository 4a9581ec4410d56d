//! The record that a PDF carries as an attachment.

use flate2::read::ZlibDecoder;
use lopdf::{Dictionary, Document, Object};
use std::io::Read;

/// The most bytes of an attachment that are read, unpacked.
pub const ATTACHMENT_LIMIT: u64 = 64 * 1024 * 1024;

/// How deep a tree of names may be.
const DEPTH: usize = 16;

/// Why no record could be taken out of a PDF.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum AttachmentError {
    /// It is no PDF that can be read.
    #[error("this PDF cannot be read: {0}")]
    NotReadable(String),
    /// There is no JSON attached to it.
    #[error("this PDF has no record attached to it")]
    NothingAttached,
    /// There are several: nobody can say which one counts.
    #[error("this PDF has {0} JSON files attached to it; only one can be the record")]
    Several(usize),
    /// What is attached cannot be unpacked.
    #[error("the attached record cannot be unpacked: {0}")]
    Damaged(String),
    /// What is attached is too large.
    #[error("the attached record is larger than {ATTACHMENT_LIMIT} bytes")]
    TooLarge,
}

impl AttachmentError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotReadable(_) => "pdf_not_readable",
            Self::NothingAttached => "nothing_attached",
            Self::Several(_) => "several_attached",
            Self::Damaged(_) => "attachment_damaged",
            Self::TooLarge => "attachment_too_large",
        }
    }
}

/// The JSON file that is attached to a PDF.
///
/// # Errors
/// [`AttachmentError`].
pub fn attached_json(pdf: &[u8]) -> Result<Vec<u8>, AttachmentError> {
    let document =
        Document::load_mem(pdf).map_err(|error| AttachmentError::NotReadable(error.to_string()))?;
    let mut files = Vec::new();
    if let Some(tree) = names(&document) {
        collect(&document, tree, DEPTH, &mut files);
    }
    files.retain(|(name, _)| {
        name.rsplit_once('.')
            .is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("json"))
    });
    match files.as_slice() {
        [] => Err(AttachmentError::NothingAttached),
        [(_, file)] => unpack(&document, file),
        several => Err(AttachmentError::Several(several.len())),
    }
}

/// The root of the tree of embedded files (ISO 32000-2, 7.11.4 and 7.9.6).
fn names(document: &Document) -> Option<&Dictionary> {
    let names = dictionary(document, document.catalog().ok()?.get(b"Names").ok()?)?;
    dictionary(document, names.get(b"EmbeddedFiles").ok()?)
}

/// Every file specification of a name tree, with its name.
fn collect<'a>(
    document: &'a Document,
    node: &'a Dictionary,
    depth: usize,
    files: &mut Vec<(String, &'a Dictionary)>,
) {
    if depth == 0 {
        return;
    }
    if let Some(Ok(pairs)) = node.get(b"Names").ok().map(Object::as_array) {
        let specifications = pairs.iter().skip(1).step_by(2);
        files.extend(specifications.filter_map(|object| {
            let file = dictionary(document, object)?;
            let name = file.get(b"UF").or_else(|_| file.get(b"F")).ok()?;
            Some((lopdf::decode_text_string(resolved(document, name)).ok()?, file))
        }));
    }
    if let Some(Ok(kids)) = node.get(b"Kids").ok().map(Object::as_array) {
        for kid in kids.iter().filter_map(|kid| dictionary(document, kid)) {
            collect(document, kid, depth - 1, files);
        }
    }
}

fn unpack(document: &Document, file: &Dictionary) -> Result<Vec<u8>, AttachmentError> {
    let damaged = |what: &str| AttachmentError::Damaged(what.to_owned());
    let embedded = file
        .get(b"EF")
        .ok()
        .and_then(|object| dictionary(document, object))
        .ok_or_else(|| damaged("no embedded file"))?;
    let stream = embedded
        .get(b"F")
        .or_else(|_| embedded.get(b"UF"))
        .ok()
        .and_then(|object| resolved(document, object).as_stream().ok())
        .ok_or_else(|| damaged("no stream"))?;
    let filters = stream.filters().unwrap_or_default();
    match filters.as_slice() {
        [] => limited(stream.content.as_slice()),
        [flate] if *flate == b"FlateDecode" => limited(ZlibDecoder::new(stream.content.as_slice())),
        _ => Err(damaged("packed in a way that is not read here")),
    }
}

/// All of a stream, unless it is too large.
fn limited(from: impl Read) -> Result<Vec<u8>, AttachmentError> {
    let mut bytes = Vec::new();
    from.take(ATTACHMENT_LIMIT + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| AttachmentError::Damaged(error.to_string()))?;
    if bytes.len() as u64 > ATTACHMENT_LIMIT {
        return Err(AttachmentError::TooLarge);
    }
    Ok(bytes)
}

fn resolved<'a>(document: &'a Document, object: &'a Object) -> &'a Object {
    document.dereference(object).map_or(object, |(_, object)| object)
}

fn dictionary<'a>(document: &'a Document, object: &'a Object) -> Option<&'a Dictionary> {
    resolved(document, object).as_dict().ok()
}
