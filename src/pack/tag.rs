//! The annotated tag of an edition: what it says, and finding the newest.

use git2::{Oid, Repository, Time};

use super::build::Built;
use super::error::ReleaseError;
use super::name::{parse_tag_name, tag_name};
use crate::snapshot::SnapshotError;

/// An edition that was released.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Released {
    pub number: u32,
    pub tag: String,
    pub commit: Oid,
    /// The department's folder in the repository when it was released.
    pub prefix: Option<String>,
    /// The digest of its zip.
    pub digest: Option<String>,
    /// When it was tagged; nothing for a tag that says nothing.
    pub tagged: Option<Time>,
}

const FOLDER: &str = "Folder: ";

/// What the tag of a pack says: what it is, and the digests of its zip and of each file in it, in the
/// form that `sha256sum --check` reads.
pub(super) fn message(built: &Built, prefix: &str) -> String {
    let pack = &built.pack;
    let (cards, topics) = (pack.cards.len(), pack.topics.len());
    let mut message = format!(
        "{}, year {}, {}, {}\n\nCards: {cards}\nTopics: {topics}\nCommit: {}\n",
        pack.department,
        pack.year,
        pack.term_in_words(),
        pack.edition,
        pack.commit
    );
    if !prefix.is_empty() {
        message.push_str(&format!("{FOLDER}{prefix}\n"));
    }
    message.push_str("\nSHA-256:\n");
    message.push_str(&format!("{}  {}\n", built.sha256, built.name));
    for file in &built.files {
        message.push_str(&format!("{}  {}\n", file.sha256, file.name));
    }
    message
}

/// The digest of the zip in a tag's message.
fn digest(message: &str) -> Option<String> {
    let lines = message.lines().filter_map(|line| line.split_once("  "));
    let is_digest =
        |text: &str| text.len() == 64 && text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    let mut zips = lines.filter(|(digest, name)| is_digest(digest) && name.ends_with(".zip"));
    zips.next().map(|(digest, _)| digest.to_owned())
}

/// Why a tag of that name, with that message and on that commit, is none that a release made: it names
/// no digest of a pack, or another pack or commit than its own. `None` when it is as a release writes it.
pub fn not_released(tag: &str, message: &str, commit: Oid) -> Option<&'static str> {
    let Some((year, term, number)) = parse_tag_name(tag) else {
        return Some("its name is not a year group, a term and a number");
    };
    if digest(message).is_none() {
        return Some("it holds no SHA-256 of a pack");
    }
    if message.lines().find_map(|line| line.strip_prefix("Commit: ")) != Some(commit.to_string().as_str()) {
        return Some("it was made for another commit than the one it stands on");
    }
    let title = message.lines().next().unwrap_or_default();
    let ours = format!(", year {year}, {}, edition {number}", term.replace('-', " "));
    (!title.ends_with(&ours)).then_some("it was made for another year group, term or edition")
}

/// The editions of a year group and term, by number.
pub(super) fn editions(repository: &Repository, year: u8, term: &str) -> Result<Vec<Released>, ReleaseError> {
    let pattern = tag_name(year, term, 0);
    let pattern = format!("{}*", pattern.trim_end_matches('0'));
    let names = repository.tag_names(Some(&pattern)).map_err(SnapshotError::git("the tags"))?;
    let mut editions = Vec::new();
    for name in names.iter().filter_map(|name| name.ok().flatten()) {
        if parse_tag_name(name).is_some_and(|(of, in_term, _)| of == year && in_term == term) {
            editions.push(edition(repository, name)?);
        }
    }
    editions.sort_by_key(|edition| edition.number);
    Ok(editions)
}

/// The edition of that tag.
pub(super) fn edition(repository: &Repository, tag: &str) -> Result<Released, ReleaseError> {
    let no_edition = || ReleaseError::NoEdition(tag.to_owned());
    parse_tag_name(tag).ok_or_else(no_edition)?;
    let lost =
        |error: git2::Error| ReleaseError::EditionBefore { tag: tag.to_owned(), why: error.message().to_owned() };
    let reference = repository.find_reference(&format!("refs/tags/{tag}")).map_err(lost)?;
    let id = reference.target().ok_or_else(no_edition)?;
    of_object(repository, tag, id)
}

/// The edition that a tag of that name would stand for if it pointed to the object.
pub(super) fn of_object(repository: &Repository, tag: &str, id: Oid) -> Result<Released, ReleaseError> {
    let (_, _, number) = parse_tag_name(tag).ok_or_else(|| ReleaseError::NoEdition(tag.to_owned()))?;
    let lost =
        |error: git2::Error| ReleaseError::EditionBefore { tag: tag.to_owned(), why: error.message().to_owned() };
    let commit = repository.find_object(id, None).and_then(|object| object.peel_to_commit()).map_err(lost)?.id();
    let annotated = repository.find_tag(id).ok();
    let tagged = annotated.as_ref().and_then(|tag| Some(tag.tagger()?.when()));
    let message = message_of(repository, id);
    let prefix = message.lines().find_map(|line| line.strip_prefix(FOLDER)).map(str::to_owned);
    Ok(Released { number, tag: tag.to_owned(), commit, digest: digest(&message), prefix, tagged })
}

/// What a tag says; nothing for one without a message.
pub(super) fn message_of(repository: &Repository, id: Oid) -> String {
    let annotated = repository.find_tag(id).ok();
    let message = annotated.and_then(|tag| Some(String::from_utf8_lossy(tag.message_bytes()?).into_owned()));
    message.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digest_is_that_of_the_zip() {
        let (zip, csv) = ("a".repeat(64), "b".repeat(64));
        let message = format!("Geography\n\nSHA-256:\n{zip}  g-year-8.zip\n{csv}  cards.csv\n");
        assert_eq!(digest(&message), Some(zip.clone()));
        for other in [
            format!("{csv}  cards.csv\n"),
            format!("{}  g.zip", &zip[1..]),
            format!("{}  g.zip", "Z".repeat(64)),
            String::new(),
        ] {
            assert_eq!(digest(&other), None, "{other}");
        }
    }
}
