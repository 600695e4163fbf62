//! Files that would be passed over in silence: a deck by another name or without a folder of its own, a
//! link, and names that are one and the same on many computers.

use std::collections::{BTreeMap, BTreeSet};

use unicode_normalization::UnicodeNormalization;

use super::department::{CARDS, deck_of, is_text};
use crate::finding::{Finding, Level};
use crate::place::Place;
use crate::snapshot::Kind;

/// What is wrong with the names and kinds of `files`; links among the pictures that cards show, `shown`, are
/// left to the rule for pictures.
pub(super) fn strays(files: &BTreeMap<String, Kind>, shown: &BTreeSet<String>) -> Vec<Finding> {
    let mut found = Vec::new();
    for (path, kind) in files.iter().filter(|(path, _)| !is_hidden(path)) {
        match kind {
            Kind::File { .. } => found.extend(misnamed(path)),
            Kind::Link if is_text(path) || shown.contains(path) => {}
            Kind::Link => found.push(link(path)),
            Kind::Misnamed => found.push(unnamed(path)),
        }
    }
    found.extend(same_but_for_capitals(files));
    for finding in &mut found {
        finding.deck = deck_around(files, &finding.place.path);
    }
    found
}

/// Whether a file or a folder on its way is hidden: what editors keep for themselves.
fn is_hidden(path: &str) -> bool {
    path.split('/').any(|part| part.starts_with('.'))
}

fn misnamed(path: &str) -> Option<Finding> {
    let (folder, name) = path.rsplit_once('/')?;
    if name == CARDS && folder == "decks" {
        return Some(
            finding(path, format!("this file is not read: a deck's `{CARDS}` stands in a folder of its own"))
                .help(format!("move it into a folder that names the deck, such as `decks/year-8/rivers/{CARDS}`")),
        );
    }
    let lower = name.to_lowercase();
    let meant = matches!(
        lower.as_str(),
        "cards.yaml" | "cards.yml" | "card.yaml" | "card.yml" | "cards.yaml.txt" | "cards.yml.txt"
    );
    (meant && name != CARDS).then(|| {
        finding(path, format!("this file is not read: a deck's file is called `{CARDS}`, not `{name}`"))
            .help(format!("rename it to `{CARDS}`; if the folder has one already, move the cards into that"))
    })
}

fn link(path: &str) -> Finding {
    let message = "this is a link to another file or folder; what it leads to does not belong to the department";
    finding(path, message.to_owned()).help("put the files themselves here, or take the link out")
}

fn unnamed(path: &str) -> Finding {
    let message = "this file is not read: its name holds letters that other computers cannot read (it is not UTF-8)";
    finding(path, message.to_owned())
        .help("give the file, or the folder it is in, a name of plain letters, digits and hyphens")
}

/// Files and folders beside each other whose names differ only in capitals, or in how their accents are stored. Of folders, the first file in
/// them stands for them.
fn same_but_for_capitals(files: &BTreeMap<String, Kind>) -> Vec<Finding> {
    let mut names: BTreeMap<(&str, String), BTreeMap<&str, &str>> = BTreeMap::new();
    for path in files.keys() {
        let ends = path.match_indices('/').map(|(at, _)| at).chain([path.len()]);
        for end in ends {
            let part = &path[..end];
            let (folder, name) = part.rsplit_once('/').unwrap_or(("", part));
            let folded = name.nfc().collect::<String>().to_lowercase();
            names.entry((folder, folded)).or_default().entry(part).or_insert(path);
        }
    }
    let mut found = Vec::new();
    for alike in names.into_values().filter(|alike| alike.len() > 1) {
        let parts: Vec<&str> = alike.keys().copied().collect();
        for (part, file) in alike.into_iter().skip(1) {
            let capitals = parts[0].nfc().ne(part.nfc());
            let what = if capitals { "in capitals" } else { "in how accents are stored" };
            let message = format!(
                "`{}` and `{part}` differ only {what}: on many computers only one of them can be there",
                parts[0]
            );
            found.push(finding(file, message).help("give one of them another name, or put both together"));
        }
    }
    found
}

/// The deck in whose folder a file stands.
fn deck_around(files: &BTreeMap<String, Kind>, path: &str) -> Option<String> {
    let mut folder = path;
    while let Some((above, _)) = folder.rsplit_once('/') {
        folder = above;
        let deck = format!("{folder}/{CARDS}");
        if files.contains_key(&deck) {
            return deck_of(&deck).map(str::to_owned);
        }
    }
    None
}

fn finding(path: &str, message: String) -> Finding {
    Finding::new("unreadable", Level::Error, Place::top_of(path), &message).about(message)
}
