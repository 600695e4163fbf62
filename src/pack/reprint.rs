//! The cards of a pack once more, to be printed in another way than the pack itself holds them.

use git2::Repository;

use super::archive;
use super::choose::choose;
use super::commit::{commit, folder, origin, read};
use super::content;
use super::edition::Edition;
use super::error::ReleaseError;
use super::model::{Manifest, Pack};
use super::outputs::MANIFEST;
use super::refuse::{refuse_errors, refuse_settings};
use super::release::pack_of;
use super::tag;
use super::verify::{State, read_manifest, verify};
use crate::deck::Department;

/// A pack with the department that its pictures come from.
#[derive(Debug)]
pub struct Reprint {
    /// The pack.
    pub pack: Pack,
    /// The edition before, when the pack is an edition that has one.
    pub before: Option<Pack>,
    /// The department at the pack's commit.
    pub department: Department,
}

/// What a preview of `year` and `term` at the commit `rev` would hold, by the same rules as a release.
///
/// # Errors
///
/// As with [`release`](super::release): nothing to print, findings of level error, a commit that cannot
/// be read.
pub fn of_commit(
    repository: &Repository,
    prefix: &str,
    rev: &str,
    year: u8,
    term: &str,
) -> Result<Reprint, ReleaseError> {
    let commit = commit(repository, rev)?;
    let department = read(repository, &commit, &folder(prefix))?;
    refuse_settings(&department)?;
    let chosen = choose(&department, year, term)?;
    refuse_errors(&chosen)?;
    let pack = content::pack(&chosen, origin(&commit, Edition::Preview), None);
    Ok(Reprint { pack, before: None, department })
}

/// What the zip of an edition or of a preview holds, read from the commit that it names; `prefix` is the
/// department's folder, for previews.
///
/// Nothing is taken from the zip on trust: an edition has to be the one that was released, and the
/// cards and topics of any pack have to be those of its commit.
///
/// # Errors
///
/// When the zip is not such a pack, or its commit is not in the repository.
pub fn of_zip(repository: &Repository, prefix: &str, zip: &[u8]) -> Result<Reprint, ReleaseError> {
    let manifest = whole(zip)?;
    let prefix = match manifest.edition.number() {
        None => folder(prefix),
        Some(number) => {
            sound(Some(repository), zip)?;
            let tag = super::name::tag_name(manifest.year, &manifest.term, number);
            folder(&tag::edition(repository, &tag)?.prefix.unwrap_or_default())
        }
    };
    let missing = || format!("its commit {} is not in this repository; fetch and try again", manifest.commit);
    let commit = commit(repository, &manifest.commit).map_err(|_| ReleaseError::NoPack(missing()))?;
    let department = read(repository, &commit, &prefix)?;
    let chosen = choose(&department, manifest.year, &manifest.term)?;
    let pack = content::pack(&chosen, origin(&commit, manifest.edition), manifest.previous);
    if (&pack.cards, &pack.topics) != (&manifest.cards, &manifest.topics) {
        return Err(ReleaseError::NoPack("its cards are not those of the commit that it names".to_owned()));
    }
    let before = before(repository, &prefix, &pack)?;
    Ok(Reprint { pack, before, department })
}

/// The edition before the one that `pack` is.
fn before(repository: &Repository, prefix: &str, pack: &Pack) -> Result<Option<Pack>, ReleaseError> {
    let Some(number) = pack.edition.number() else { return Ok(None) };
    let earlier = tag::editions(repository, pack.year, &pack.term)?.into_iter().rfind(|one| one.number < number);
    earlier.map(|earlier| pack_of(repository, prefix, &earlier, pack.year, &pack.term)).transpose()
}

fn whole(zip: &[u8]) -> Result<Manifest, ReleaseError> {
    sound(None, zip)?;
    let files = archive::read(zip).map_err(ReleaseError::NoPack)?;
    let manifest = files.get(MANIFEST).map_or(&[][..], Vec::as_slice);
    read_manifest(manifest).map_err(ReleaseError::NoPack)
}

fn sound(repository: Option<&Repository>, zip: &[u8]) -> Result<(), ReleaseError> {
    let failed = verify(repository, zip).checks.into_iter().find(|check| check.state == State::Failed);
    failed.map_or(Ok(()), |check| Err(ReleaseError::NoPack(check.sentence)))
}
