//! Links and ids that git's own merge, one deck after another, left behind.

use std::collections::BTreeMap;

use crate::cli::error::CliError;
use crate::cli::{Outcome, output};
use crate::git::conclude::Underway;
use crate::git::reconcile::{Astray, astray_here, follow_links};
use crate::git::site::Site;
use crate::report::{counted, harmless};
use crate::snapshot::write;

/// Those in the working folder.
pub fn left_behind(site: &Site) -> Result<Vec<Astray>, CliError> {
    Ok(astray_here(site, &*site.here()?)?)
}

/// What they are and what to do, for people.
pub fn told(astray: &[Astray]) -> String {
    if astray.is_empty() {
        return String::new();
    }
    let mut text =
        "git merges one deck after another, so these did not follow cards that have another id now:\n".to_owned();
    for one in astray {
        let ids = one.ids.iter().map(|(from, to)| format!("`{}` should be `{}`", harmless(from), harmless(to)));
        let ids = ids.collect::<Vec<_>>().join(", ");
        text.push_str(&format!("  {} of `{}` in {}: {ids}\n", one.field, harmless(&one.card), harmless(&one.path)));
    }
    text + "  let them follow: deckle settle --links\n"
}

/// Lets them follow.
pub fn follow(site: &Site) -> Result<Outcome, CliError> {
    let astray = left_behind(site)?;
    if astray.is_empty() {
        output::result("every link has followed\n")?;
        return Ok(Outcome::Fine);
    }
    let mut decks: BTreeMap<&str, Vec<Astray>> = BTreeMap::new();
    for one in &astray {
        decks.entry(&one.path).or_default().push(one.clone());
    }
    let root = site.root()?;
    for (path, of_deck) in decks {
        let failed = |error: &dyn std::fmt::Display| CliError::new(format!("{}: {error}", harmless(path)));
        let full = root.join(path);
        let text = std::fs::read_to_string(&full).map_err(|error| failed(&error))?;
        let followed = follow_links(&text, &of_deck).map_err(|error| failed(&error))?;
        write::replace_text(&full, &text, &followed)?;
    }
    let fields = counted(astray.len(), "field follows", "fields follow");
    let finish = Underway::of(site.repository()?).finish();
    output::result(&format!("{fields} now; look at them with `git diff`, and finish with {finish}\n"))?;
    Ok(Outcome::Fine)
}
