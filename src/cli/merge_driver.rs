//! `deckle merge-driver`.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};

use clap::Args;
use git2::{Oid, Repository};

use super::error::CliError;
use super::world::World;
use super::{Outcome, output};
use crate::git::authors::author_of;
use crate::merge::{Label, MergedText, merge_texts};
use crate::report::{counted, harmless};
use crate::snapshot::write;

/// Merge three versions of a deck, card by card; git calls it
#[derive(Debug, Args)]
#[command(hide = true)]
pub struct Arguments {
    /// The version that both sides started from (git's %O).
    base: PathBuf,
    /// Our version; the result is put here (git's %A).
    ours: PathBuf,
    /// Their version (git's %B).
    theirs: PathBuf,
    /// The deck's path in the repository (git's %P).
    #[arg(long)]
    path: String,
    /// What git calls our side (%X).
    #[arg(long, value_name = "NAME")]
    ours_name: Option<String>,
    /// What git calls their side (%Y).
    #[arg(long, value_name = "NAME")]
    theirs_name: Option<String>,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let texts = [&arguments.base, &arguments.ours, &arguments.theirs].map(|path| read(&world.path(path)));
    let [base, ours, theirs] = texts;
    let (base, ours, theirs) = (base?, ours?, theirs?);
    let target = world.path(&arguments.ours);
    let names = [arguments.ours_name.as_deref(), arguments.theirs_name.as_deref()];
    // Looked for only when something is undecided.
    let sides = OnceCell::new();
    let label = |side: usize, card: &str, field: &str| {
        sides.get_or_init(|| Sides::new(world, names)).label(side, &arguments.path, card, field)
    };
    let as_text = |bytes| std::str::from_utf8(bytes).ok();
    let merged = match (as_text(&base), as_text(&ours), as_text(&theirs)) {
        (Some(base), Some(ours), Some(theirs)) => merge_texts(base, &[ours, theirs], &label),
        _ => None,
    };
    match merged {
        Some(merged) => {
            // A file of git's own, which it reads at once.
            write::hand_over(&target, merged.text.as_bytes())?;
            report(&arguments.path, &merged);
            Ok(if merged.undecided.is_empty() { Outcome::Fine } else { Outcome::Findings })
        }
        None => by_lines(&arguments.path, &target, [&base, &ours, &theirs]),
    }
}

fn read(path: &Path) -> Result<Vec<u8>, CliError> {
    std::fs::read(path).map_err(|error| CliError::new(format!("{} cannot be read: {error}", path.display())))
}

fn report(path: &str, merged: &MergedText) {
    for renamed in &merged.renamed {
        let (from, to) = (harmless(&renamed.from), harmless(&renamed.to));
        output::note(&format!(
            "deckle: two new cards were called `{from}`; one of them is now `{to}`, and links to it in this deck follow; of links in other decks `deckle settle` tells, and in a rebase or cherry-pick `git grep {from}`"
        ));
    }
    if merged.undecided.is_empty() {
        return;
    }
    let fields = counted(merged.undecided.len(), "field was", "fields were");
    output::note(&format!("deckle: {fields} changed in different ways in {}; both values are kept:", harmless(path)));
    for (card, field) in &merged.undecided {
        let owner = if card.is_empty() { deck_name(path) } else { card };
        output::note(&format!("  deckle settle {} {}", harmless(owner), harmless(field)));
    }
}

fn deck_name(path: &str) -> &str {
    crate::deck::department::deck_of(path).unwrap_or(path)
}

/// A deck that cannot be read is merged line by line, as git would.
fn by_lines(path: &str, target: &Path, [base, ours, theirs]: [&[u8]; 3]) -> Result<Outcome, CliError> {
    // Merging lines is the one thing for which libgit2 is not set up by itself.
    _ = git2::Buf::new();
    let input = |bytes| {
        let mut input = git2::MergeFileInput::new();
        input.content(bytes);
        input
    };
    let failed = |error: git2::Error| CliError::new(format!("{path} cannot be merged: {}", error.message()));
    let (base, ours, theirs) = (input(base), input(ours), input(theirs));
    let mut options = git2::MergeFileOptions::new();
    options.our_label("ours").their_label("theirs");
    let merged = git2::merge_file(&base, &ours, &theirs, Some(&mut options)).map_err(failed)?;
    write::hand_over(target, merged.content())?;
    output::note(&format!(
        "deckle: {} cannot be read as a deck on both sides, so it was merged line by line",
        harmless(path)
    ));
    Ok(if merged.is_automergeable() { Outcome::Fine } else { Outcome::Findings })
}

/// Where the two sides' commits are, for telling who wrote what.
struct Sides {
    repository: Option<Repository>,
    tips: [Option<Oid>; 2],
}

impl Sides {
    fn new(world: &World, names: [Option<&str>; 2]) -> Self {
        let repository = world.site().ok().and_then(|site| site.repository);
        let tips = match &repository {
            None => [None, None],
            Some(repository) => {
                let head = repository.head().ok().and_then(|head| head.target());
                let merged = world.merged_heads().into_iter().find(|id| Some(*id) != head);
                [tip(repository, names[0]).or(head), tip(repository, names[1]).or(merged)]
            }
        };
        Self { repository, tips }
    }

    fn label(&self, side: usize, path: &str, card: &str, field: &str) -> Label {
        let name = ["ours", "theirs"].get(side).copied().unwrap_or_default();
        let author = self.repository.as_ref().zip(self.tips.get(side).copied().flatten());
        let author = author.and_then(|(repository, tip)| author_of(repository, tip, path, card, field));
        let (by, when) = author.map_or((None, None), |author| (Some(author.name), Some(author.when)));
        Label { side: name.to_owned(), by, when }
    }
}

/// The commit that git's name for a side stands for: a branch, or a commit with its subject behind it.
fn tip(repository: &Repository, name: Option<&str>) -> Option<Oid> {
    let name = name.filter(|name| !name.is_empty() && !name.starts_with('%'))?;
    let first = name.split([' ', ':']).next().unwrap_or(name);
    let commit = |name: &str| repository.revparse_single(name).and_then(|object| object.peel_to_commit()).ok();
    commit(name).or_else(|| commit(first)).map(|commit| commit.id())
}
