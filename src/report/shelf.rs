//! What happened to the shelf, in words.

use super::{capital, counted, harmless};
use crate::shelf::{Outcome, Published, Put};

/// The editions, then the pages; nothing is left out.
pub fn text(published: &Published) -> String {
    let mut text: String = published.editions.iter().map(|put| line(put, published.dry_run)).collect();
    let pages = published.pages.join(", ");
    let shelf = harmless(&published.shelf);
    text.push_str(&match (published.pages.is_empty(), published.dry_run) {
        (true, _) => format!("nothing is new on the shelf in {shelf}\n"),
        (false, true) => format!("nothing was written; these would be written anew in {shelf}: {pages}\n"),
        (false, false) => format!("the shelf is in {shelf}; written anew: {pages}\n"),
    });
    text
}

fn line(put: &Put, dry_run: bool) -> String {
    let would = |now: &str, then: &str| if dry_run { then.to_owned() } else { now.to_owned() };
    let what = match put.outcome {
        Outcome::New => would("is on the shelf", "would go on the shelf"),
        Outcome::There => "is there already, unchanged".to_owned(),
        Outcome::Again => would("was gone, and is there again", "is gone, and would be put there again"),
        Outcome::Withdrawn => would("is marked as withdrawn", "would be marked as withdrawn"),
        Outcome::Stays => "stays withdrawn".to_owned(),
        Outcome::Restored => would("is back on the shelf", "would be back on the shelf"),
    };
    let cards = counted(put.cards, "card", "cards");
    let corrected = if put.corrected == 0 { String::new() } else { format!(", {} corrected", put.corrected) };
    let reason = put.reason.as_ref().map(|reason| format!(": {}", harmless(reason))).unwrap_or_default();
    let edition = capital(&put.edition);
    let mut text = format!("{edition} ({cards}{corrected}) {what}{reason}\n  {}\n", put.folder);
    if put.outcome == Outcome::Withdrawn {
        text.push_str(
            "  its files stay where they are, since others may hold their addresses; the page offers them no more\n",
        );
    }
    text
}
