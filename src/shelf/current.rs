//! What each year group should revise from, and what else there is for it.

use std::collections::BTreeMap;

use super::model::Entry;

/// The editions of a year group.
#[derive(Clone, Debug)]
pub struct YearGroup<'s> {
    /// The year group.
    pub year: u8,
    /// Its current pack: the newest edition of the term that starts last. Nothing when all are withdrawn.
    pub current: Option<&'s Entry>,
    /// The newest editions of its other terms, the latest term first.
    pub other_terms: Vec<&'s Entry>,
    /// Editions that a later one has replaced, the latest term and the newest edition first.
    pub earlier: Vec<&'s Entry>,
    /// Withdrawn editions, in the same order.
    pub withdrawn: Vec<&'s Entry>,
    all: Vec<&'s Entry>,
}

/// The year groups that have an edition on the shelf, in order.
///
/// A withdrawn edition counts for nothing: the one before it is current again, and
/// [`YearGroup::lacks`] tells what it holds wrong.
pub fn year_groups(editions: &[Entry]) -> Vec<YearGroup<'_>> {
    let mut years: BTreeMap<u8, Vec<&Entry>> = BTreeMap::new();
    editions.iter().for_each(|entry| years.entry(entry.year).or_default().push(entry));
    years.into_iter().map(|(year, entries)| year_group(year, entries)).collect()
}

fn year_group(year: u8, mut all: Vec<&Entry>) -> YearGroup<'_> {
    all.sort_by(|a, b| (&b.term_starts, &b.term, b.edition).cmp(&(&a.term_starts, &a.term, a.edition)));
    let (mut newest, mut earlier, mut withdrawn): (Vec<&Entry>, Vec<&Entry>, Vec<&Entry>) = Default::default();
    for &entry in &all {
        if entry.withdrawn.is_some() {
            withdrawn.push(entry);
        } else if newest.iter().any(|newer| newer.term == entry.term) {
            earlier.push(entry);
        } else {
            newest.push(entry);
        }
    }
    let mut newest = newest.into_iter();
    YearGroup { year, current: newest.next(), other_terms: newest.collect(), earlier, withdrawn, all }
}

impl<'s> YearGroup<'s> {
    /// The page that always shows its current pack.
    pub fn page(&self) -> String {
        format!("year-{}/latest.html", self.year)
    }

    /// This edition and those of its term before it, the newest first: what each of them corrected, whoever
    /// missed some of them needs.
    pub fn up_to(&self, entry: &Entry) -> Vec<&'s Entry> {
        let before = self.all.iter().filter(|other| other.term == entry.term && other.edition <= entry.edition);
        before.copied().collect()
    }

    /// The withdrawn editions of its term that came after this one, the newest first: what they put right
    /// is still wrong in this one.
    pub fn lacks(&self, entry: &Entry) -> Vec<&'s Entry> {
        let after = self.withdrawn.iter().filter(|other| other.term == entry.term && other.edition > entry.edition);
        after.copied().collect()
    }

    /// The edition that has replaced this one.
    pub fn replaced_by(&self, entry: &Entry) -> Option<&'s Entry> {
        let newest = self.current.into_iter().chain(self.other_terms.iter().copied());
        newest.into_iter().find(|newer| newer.term == entry.term && newer.edition > entry.edition)
    }
}

#[cfg(test)]
mod tests {
    use super::super::support::{entry, withdrawn};
    use super::*;

    fn names(entries: &[&Entry]) -> Vec<String> {
        entries.iter().map(|entry| format!("{} {}", entry.term, entry.edition)).collect()
    }

    #[test]
    fn the_newest_edition_of_the_latest_term_is_current() {
        let entries = [
            entry(8, "autumn-2026", 1),
            entry(8, "autumn-2026", 2),
            entry(8, "spring-2027", 1),
            entry(9, "autumn-2026", 1),
        ];
        let groups = year_groups(&entries);
        assert_eq!(groups.iter().map(|group| group.year).collect::<Vec<_>>(), [8, 9]);
        let eight = &groups[0];
        assert_eq!(eight.current.map(|entry| entry.term.as_str()), Some("spring-2027"));
        assert_eq!(
            (names(&eight.other_terms), names(&eight.earlier)),
            (vec!["autumn-2026 2".into()], vec!["autumn-2026 1".into()])
        );
        assert_eq!(eight.replaced_by(&entries[0]).map(|entry| entry.edition), Some(2));
        assert!(eight.replaced_by(&entries[1]).is_none() && eight.withdrawn.is_empty());
        assert_eq!(names(&eight.up_to(&entries[1])), ["autumn-2026 2", "autumn-2026 1"]);
    }

    #[test]
    fn a_withdrawn_edition_gives_way_to_the_one_before_which_lacks_what_it_put_right() {
        let entries = [entry(8, "autumn-2026", 1), withdrawn(entry(8, "autumn-2026", 2), "a wrong date")];
        let groups = year_groups(&entries);
        assert_eq!(groups[0].current.map(|entry| entry.edition), Some(1));
        assert_eq!(names(&groups[0].withdrawn), ["autumn-2026 2"]);
        assert_eq!(names(&groups[0].lacks(&entries[0])), ["autumn-2026 2"]);
        let gone = entries.map(|entry| withdrawn(entry, "all of it"));
        assert!(year_groups(&gone)[0].current.is_none());
    }
}
