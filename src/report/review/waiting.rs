//! The first screen of a review: the proposals that wait.

use super::html;
use super::markdown::code;
use crate::change::{BesideCards, Counts};
use crate::check::Summary;
use crate::report::{capital, counted, day_in_words, harmless};

/// A proposal, as it is shown.
#[derive(Clone, Debug)]
pub struct Proposal {
    /// The branch.
    pub name: String,
    /// Who made it.
    pub by: Vec<String>,
    /// The day of its newest commit, as `2026-11-25`.
    pub when: String,
    /// How many commits it has.
    pub commits: usize,
    /// How many cards it changes, and how.
    pub cards: Counts,
    /// How much changed beside cards.
    pub beside_cards: BesideCards,
    /// How many findings it brings in.
    pub brings_in: Summary,
    /// What the lead has seen of it.
    pub seen: Seen,
    /// Other proposals that change some of the same cards, with how many.
    pub shares: Vec<(String, usize)>,
    /// Whether it is the branch that is checked out.
    pub here: bool,
}

/// What the lead has seen of a proposal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// Nothing that was remembered.
    New,
    /// It has gone on since.
    Changed,
    /// All of it.
    All,
}

/// All that waits, and where it would go.
#[derive(Clone, Debug)]
pub struct Waiting {
    /// The main branch.
    pub main: String,
    /// The proposals.
    pub proposals: Vec<Proposal>,
    /// What changed in the working folder and is not committed: cards, and what is beside them.
    pub uncommitted: Option<(Counts, BesideCards)>,
    /// Whether only those that are new or went on are shown.
    pub since_last_review: bool,
}

/// For a terminal.
pub fn text(waiting: &Waiting) -> String {
    let mut text = format!("{}\n", headline(waiting));
    for proposal in &waiting.proposals {
        text.push_str(&format!("\n{}\n", harmless(&proposal.name)));
        lines(proposal).iter().for_each(|line| text.push_str(&format!("  {}\n", harmless(line))));
        text.push_str(&format!("  deckle review {}\n", harmless(&quoted(&proposal.name))));
    }
    if let Some(line) = uncommitted(waiting) {
        text.push_str(&format!("\n{line}\n  deckle review --uncommitted\n"));
    }
    text
}

/// For a comment.
pub fn markdown(waiting: &Waiting) -> String {
    let mut text = format!("## {}\n\n", capital(&headline(waiting)));
    for proposal in &waiting.proposals {
        let by: Vec<String> = proposal.by.iter().map(|name| code(name)).collect();
        text.push_str(&format!("- {}: {}, {}\n", code(&proposal.name), by.join(", "), day_in_words(&proposal.when)));
        text.push_str(&format!("  - {}; {}\n", changed(proposal), brings_in(&proposal.brings_in)));
        for (other, number) in &proposal.shares {
            text.push_str(&format!("  - changes {} that {} changes too\n", shared(*number), code(other)));
        }
        text.extend(seen(proposal).map(|line| format!("  - {line}\n")));
    }
    text.extend(uncommitted(waiting).map(|line| format!("\n{}\n", capital(&line))));
    text
}

/// For a browser.
pub fn page(waiting: &Waiting) -> String {
    let mut main = String::new();
    for proposal in &waiting.proposals {
        let class = if proposal.brings_in.errors > 0 { " class=\"fact\"" } else { "" };
        main.push_str(&format!("<article{class}>\n<h2>{}</h2>\n", html::literal(&proposal.name)));
        lines(proposal).iter().for_each(|line| main.push_str(&format!("<p>{}</p>\n", html::literal(line))));
        main.push_str(&format!(
            "<p class=\"what\">To look at it: <code>deckle review {}</code></p>\n</article>\n",
            html::literal(&quoted(&proposal.name))
        ));
    }
    main.extend(uncommitted(waiting).map(|line| format!("<p>{}.</p>\n", capital(&line))));
    if main.is_empty() {
        main.push_str("<p>There is nothing to look at.</p>\n");
    }
    let header = format!("<h1>{}</h1>\n", html::literal(&capital(&headline(waiting))));
    html::document("Proposals", &header, &main)
}

fn headline(waiting: &Waiting) -> String {
    let what = if waiting.since_last_review { " with something new since your last look" } else { "" };
    match waiting.proposals.len() {
        0 => format!("no proposal{what} waits to go into {}", harmless(&waiting.main)),
        1 => format!("1 proposal{what} waits to go into {}", harmless(&waiting.main)),
        number => format!("{number} proposals{what} wait to go into {}", harmless(&waiting.main)),
    }
}

/// What there is to know of a proposal, a line each.
fn lines(proposal: &Proposal) -> Vec<String> {
    let commits = counted(proposal.commits, "commit", "commits");
    let here = if proposal.here { "; you are on it" } else { "" };
    let mut lines = vec![
        format!("{}, {}, {commits}{here}", proposal.by.join(", "), day_in_words(&proposal.when)),
        format!("{}; {}", changed(proposal), brings_in(&proposal.brings_in)),
    ];
    for (other, number) in &proposal.shares {
        lines.push(format!("changes {} that {other} changes too", shared(*number)));
    }
    lines.extend(seen(proposal).map(str::to_owned));
    lines
}

fn shared(number: usize) -> String {
    counted(number, "card", "cards")
}

fn seen(proposal: &Proposal) -> Option<&'static str> {
    match proposal.seen {
        Seen::New => None,
        Seen::Changed => Some("has gone on since you last looked (--since-last-review shows how)"),
        Seen::All => Some("you have looked at all of it"),
    }
}

fn changed(proposal: &Proposal) -> String {
    super::overview_of(&proposal.cards, &proposal.beside_cards)
}

fn brings_in(summary: &Summary) -> String {
    let parts: Vec<String> = [
        (summary.errors, "error", "errors"),
        (summary.warnings, "warning", "warnings"),
        (summary.advice, "piece of advice", "pieces of advice"),
    ]
    .into_iter()
    .filter(|(number, _, _)| *number > 0)
    .map(|(number, one, many)| counted(number, one, many))
    .collect();
    if parts.is_empty() { "brings in no findings".to_owned() } else { format!("brings in {}", parts.join(", ")) }
}

fn uncommitted(waiting: &Waiting) -> Option<String> {
    let (counts, beside) = waiting.uncommitted.as_ref()?;
    Some(format!("not committed yet in your folder: {}", super::overview_of(counts, beside)))
}

/// For a shell, when the name needs it.
fn quoted(name: &str) -> String {
    let plain = name.chars().all(|c| c.is_ascii_alphanumeric() || "-_./+@".contains(c));
    if plain { name.to_owned() } else { format!("'{}'", name.replace('\'', "'\\''")) }
}
