//! What typst sees while it sets a record: our own template at fixed paths, the data of one record, its
//! photographs and the fonts. Nothing of the machine: no file, no font, no clock, no network.

use std::collections::HashMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};

/// The template, by the paths it imports itself by.
const TEMPLATE: &[(&str, &str)] = &[
    (MAIN, include_str!("main.typ")),
    ("base.typ", include_str!("base.typ")),
    ("chart.typ", include_str!("chart.typ")),
    ("line_up.typ", include_str!("line_up.typ")),
    ("parts.typ", include_str!("parts.typ")),
];
const MAIN: &str = "main.typ";

/// The path of the JSON that the record was given as: what is attached.
pub(super) const ATTACHED: &str = "record.json";

/// The path of what the template draws.
pub(super) const SHEET: &str = "sheet.json";

/// What does not change from one record to the next: read once, kept as long as the program runs (about 3 MB
/// of fonts that are in the program anyway, and the parsed template).
static FIXED: LazyLock<Fixed> = LazyLock::new(Fixed::new);

struct Fixed {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    main: Option<FileId>,
    sources: HashMap<FileId, Source>,
}

impl Fixed {
    fn new() -> Self {
        // The proportional face is Noto Sans; digests are set in DejaVu Sans Mono, which the typesetter brings.
        let mono = typst_assets::fonts().filter(|bytes| {
            Font::new(Bytes::new(*bytes), 0).is_some_and(|font| {
                let info = font.info();
                info.family == "DejaVu Sans Mono" && info.variant.style == typst::text::FontStyle::Normal
            })
        });
        let sans = [notosans::REGULAR_TTF, notosans::ITALIC_TTF, notosans::BOLD_TTF];
        let fonts: Vec<Font> = sans
            .into_iter()
            .chain(mono)
            .flat_map(|bytes| Font::iter(Bytes::new(bytes)))
            .collect();
        let mut sources = HashMap::new();
        for (path, text) in TEMPLATE {
            if let Some(id) = id(path) {
                sources.insert(id, Source::new(id, (*text).to_owned()));
            }
        }
        Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            main: id(MAIN),
            sources,
        }
    }
}

/// The id of a path below the root, for a path that is one.
pub(super) fn id(path: &str) -> Option<FileId> {
    let path = VirtualPath::new(path).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

/// The world of one record.
pub(super) struct Desk {
    main: FileId,
    files: HashMap<FileId, Bytes>,
}

impl Desk {
    /// A world with these files beside the template. `None` only where the template's own path is no path.
    pub fn new(files: impl IntoIterator<Item = (String, Vec<u8>)>) -> Option<Self> {
        Some(Self {
            main: FIXED.main?,
            files: files
                .into_iter()
                .filter_map(|(path, bytes)| Some((id(&path)?, Bytes::new(bytes))))
                .collect(),
        })
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &FIXED.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FIXED.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        FIXED.sources.get(&id).cloned().ok_or_else(|| missing(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(&id).cloned().ok_or_else(|| missing(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FIXED.fonts.get(index).cloned()
    }

    /// No record depends on the day it is printed.
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

/// Whether one of the fonts has a shape for a character.
pub(super) fn covers(letter: char) -> bool {
    FIXED
        .fonts
        .iter()
        .filter(|font| font.info().variant == typst::text::FontVariant::default())
        .any(|font| font.info().coverage.contains(u32::from(letter)))
}
