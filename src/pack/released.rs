//! A zip that is an edition as it was released, with all that its tag and its commit tell about it.

use std::collections::BTreeMap;

use git2::Repository;

use super::archive;
use super::choose::the_term;
use super::commit::{commit, folder, read, timestamp};
use super::differences::{Differences, differences};
use super::edition::Edition;
use super::error::ReleaseError;
use super::model::{Manifest, Pack};
use super::name::{tag_name, zip_name};
use super::outputs::MANIFEST;
use super::release::pack_of;
use super::tag;
use super::verify::{State, Verdict, read_manifest, verify};

/// An edition as it was released.
#[derive(Clone, Debug)]
pub struct ReleasedPack {
    /// Its `pack.json`.
    pub manifest: Manifest,
    /// Its number.
    pub number: u32,
    /// Its tag.
    pub tag: String,
    /// When it was tagged, by RFC 3339.
    pub tagged: String,
    /// The day on which its term starts.
    pub term_starts: String,
    /// The name of its zip.
    pub name: String,
    /// The zip.
    pub zip: Vec<u8>,
    /// SHA-256 of the zip.
    pub sha256: String,
    /// The files in it, by name.
    pub files: BTreeMap<String, Vec<u8>>,
    /// The number of the edition before, and what is different since then; nothing for the first.
    pub since: Option<(u32, Differences)>,
}

/// Why a zip is no edition as it was released.
#[derive(Debug, thiserror::Error)]
pub enum NotReleased {
    /// It does not pass [`verify`].
    #[error("it is not the pack that was released")]
    Verdict(Box<Verdict>),
    /// Its commit, or that of the edition before, cannot be read.
    #[error(transparent)]
    Release(#[from] ReleaseError),
}

/// The edition that `zip` holds. Nothing is taken from the zip unless it is the very one that was
/// released; what else there is to know comes from the tags and their commits, so that the same zip
/// tells the same in every clone.
///
/// # Errors
///
/// When it was not released so, or the commits are not in the repository.
pub fn released_pack(repository: &Repository, zip: Vec<u8>) -> Result<ReleasedPack, NotReleased> {
    let verdict = verify(Some(repository), &zip);
    let tag = verdict.tag.clone().filter(|_| verdict.checks.iter().all(|check| check.state == State::Passed));
    let Some(tag) = tag else { return Err(NotReleased::Verdict(Box::new(verdict))) };
    let files = archive::read(&zip).map_err(ReleaseError::NoPack)?;
    let manifest = read_manifest(files.get(MANIFEST).map_or(&[][..], Vec::as_slice)).map_err(ReleaseError::NoPack)?;
    let released = tag::edition(repository, &tag)?;
    let prefix = folder(released.prefix.as_deref().unwrap_or_default());
    let commit = commit(repository, &manifest.commit).map_err(ReleaseError::from)?;
    let department = read(repository, &commit, &prefix)?;
    let starts = the_term(&department.settings, &manifest.term).map_err(ReleaseError::from)?.starts;
    Ok(ReleasedPack {
        number: released.number,
        tagged: timestamp(released.tagged.unwrap_or_else(|| commit.time())),
        term_starts: starts.to_string(),
        name: zip_name(&manifest.department, manifest.year, &manifest.term, Edition::Number(released.number)),
        since: since(repository, &prefix, &manifest, &tag)?,
        sha256: verdict.sha256,
        manifest,
        tag,
        zip,
        files,
    })
}

/// The SHA-256 of the zip that was released under a tag; `None` when there is no such tag, or it was not
/// set by a release.
pub fn digest_of(repository: &Repository, tag: &str) -> Option<String> {
    tag::edition(repository, tag).ok()?.digest
}

fn since(
    repository: &Repository,
    prefix: &str,
    manifest: &Manifest,
    tag: &str,
) -> Result<Option<(u32, Differences)>, ReleaseError> {
    let Some(previous) = &manifest.previous else { return Ok(None) };
    let number = previous.edition;
    let of = |tag: &str| -> Result<Pack, ReleaseError> {
        pack_of(repository, prefix, &tag::edition(repository, tag)?, manifest.year, &manifest.term)
    };
    let before = of(&tag_name(manifest.year, &manifest.term, number))?;
    Ok(Some((number, differences(&before, &of(tag)?))))
}

#[cfg(test)]
mod tests {
    use super::super::support::{Repo, department_files, made};
    use super::*;

    #[test]
    fn an_edition_tells_what_it_corrected_and_when_it_was_tagged() {
        let repo = Repo::with_department();
        let first = released_pack(&repo.repository, made(repo.release()).built.zip).expect("released");
        assert_eq!((first.number, first.term_starts.as_str()), (1, "2026-09-02"));
        assert_eq!(first.name, "geography-year-8-autumn-2026-edition-1.zip");
        assert!(first.since.is_none() && first.files.contains_key("cards.pdf"));
        let mut files = department_files();
        let rivers = files.get_mut("decks/year-8/rivers/cards.yaml").expect("the deck");
        *rivers = String::from_utf8_lossy(rivers).replace("33 knots", "34 knots").into();
        let notes = files.get_mut("decks/year-8/rivers/notes.md").expect("the notes");
        *notes = String::from_utf8_lossy(notes).replace("33 knots", "34 knots").into();
        repo.commit(&files);
        let second = released_pack(&repo.repository, made(repo.release()).built.zip).expect("released");
        let (before, differences) = second.since.expect("an edition before");
        assert_eq!((second.number, before, differences.corrected[0].card.id.as_str()), (2, 1, "gale"));
        let tag = repo.repository.find_reference(&format!("refs/tags/{}", second.tag)).expect("there");
        let tagged = tag.peel_to_tag().expect("annotated").tagger().expect("somebody").when();
        assert_eq!(second.tagged, timestamp(tagged));
        assert_eq!(digest_of(&repo.repository, &second.tag), Some(second.sha256));
        assert_eq!(digest_of(&repo.repository, "packs/year-8/autumn-2026/3"), None);
    }

    #[test]
    fn what_was_not_released_is_no_edition() {
        let repo = Repo::with_department();
        let preview = released_pack(&repo.repository, made(repo.preview()).built.zip);
        assert!(matches!(preview, Err(NotReleased::Verdict(verdict)) if !verdict.passed));
        let zip = made(repo.release()).built.zip;
        let elsewhere = Repo::new(true, "");
        assert!(matches!(released_pack(&elsewhere.repository, zip), Err(NotReleased::Verdict(_))));
        assert!(matches!(released_pack(&repo.repository, b"PK".to_vec()), Err(NotReleased::Verdict(_))));
    }
}
