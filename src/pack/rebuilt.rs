//! Whether a pack is what its commit gives: built again, and compared byte by byte.

use std::collections::{BTreeMap, BTreeSet};

use git2::Repository;

use super::archive;
use super::release::rebuild;
use super::verify::{State, Verdict, failed, passed, skip, verify};
use crate::progress::Progress;

/// [`verify`], and then builds the pack again from its tag's commit and compares the two byte by byte,
/// as the check `rebuild`.
pub fn verify_by_rebuilding(repository: Option<&Repository>, zip: &[u8], progress: &dyn Progress) -> Verdict {
    let mut verdict = verify(repository, zip);
    progress.step("building the pack again from its commit");
    let has_tag = verdict.checks.iter().any(|check| check.name == "tag" && check.state == State::Passed);
    match (repository, &verdict.tag) {
        (Some(repository), Some(tag)) if has_tag => verdict.checks.push(match rebuild(repository, tag) {
            Ok(built) if built.zip == zip => {
                passed("rebuild", "built again from its commit, it is the same byte for byte")
            }
            Ok(built) => failed(
                "rebuild",
                format!(
                    "built again from its commit by this program, it is another: {} (another version of \
                     `deckle` may make other bytes from the same commit)",
                    compared(zip, &built.zip)
                ),
            ),
            Err(error) => failed("rebuild", format!("it cannot be built again: {error}")),
        }),
        _ => skip(&mut verdict.checks, &["rebuild"], "there is no tag to build it from"),
    }
    verdict.passed = verdict.checks.iter().all(|check| check.state != State::Failed);
    verdict
}

/// Which files of the two zips differ.
fn compared(zip: &[u8], built: &[u8]) -> String {
    let (Ok(zip), Ok(built)) = (archive::read(zip), archive::read(built)) else {
        return "its files cannot be read".to_owned();
    };
    let differing = differing(&zip, &built);
    if differing.is_empty() {
        "its files are the same, the zip around them is not".to_owned()
    } else {
        differing.join("; ")
    }
}

fn differing(zip: &BTreeMap<String, Vec<u8>>, built: &BTreeMap<String, Vec<u8>>) -> Vec<String> {
    let names: BTreeSet<&String> = zip.keys().chain(built.keys()).collect();
    let said = names.into_iter().filter_map(|name| match (zip.get(name), built.get(name)) {
        (Some(here), Some(there)) if here == there => None,
        (Some(_), Some(_)) => Some(format!("`{}` differs", name.escape_debug())),
        (Some(_), None) => Some(format!("`{}` should not be in it", name.escape_debug())),
        _ => Some(format!("`{}` should be in it", name.escape_debug())),
    });
    said.collect()
}

#[cfg(test)]
mod tests {
    use super::super::support::{Repo, made};
    use super::*;
    use crate::progress::Quiet;

    #[test]
    fn a_pack_is_built_again_and_what_differs_is_named() {
        let repo = Repo::with_department();
        let zip = made(repo.release()).built.zip;
        let verdict = verify_by_rebuilding(Some(&repo.repository), &zip, &Quiet);
        assert!(verdict.passed && verdict.checks.last().unwrap().name == "rebuild", "{verdict:#?}");
        let mut files: Vec<(String, Vec<u8>)> = archive::read(&zip).unwrap().into_iter().collect();
        files.iter_mut().find(|(name, _)| name == "cards.csv").unwrap().1.push(b' ');
        files.retain(|(name, _)| name != "map.svg");
        files.push(("more.txt".to_owned(), Vec::new()));
        let verdict = verify_by_rebuilding(Some(&repo.repository), &archive::write(&files).unwrap(), &Quiet);
        let last = verdict.checks.last().unwrap();
        assert!(!verdict.passed && last.state == State::Failed);
        assert!(
            last.sentence
                .contains("another: `cards.csv` differs; `map.svg` should be in it; `more.txt` should not be in it ("),
            "{last:?}"
        );
        let verdict = verify_by_rebuilding(Some(&repo.repository), &made(repo.preview()).built.zip, &Quiet);
        assert_eq!(verdict.checks.last().unwrap().state, State::Skipped);
    }
}
