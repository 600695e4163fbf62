//! Which cards a pack holds, and in which order.

use std::collections::{BTreeMap, BTreeSet};

use super::order::teaching_order;
use crate::deck::settings::{Lesson, Settings, Term};
use crate::deck::{Card, Deck, Department};

/// The cards of a year group and term.
#[derive(Debug)]
pub struct Chosen<'d> {
    /// The department.
    pub department: &'d Department,
    /// The year group.
    pub year: u8,
    /// The term with its year, such as `autumn-2026`.
    pub term: String,
    /// The decks with the lines of the scheme that chose them, in teaching order.
    pub decks: Vec<(&'d Lesson, &'d Deck)>,
    /// The cards in teaching order: as the scheme has the decks and the decks have the cards, but each
    /// card behind those it needs. Drafts are left out.
    pub cards: Vec<(&'d Deck, &'d Card)>,
    /// Decks of that term of which the year group cannot be read.
    pub doubtful: Vec<&'d Deck>,
}

/// Why there is nothing to choose.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ChooseError {
    /// The settings have no such term.
    #[error("the settings have no term `{term}`{}", there_are(.known))]
    UnknownTerm {
        /// What was asked for.
        term: String,
        /// The terms there are.
        known: Vec<String>,
    },
    /// Several terms have that name.
    #[error("several terms are called `{term}`: write {}", .meant.join(" or "))]
    AmbiguousTerm {
        /// What was asked for.
        term: String,
        /// What may be meant.
        meant: Vec<String>,
    },
    /// The scheme has no deck of that year in that term.
    #[error("the scheme has no deck of year {year} in {term}; add one under `scheme:` in decks/department.yaml")]
    NotInScheme {
        /// The year group.
        year: u8,
        /// The term.
        term: String,
    },
    /// The scheme has no deck at all in that term.
    #[error("the scheme has no deck in {0}; add one under `scheme:` in decks/department.yaml")]
    NothingInTerm(String),
    /// All cards of the decks are drafts, or there are none.
    #[error("the decks of year {year} in {term} have no card that is ready; take `draft: true` off those that are")]
    NoCards {
        /// The year group.
        year: u8,
        /// The term.
        term: String,
    },
}

fn there_are(terms: &[String]) -> String {
    if terms.is_empty() { String::new() } else { format!("; it has {}", terms.join(", ")) }
}

/// The cards of `year` in the term of that name (`autumn`, or `autumn-2026`).
///
/// # Errors
///
/// When there is no such term or nothing in it.
pub fn choose<'d>(department: &'d Department, year: u8, term: &str) -> Result<Chosen<'d>, ChooseError> {
    let settings = &department.settings;
    let term = the_term(settings, term)?;
    let slug = term.slug();
    let mut decks: Vec<(&Lesson, &Deck)> = Vec::new();
    let mut doubtful = Vec::new();
    for lesson in settings.scheme.iter().filter(|lesson| is_taught_in(lesson, term, settings)) {
        let Some(deck) = department.deck(&lesson.deck) else { continue };
        match deck.year {
            None => doubtful.push(deck),
            Some((of, _)) if of == year && !decks.iter().any(|(_, known)| known.name == deck.name) => {
                decks.push((lesson, deck));
            }
            Some(_) => {}
        }
    }
    if decks.is_empty() {
        return Err(ChooseError::NotInScheme { year, term: slug });
    }
    let cards = in_teaching_order(department, &decks);
    if cards.is_empty() {
        return Err(ChooseError::NoCards { year, term: slug });
    }
    Ok(Chosen { department, year, term: slug, decks, cards, doubtful })
}

/// The year groups that the scheme has decks for in the term of that name, in order.
///
/// # Errors
///
/// When there is no such term or nothing in it.
pub fn years(department: &Department, term: &str) -> Result<Vec<u8>, ChooseError> {
    let settings = &department.settings;
    let term = the_term(settings, term)?;
    let taught = settings.scheme.iter().filter(|lesson| is_taught_in(lesson, term, settings));
    let decks = taught.filter_map(|lesson| department.deck(&lesson.deck));
    let years: BTreeSet<u8> = decks.filter_map(|deck| deck.year.as_ref().map(|(year, _)| *year)).collect();
    if years.is_empty() { Err(ChooseError::NothingInTerm(term.slug())) } else { Ok(years.into_iter().collect()) }
}

/// The one term that `name` means.
///
/// # Errors
///
/// When there is none, or more than one.
pub fn the_term<'d>(settings: &'d Settings, name: &str) -> Result<&'d Term, ChooseError> {
    let slugs = |terms: &[&Term]| terms.iter().map(|term| term.slug()).collect();
    let found = settings.terms_named(name);
    match found.as_slice() {
        [term] => Ok(term),
        [] => {
            let known = slugs(&settings.terms.iter().collect::<Vec<_>>());
            Err(ChooseError::UnknownTerm { term: name.to_owned(), known })
        }
        several => Err(ChooseError::AmbiguousTerm { term: name.to_owned(), meant: slugs(several) }),
    }
}

/// Whether a line of the scheme means this term. A line that gives the name alone, of which there are
/// several, means the one in which its day lies.
fn is_taught_in(lesson: &Lesson, term: &Term, settings: &Settings) -> bool {
    let named = settings.terms_named(&lesson.term);
    let means = named.iter().any(|named| std::ptr::eq(*named, term));
    let in_term = |day| term.starts <= day && day <= term.ends;
    means && (named.len() == 1 || lesson.taught_on.is_none_or(in_term))
}

