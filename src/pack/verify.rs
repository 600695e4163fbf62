//! Whether a zip is a whole pack, and the one that was released.

use std::collections::{BTreeMap, BTreeSet};

use git2::Repository;
use serde::Serialize;

use super::archive;
use super::content::sha256;
use super::edition::Edition;
use super::model::{FORMAT, Manifest};
use super::name::{is_slug, tag_name};
use super::outputs::MANIFEST;
use super::tag;

/// What was found, check by check. As JSON it has the shape of `schema/verify.schema.json`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// The version of the format.
    pub format: u32,
    /// Whether no check failed.
    pub passed: bool,
    /// SHA-256 of the zip.
    pub sha256: String,
    /// The tag that the pack says it was released under.
    pub tag: Option<String>,
    /// The commit that the pack says it was built from.
    pub commit: Option<String>,
    /// The checks, in the order in which they are made.
    pub checks: Vec<Check>,
}

/// One check.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Check {
    /// Its name.
    pub name: &'static str,
    /// How it went.
    pub state: State,
    /// What was found, in a plain sentence.
    pub sentence: String,
}

/// How a check went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// As it should be.
    Passed,
    /// Not as it should be.
    Failed,
    /// There was nothing to look at: no repository, or an earlier check failed.
    Skipped,
}

/// Checks a zip, and with a repository also that it is the one that was released.
///
/// Whatever the bytes: it never panics, and reads no more than the limits of packs allow.
pub fn verify(repository: Option<&Repository>, zip: &[u8]) -> Verdict {
    let mut checks = Vec::new();
    let sha256 = sha256(zip);
    let files = archive::read(zip);
    checks.push(match &files {
        Ok(files) => passed("readable", format!("the zip can be read; it holds {} files", files.len())),
        Err(why) => failed("readable", format!("the zip cannot be read: {why}")),
    });
    let manifest = match &files {
        Ok(files) => manifest(files, &mut checks),
        Err(_) => {
            skip(&mut checks, &[MANIFEST], "the zip cannot be read");
            None
        }
    };
    let files = files.unwrap_or_default();
    match &manifest {
        Some(manifest) => listed_files(manifest, &files, &mut checks),
        None => skip(&mut checks, &["files", "nothing-else"], "the list of files cannot be read"),
    }
    let number = manifest.as_ref().and_then(|manifest| manifest.edition.number());
    let tag = manifest.as_ref().zip(number).map(|(manifest, number)| tag_name(manifest.year, &manifest.term, number));
    match (repository, &manifest) {
        (Some(repository), Some(manifest)) => released(repository, manifest, tag.as_deref(), &sha256, &mut checks),
        (None, _) => skip(&mut checks, RELEASED, "there is no repository to compare with"),
        (_, None) => skip(&mut checks, RELEASED, "the pack does not say which edition it is"),
    }
    Verdict {
        format: FORMAT,
        passed: checks.iter().all(|check| check.state != State::Failed),
        sha256,
        tag,
        commit: manifest.map(|manifest| manifest.commit),
        checks,
    }
}

/// The checks that need a repository.
const RELEASED: &[&str] = &["tag", "commit", "digest"];

pub(super) fn passed(name: &'static str, sentence: impl Into<String>) -> Check {
    Check { name, state: State::Passed, sentence: sentence.into() }
}

pub(super) fn failed(name: &'static str, sentence: impl Into<String>) -> Check {
    Check { name, state: State::Failed, sentence: sentence.into() }
}

