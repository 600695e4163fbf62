//! What the typesetter sees of the world: the template, the data, pictures and fonts. There is no
//! network, no folder, no clock and no font but those.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, LazyLock};

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

use super::fonts::FONTS;

/// The files of the template; the first is where it begins.
const TEMPLATE: &[(&str, &str)] = &[
    ("main.typ", include_str!("typst/main.typ")),
    ("text.typ", include_str!("typst/text.typ")),
    ("card.typ", include_str!("typst/card.typ")),
    ("front.typ", include_str!("typst/front.typ")),
    ("quiz.typ", include_str!("typst/quiz.typ")),
];

/// The name under which the template finds its data.
const DATA: &str = "data.json";

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// The typesetter's world for one document.
pub struct PrintWorld {
    main: FileId,
    sources: HashMap<FileId, Source>,
    files: HashMap<FileId, Bytes>,
}

impl PrintWorld {
    /// The world of the template `main`, with its data as JSON and its pictures by name.
    ///
    /// Names are the same for all documents, because the typesetter never forgets one.
    pub fn new(main: &str, data: Vec<u8>, pictures: BTreeMap<String, Arc<[u8]>>) -> Self {
        let sources = TEMPLATE.iter().map(|(name, text)| (id(name), Source::new(id(name), (*text).to_owned())));
        let mut files: HashMap<FileId, Bytes> =
            pictures.into_iter().map(|(name, bytes)| (id(&name), Bytes::new(bytes))).collect();
        files.insert(id(DATA), Bytes::new(data));
        Self { main: id(main), sources: sources.collect(), files }
    }
}

/// The typesetter's number of a file. All names are plain words, which it takes.
fn id(name: &str) -> FileId {
    let path = VirtualPath::new(name).unwrap_or_else(|_| unreachable!("{name} is a plain name"));
    RootedPath::new(VirtualRoot::Project, path).intern()
}

impl World for PrintWorld {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        self.sources.get(&id).cloned().ok_or_else(|| missing(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(&id).cloned().ok_or_else(|| missing(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}