fn in_teaching_order<'d>(department: &'d Department, decks: &[(&Lesson, &'d Deck)]) -> Vec<(&'d Deck, &'d Card)> {
    let ready = |deck: &'d Deck| deck.cards.iter().filter(|card| !card.draft).map(move |card| (deck, card));
    let cards: Vec<(&Deck, &Card)> = decks.iter().flat_map(|(_, deck)| ready(deck)).collect();
    let mut place = BTreeMap::new();
    for (at, (_, card)) in cards.iter().enumerate() {
        place.entry(card.id.value.as_str()).or_insert(at);
    }
    let needs: Vec<Vec<usize>> = cards.iter().map(|(_, card)| needs_in(card, department, &place)).collect();
    teaching_order(&needs).into_iter().map(|at| cards[at]).collect()
}

/// The cards of the pack that a card needs; through cards that are not in it, too.
fn needs_in(card: &Card, department: &Department, place: &BTreeMap<&str, usize>) -> Vec<usize> {
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    let mut open: Vec<&str> = card.needs.iter().map(|need| &**need).collect();
    while let Some(need) = open.pop() {
        if !seen.insert(need) {
            continue;
        }
        match place.get(need) {
            Some(at) => found.push(*at),
            None => {
                open.extend(department.card(need).iter().flat_map(|(_, card)| card.needs.iter().map(|need| &**need)))
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::{department, files};

    fn read(terms: &str, scheme: &str) -> Department {
        let settings = format!("department: G\nschool: S\nyears: [8]\nterms:\n{terms}scheme:\n{scheme}");
        department(&files(&[
            ("decks/department.yaml", &settings),
            (
                "decks/a/cards.yaml",
                "title: A\nyear: 8\ncards:\n  - {id: a1, question: Q, answer: A, needs: [b1]}\n  - {id: a2, question: Q, answer: A}\n",
            ),
            (
                "decks/b/cards.yaml",
                "title: B\nyear: 8\ncards:\n  - {id: b1, question: Q, answer: A, needs: [d1]}\n  - {id: b2, question: Q, answer: A, draft: true}\n",
            ),
            ("decks/c/cards.yaml", "title: C\nyear: 9\ncards:\n  - {id: c1, question: Q, answer: A}\n"),
            ("decks/d/cards.yaml", "title: D\ncards:\n  - {id: d1, question: Q, answer: A, needs: [a2]}\n"),
            ("decks/e/cards.yaml", "title: E\nyear: 8\ncards:\n  - {id: e1, question: Q, answer: A, draft: true}\n"),
        ]))
    }

    const TERMS: &str = "  - {name: autumn, starts: 2026-09-01, ends: 2026-12-18}\n  - {name: spring, starts: 2027-01-05, ends: 2027-03-25}\n";

    fn ids(department: &Department, year: u8, term: &str) -> Result<Vec<String>, ChooseError> {
        choose(department, year, term)
            .map(|chosen| chosen.cards.iter().map(|(_, card)| card.id.value.to_string()).collect())
    }

    #[test]
    fn the_scheme_chooses_and_prerequisites_come_first() {
        let scheme = "  - {deck: a, term: autumn}\n  - {deck: c, term: autumn}\n  - {deck: b, term: autumn-2026}\n  - {deck: a, term: autumn}\n";
        let department = read(TERMS, scheme);
        // a1 waits for b1, which waits, through a card that is not in the pack, for a2.
        assert_eq!(ids(&department, 8, "autumn").unwrap(), ["a2", "b1", "a1"]);
        assert_eq!(ids(&department, 8, "Autumn-2026").unwrap().len(), 3);
        assert_eq!(ids(&department, 9, "autumn").unwrap(), ["c1"]);
        let spring = ChooseError::NotInScheme { year: 8, term: "spring-2027".to_owned() };
        assert_eq!(ids(&department, 8, "spring"), Err(spring));
        assert!(
            matches!(ids(&department, 8, "summer"), Err(ChooseError::UnknownTerm { known, .. }) if known.len() == 2)
        );
    }

    #[test]
    fn drafts_and_decks_without_a_year_are_no_pack() {
        let department = read(TERMS, "  - {deck: e, term: autumn}\n  - {deck: d, term: autumn}\n");
        assert!(matches!(ids(&department, 8, "autumn"), Err(ChooseError::NoCards { .. })));
        let department =
            read(TERMS, "  - {deck: b, term: autumn}\n  - {deck: d, term: autumn}\n  - {deck: lost, term: autumn}\n");
        let chosen = choose(&department, 8, "autumn").unwrap();
        assert_eq!((chosen.decks.len(), chosen.doubtful.len(), chosen.cards.len()), (1, 1, 1));
    }

    #[test]
    fn terms_of_one_name_are_told_apart() {
        let terms = format!("{TERMS}  - {{name: autumn, starts: 2027-09-01, ends: 2027-12-18}}\n");
        let scheme =
            "  - {deck: a, term: autumn, taught_on: 2026-09-21}\n  - {deck: b, term: autumn, taught_on: 2027-09-21}\n";
        let department = read(&terms, scheme);
        assert_eq!(ids(&department, 8, "autumn-2026").unwrap(), ["a2", "a1"]);
        assert_eq!(ids(&department, 8, "autumn-2027").unwrap(), ["b1"]);
        let error = ids(&department, 8, "autumn").unwrap_err();
        assert_eq!(error.to_string(), "several terms are called `autumn`: write autumn-2026 or autumn-2027");
    }
}