pub(super) fn skip(checks: &mut Vec<Check>, names: &[&'static str], why: &str) {
    let sentence = || format!("not looked at: {why}");
    checks.extend(names.iter().map(|name| Check { name, state: State::Skipped, sentence: sentence() }));
}

/// Reads `pack.json`.
fn manifest(files: &BTreeMap<String, Vec<u8>>, checks: &mut Vec<Check>) -> Option<Manifest> {
    let Some(bytes) = files.get(MANIFEST) else {
        checks.push(failed(MANIFEST, "there is no pack.json in it, so it is no pack"));
        return None;
    };
    match read_manifest(bytes) {
        Ok(manifest) => {
            let (cards, edition) = (manifest.cards.len(), manifest.edition);
            let term = manifest.term.replace('-', " ");
            let what = format!("{}, year {}, {term}, {edition}", manifest.department, manifest.year);
            checks.push(passed(MANIFEST, format!("pack.json can be read: {what}, {cards} cards")));
            Some(manifest)
        }
        Err(why) => {
            checks.push(failed(MANIFEST, format!("pack.json is not as this program writes it: {why}")));
            None
        }
    }
}

/// Reads a `pack.json`, or says what is wrong with it.
pub(super) fn read_manifest(bytes: &[u8]) -> Result<Manifest, String> {
    #[derive(serde::Deserialize)]
    struct Formatted {
        format: u32,
    }
    let format = serde_json::from_slice::<Formatted>(bytes).map_err(|error| error.to_string())?.format;
    if format != FORMAT {
        return Err(format!("it has format {format}, and this program reads format {FORMAT}"));
    }
    let manifest: Manifest = serde_json::from_slice(bytes).map_err(|error| error.to_string())?;
    let is_hex = |text: &str, lengths: &[usize]| {
        lengths.contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
    };
    if !is_slug(&manifest.term) {
        return Err(format!("`{}` is no term", manifest.term.escape_debug()));
    }
    if !is_hex(&manifest.commit, &[40, 64]) {
        return Err(format!("`{}` is no commit", manifest.commit.escape_debug()));
    }
    if manifest.cards.iter().enumerate().any(|(at, card)| card.number != at + 1) {
        return Err("the cards are not numbered from 1".to_owned());
    }
    if manifest.files.iter().any(|file| !is_hex(&file.sha256, &[64])) {
        return Err("a file has no SHA-256".to_owned());
    }
    Ok(manifest)
}

/// Compares the files with the list of them.
fn listed_files(manifest: &Manifest, files: &BTreeMap<String, Vec<u8>>, checks: &mut Vec<Check>) {
    let mut wrong = Vec::new();
    for listed in &manifest.files {
        let name = listed.name.escape_debug();
        match files.get(&listed.name) {
            None => wrong.push(format!("`{name}` is missing")),
            Some(bytes) if bytes.len() as u64 != listed.size || sha256(bytes) != listed.sha256 => {
                wrong.push(format!("`{name}` is not the file that was put in"));
            }
            Some(_) => {}
        }
    }
    let count = manifest.files.len();
    checks.push(match wrong.as_slice() {
        [] => passed("files", format!("all {count} listed files are there, whole and unchanged")),
        wrong => failed("files", wrong.join("; ")),
    });
    let listed: BTreeSet<&str> = manifest.files.iter().map(|file| file.name.as_str()).collect();
    let extra: Vec<&str> =
        files.keys().map(String::as_str).filter(|name| *name != MANIFEST && !listed.contains(name)).collect();
    checks.push(if !extra.is_empty() {
        failed("nothing-else", format!("it also holds what no pack has: {}", extra.join(", ")))
    } else if listed.len() < count || listed.contains(MANIFEST) {
        failed("nothing-else", "its list of files names one twice, or itself")
    } else {
        passed("nothing-else", "it holds nothing besides")
    });
}

/// Compares the pack with the tag it was released under.
fn released(repository: &Repository, manifest: &Manifest, tag: Option<&str>, sha256: &str, checks: &mut Vec<Check>) {
    let Some(tag) = tag else {
        checks.push(failed("tag", format!("this is a {}; it was never released", Edition::Preview)));
        return skip(checks, &RELEASED[1..], "a preview has no tag");
    };
    let edition = match tag::edition(repository, tag) {
        Ok(edition) => edition,
        Err(_) => {
            checks.push(failed("tag", format!("this repository has no tag {tag}; fetch the tags and try again")));
            return skip(checks, &RELEASED[1..], "there is no tag to compare with");
        }
    };
    checks.push(passed("tag", format!("the tag {tag} is there")));
    let commit = edition.commit.to_string();
    checks.push(if commit == manifest.commit {
        passed("commit", format!("the tag points to the commit that the pack names, {commit}"))
    } else {
        failed("commit", format!("the pack names commit {}, but the tag points to {commit}", manifest.commit))
    });
    checks.push(match edition.digest {
        Some(digest) if digest == sha256 => passed("digest", "the tag holds the SHA-256 of this very zip"),
        Some(_) => failed("digest", "the tag holds the SHA-256 of another zip: this is not the one that was released"),
        None => failed("digest", "the tag holds no SHA-256: it was not set by a release"),
    });
}
