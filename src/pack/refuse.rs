//! What must not be released.

use git2::{Commit, Repository};

use super::choose::Chosen;
use super::error::ReleaseError;
use super::tag::Released;
use crate::check::check;
use crate::deck::{Department, settings};
use crate::finding::{Finding, Level};

/// Refuses settings that cannot be read as they were meant: the scheme in them chooses the cards.
pub(super) fn refuse_settings(department: &Department) -> Result<(), ReleaseError> {
    let findings = department.findings.iter().filter(|finding| &*finding.place.path == settings::PATH);
    let findings = findings.chain(&department.settings.findings);
    let found: Vec<Finding> = findings.filter(|finding| finding.level == Level::Error).cloned().collect();
    if found.is_empty() { Ok(()) } else { Err(ReleaseError::Findings(found)) }
}

/// Refuses decks with findings of level error: in the decks themselves, in their notes, in the other
/// half of a pair, or in the settings, which say what belongs to the pack.
pub(super) fn refuse_errors(chosen: &Chosen<'_>) -> Result<(), ReleaseError> {
    let decks = chosen.decks.iter().map(|(_, deck)| *deck).chain(chosen.doubtful.iter().copied());
    let decks: Vec<(&str, String)> = decks.map(|deck| (deck.name.as_str(), deck.folder() + "/")).collect();
    let named = |deck: &Option<String>| deck.as_ref().is_some_and(|deck| decks.iter().any(|(name, _)| name == deck));
    let concerns = |finding: &Finding| {
        let path = &*finding.place.path;
        let in_folder = decks.iter().any(|(_, folder)| path.starts_with(folder.as_str()));
        let related = finding.related.iter().any(|related| named(&related.deck));
        path == settings::PATH || in_folder || named(&finding.deck) || related
    };
    let errors = |finding: &Finding| finding.level == Level::Error && concerns(finding);
    let found = check(chosen.department).filtered(errors).findings;
    if found.is_empty() { Ok(()) } else { Err(ReleaseError::Findings(found)) }
}

/// Refuses a commit that the newest edition was built on top of.
pub(super) fn refuse_older(
    repository: &Repository,
    commit: &Commit<'_>,
    newest: &Released,
) -> Result<(), ReleaseError> {
    // A history that cannot be walked (a shallow clone) cannot show that the commit is older.
    let older = repository.graph_descendant_of(newest.commit, commit.id()).unwrap_or(false);
    if older { Err(ReleaseError::Older { tag: newest.tag.clone() }) } else { Ok(()) }
}
