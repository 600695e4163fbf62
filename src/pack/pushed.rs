//! Whether the tag of an edition that is about to come into a repository is what a release made: the
//! pack is built again from its commit, and its digests are held against those in the tag.

use git2::{Oid, Repository};

use super::error::ReleaseError;
use super::name::parse_tag_name;
use super::release::rebuild_among;
use super::tag;

/// What differs between the pack that the tag names and the one that its commit gives: the names of
/// files, or of the zip itself when all files are the same. Empty when it is the same to the last byte.
///
/// `with` are the other tags that come with it, of which one may be the edition before.
///
/// # Errors
///
/// When the tag is none of an edition, or its commit gives no pack.
pub fn differing_from_its_commit(
    repository: &Repository,
    name: &str,
    id: Oid,
    with: &[(String, Oid)],
) -> Result<Vec<String>, ReleaseError> {
    let no_edition = || ReleaseError::NoEdition(name.to_owned());
    let (year, term, _) = parse_tag_name(name).ok_or_else(no_edition)?;
    let released = tag::of_object(repository, name, id)?;
    let mut editions = tag::editions(repository, year, &term)?;
    for (name, id) in with {
        let is_of_term = parse_tag_name(name).is_some_and(|(of, in_term, _)| of == year && in_term == term);
        if is_of_term && editions.iter().all(|edition| edition.tag != *name) {
            editions.push(tag::of_object(repository, name, *id)?);
        }
    }
    editions.sort_by_key(|edition| edition.number);
    let built = rebuild_among(repository, &released, &editions)?;
    if released.digest.as_ref() == Some(&built.sha256) {
        return Ok(Vec::new());
    }
    let message = tag::message_of(repository, id);
    let listed = |name: &str, digest: &str| message.lines().any(|line| line == format!("{digest}  {name}"));
    let files = built.files.iter().filter(|file| !listed(&file.name, &file.sha256)).map(|file| file.name.clone());
    let files: Vec<String> = files.collect();
    Ok(if files.is_empty() { vec![built.name] } else { files })
}
