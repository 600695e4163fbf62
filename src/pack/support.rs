//! Packs made by hand and small repositories, for tests.

use std::path::{Path, PathBuf};

use git2::{Commit, Index, IndexEntry, IndexTime, Oid, Repository, RepositoryInitOptions, Signature, Time};

use super::edition::Edition;
use super::model::{Pack, PackCard, PackQuestion, PackSession, Tier, Topic};
use super::{Made, Mode, Options, Release, ReleaseError, release};
use crate::change::support::{Files, files};
use crate::progress::Quiet;

/// A card of the topic Rivers.
pub(super) fn card(id: &str, question: &str, answer: &str) -> PackCard {
    PackCard {
        number: 0,
        id: id.to_owned(),
        deck: "rivers".to_owned(),
        topic: "Rivers".to_owned(),
        tier: Tier::Core,
        questions: vec![further(question, answer)],
        both_ways: false,
        needs: Vec::new(),
        see: Vec::new(),
        pictures: Vec::new(),
        caution: None,
        tags: Vec::new(),
        allow: Default::default(),
    }
}

/// A further question.
pub(super) fn further(question: &str, answer: &str) -> PackQuestion {
    PackQuestion {
        question: question.to_owned(),
        answer: vec![answer.to_owned()],
        ordered: false,
        accept: Vec::new(),
        source: None,
        quote: Vec::new(),
    }
}

/// A pack of these cards, numbered as they stand.
pub(super) fn pack(mut cards: Vec<PackCard>) -> Pack {
    cards.iter_mut().enumerate().for_each(|(at, card)| card.number = at + 1);
    let count = cards.len();
    let topic =
        Topic { deck: "rivers".to_owned(), title: "Rivers".to_owned(), taught_on: None, colour: None, cards: count };
    Pack {
        department: "Geography".to_owned(),
        school: "Ambleford Quay School".to_owned(),
        year: 8,
        term: "autumn-2026".to_owned(),
        edition: Edition::Number(2),
        commit: "0123456789abcdef0123456789abcdef01234567".to_owned(),
        released: "2026-11-25T10:00:00+00:00".to_owned(),
        previous: None,
        session: PackSession { minutes: 20, review_days: vec![1, 7, 21] },
        topics: vec![topic],
        cards,
        corrected: Default::default(),
    }
}

/// A repository in a folder of its own, and what tests do with it.
pub(super) struct Repo {
    pub folder: tempfile::TempDir,
    pub repository: Repository,
    pub prefix: &'static str,
}

/// Two decks of year 8 in autumn, one card a deck that needs another.
pub(super) fn department_files() -> Files {
    let settings = "department: Geography\nschool: Ambleford Quay School\nyears: [8]\n\
        terms:\n  - {name: autumn, starts: 2026-09-02, ends: 2026-12-18}\n\
        colours:\n  rivers: '#1f5f5b'\n\
        scheme:\n  - {deck: year-8/rivers, term: autumn, taught_on: 2026-09-21}\n  - {deck: year-8/coasts, term: autumn}\n";
    let rivers = "title: Rivers\nyear: 8\ncards:\n\
        \x20 - id: fetch\n    question: What is fetch?\n    answer: The distance over which wind blows\n    needs: [wave]\n\
        \x20 - id: gale\n    question: Which wind speed is a gale?\n    answer: 33 knots\n    tags: [wind]\n    source: notes.md#wind\n    quote: A gale has 33 knots.\n";
    let coasts = "title: Coasts\nyear: 8\ncards:\n\
        \x20 - id: wave\n    question: What makes a wave?\n    answer: [Wind, Earthquakes]\n    pictures:\n      - {file: wave.svg, alt: A wave, credit: The department, licence: CC0}\n\
        \x20 - id: spit\n    question: What is a spit?\n    answer: A ridge of sand\n    draft: true\n";
    files(&[
        ("decks/department.yaml", settings),
        ("decks/year-8/rivers/cards.yaml", rivers),
        ("decks/year-8/rivers/notes.md", "# Wind\n\nA gale has 33 knots.\n"),
        ("decks/year-8/coasts/cards.yaml", coasts),
        ("decks/year-8/coasts/wave.svg", "<svg xmlns='http://www.w3.org/2000/svg'/>"),
    ])
}

