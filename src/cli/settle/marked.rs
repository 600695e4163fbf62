//! Decks in which git left both sides between its marks, so that nothing in them can be settled.

use git2::{Index, IndexEntry, Repository};

use crate::cli::error::CliError;
use crate::deck::department::deck_of;
use crate::git::site::Site;
use crate::merge::{Label, merge_texts};
use crate::report::harmless;

/// What is wrong with each such deck, and what to do about it.
pub fn marked(site: &Site) -> Result<Vec<String>, CliError> {
    let (Some(root), Some(repository)) = (&site.root, &site.repository) else { return Ok(Vec::new()) };
    let failed = |error: git2::Error| CliError::new(format!("git's index cannot be read: {}", error.message()));
    let index = repository.index().map_err(failed)?;
    let mut found = Vec::new();
    for path in unmerged_decks(&index, &site.prefix) {
        let Ok(bytes) = std::fs::read(root.join(&path)) else { continue };
        if !has_marks(&String::from_utf8_lossy(&bytes)) {
            continue;
        }
        let whole = format!("{}{path}", site.prefix);
        let advice = if goes_by_cards(repository, &index, &whole) { by_cards(&path) } else { by_hand(&path) };
        found.push(format!("git left both sides between `<<<<<<<` and `>>>>>>>` in {}\n{advice}", harmless(&path)));
    }
    Ok(found)
}

fn by_cards(path: &str) -> String {
    let path = harmless(path);
    format!(
        "  It was merged line by line, not card by card, so there is no list of versions to choose from.\n  Merge it again by cards:\n    deckle hooks\n    git checkout --merge -- {path}\n  then `deckle settle`, and `git add {path}`. What you changed between the marks is lost by that.\n  Or give the merge up with `git merge --abort`.\n"
    )
}

fn by_hand(path: &str) -> String {
    let path = harmless(path);
    format!(
        "  One side could not be read as a deck, so it was merged line by line.\n  Keep the right lines, take the three lines of marks out, look at it with `deckle check`, then `git add {path}`.\n  Or give the merge up with `git merge --abort` and mend the deck on its branch first.\n"
    )
}

/// The decks that git holds in several versions, from the top of the department, each once.
fn unmerged_decks(index: &Index, prefix: &str) -> Vec<String> {
    let stage = |entry: &IndexEntry| entry.flags >> 12 & 3;
    let name = |entry: IndexEntry| {
        let path = String::from_utf8(entry.path).ok()?;
        let path = path.strip_prefix(prefix)?;
        deck_of(path).map(|_| path.to_owned())
    };
    let mut paths: Vec<String> = index.iter().filter(|entry| stage(entry) > 0).filter_map(name).collect();
    paths.dedup();
    paths
}

fn has_marks(text: &str) -> bool {
    let mark = |sign: &str| text.lines().any(|line| line.starts_with(sign));
    mark("<<<<<<< ") && mark(">>>>>>> ")
}

/// Whether the versions that git holds can be merged card by card.
fn goes_by_cards(repository: &Repository, index: &Index, path: &str) -> bool {
    let text = |stage: i32| {
        let entry = index.get_path(path.as_ref(), stage)?;
        let blob = repository.find_blob(entry.id).ok()?;
        String::from_utf8(blob.content().to_vec()).ok()
    };
    let label = |_: usize, _: &str, _: &str| Label { side: String::new(), by: None, when: None };
    let sides = text(2).zip(text(3));
    sides.is_some_and(|(ours, theirs)| merge_texts(&text(1).unwrap_or_default(), &[&ours, &theirs], &label).is_some())
}