impl Repo {
    /// An empty repository; the department's top is the folder `prefix`.
    pub fn new(bare: bool, prefix: &'static str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let mut options = RepositoryInitOptions::new();
        options.bare(bare).initial_head("main").external_template(false);
        let repository = Repository::init_opts(folder.path().join("repository"), &options).expect("a repository");
        let mut config = repository.config().expect("settings");
        let by = signature();
        let (name, email) = (by.name().unwrap_or_default(), by.email().unwrap_or_default());
        config.set_str("user.name", name).and_then(|()| config.set_str("user.email", email)).expect("settings");
        // Whoever runs the tests may sign their own tags.
        for setting in ["tag.gpgSign", "tag.forceSignAnnotated"] {
            config.set_bool(setting, false).expect("settings");
        }
        Self { folder, repository, prefix }
    }

    /// One with a first commit of [`department_files`].
    pub fn with_department() -> Self {
        let repo = Self::new(true, "");
        repo.commit(&department_files());
        repo
    }

    /// Commits exactly these files to the main branch.
    pub fn commit(&self, files: &Files) -> Oid {
        let mut index = Index::new().expect("an index");
        for (path, bytes) in files {
            let id = self.repository.blob(bytes).expect("a blob");
            let zero = IndexTime::new(0, 0);
            let path = format!("{}{path}", self.prefix).into_bytes();
            let entry = IndexEntry {
                ctime: zero,
                mtime: zero,
                dev: 0,
                ino: 0,
                mode: 0o100_644,
                uid: 0,
                gid: 0,
                file_size: 0,
                id,
                flags: 0,
                flags_extended: 0,
                path,
            };
            index.add(&entry).expect("an entry");
        }
        let tree = index.write_tree_to(&self.repository).expect("a tree");
        let tree = self.repository.find_tree(tree).expect("a tree");
        let parent = self.repository.head().ok().and_then(|head| head.peel_to_commit().ok());
        let parents: Vec<&Commit<'_>> = parent.iter().collect();
        let by = signature();
        self.repository.commit(Some("refs/heads/main"), &by, &by, "a change", &tree, &parents).expect("a commit")
    }

    /// Where zips go.
    pub fn out(&self) -> PathBuf {
        self.folder.path().join("out")
    }

    /// Releases the next edition of year 8 in autumn.
    pub fn release(&self) -> Result<Release, ReleaseError> {
        self.release_at("main", &self.out())
    }

    /// Releases it from `rev` into `out`.
    pub fn release_at(&self, rev: &str, out: &Path) -> Result<Release, ReleaseError> {
        let options = Options { out, mode: Mode::Edition, progress: &Quiet };
        release(&self.repository, self.prefix, rev, 8, "autumn", &options)
    }

    /// Builds a preview of it.
    pub fn preview(&self) -> Result<Release, ReleaseError> {
        let out = self.out();
        release(
            &self.repository,
            self.prefix,
            "main",
            8,
            "autumn",
            &Options { out: &out, mode: Mode::Preview, progress: &Quiet },
        )
    }

    /// The names of all tags.
    pub fn tags(&self) -> Vec<String> {
        let names = self.repository.tag_names(None).expect("tags");
        names.iter().filter_map(|name| name.ok().flatten().map(str::to_owned)).collect()
    }
}

/// Somebody, at a fixed time.
pub(super) fn signature() -> Signature<'static> {
    Signature::new("Mercy Okonjo", "m.okonjo@ambleford-quay.example", &Time::new(1_795_600_800, 0))
        .expect("a signature")
}

/// What was made.
#[track_caller]
pub(super) fn made(release: Result<Release, ReleaseError>) -> Made {
    match release {
        Ok(Release::Made(made)) => *made,
        other => panic!("{other:?}"),
    }
}
