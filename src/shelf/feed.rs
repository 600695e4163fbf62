//! The feed by RFC 4287 (Atom): an entry for each edition, for each time that one was withdrawn,
//! and for each time that one was taken back.
//!
//! Names are for life and dates are those of the tags and withdrawals, so the same shelf gives the same
//! feed. Addresses are relative to the feed's own, since nobody knows where a shelf will stand.

use super::ids;
use super::model::{Correction, Entry, Restored, Shelf, Withdrawal, moment};
use super::{FEED, INDEX};
use crate::markup::{parse, plain};
use crate::report::counted;
use crate::report::xml::Xml;

/// The feed of a shelf, the newest entry first.
pub fn feed(shelf: &Shelf) -> String {
    let mut items: Vec<Item<'_>> = shelf.editions.iter().flat_map(|entry| items(shelf, entry)).collect();
    items.sort_by(|a, b| (moment(b.updated), &b.id).cmp(&(moment(a.updated), &a.id)));
    let mut xml = Xml::new();
    xml.open("feed", [("xmlns", "http://www.w3.org/2005/Atom".to_owned()), ("xml:lang", "en-GB".to_owned())]);
    xml.text("id", [], &shelf.id);
    xml.text("title", [], &format!("{} revision packs, {}", shelf.department, shelf.school));
    // A feed has to have a date; that of an empty one is never shown.
    xml.text("updated", [], items.first().map_or("1970-01-01T00:00:00Z", |item| item.updated));
    xml.open("author", []);
    xml.text("name", [], &format!("{}, {}", shelf.department, shelf.school));
    xml.close("author");
    xml.empty("link", link("self", "application/atom+xml", FEED));
    xml.empty("link", link("alternate", "text/html", INDEX));
    items.iter().for_each(|item| item.write(&mut xml));
    xml.close("feed");
    xml.finish()
}

/// An entry of the feed.
struct Item<'s> {
    id: String,
    title: String,
    updated: &'s str,
    kind: &'static str,
    content: String,
    entry: &'s Entry,
}

fn items<'s>(shelf: &Shelf, entry: &'s Entry) -> Vec<Item<'s>> {
    let mut items = vec![edition(shelf, entry)];
    for (time, restored) in entry.restored.iter().enumerate() {
        items.push(withdrawal(shelf, entry, time, &restored.withdrawn, Some(restored)));
        items.push(Item {
            id: ids::on(&shelf.id, &format!("{} restored{}", entry.tag, again(time))),
            title: format!("Back on the shelf: {}", what(entry)),
            updated: &restored.on,
            kind: "restoration",
            content: used_again(restored),
            entry,
        });
    }
    let now = entry.withdrawn.as_ref();
    items.extend(now.map(|now| withdrawal(shelf, entry, entry.restored.len(), now, None)));
    items
}

/// That an edition was withdrawn, and that it was taken back where it was.
fn withdrawal<'s>(
    shelf: &Shelf,
    entry: &'s Entry,
    time: usize,
    withdrawal: &'s Withdrawal,
    restored: Option<&Restored>,
) -> Item<'s> {
    Item {
        id: ids::on(&shelf.id, &format!("{} withdrawn{}", entry.tag, again(time))),
        title: format!("Withdrawn: {}{}", what(entry), if restored.is_some() { " (back on the shelf)" } else { "" }),
        updated: &withdrawal.on,
        kind: "withdrawal",
        content: restored.map_or_else(|| told(withdrawal), used_again),
        entry,
    }
}

/// Names are for life: what happens for the second time has another.
fn again(time: usize) -> String {
    if time == 0 { String::new() } else { format!(" {}", time + 1) }
}

fn used_again(restored: &Restored) -> String {
    let why = restored.reason.as_ref().map(|reason| format!(": {reason}")).unwrap_or_default();
    format!("This edition may be used again{why}\nIt had been withdrawn: {}", restored.withdrawn.reason)
}

fn edition<'s>(shelf: &Shelf, entry: &'s Entry) -> Item<'s> {
    let corrected = entry.since.as_ref().map_or(&[][..], |since| since.corrected.as_slice());
    let count = counted(corrected.len(), "card", "cards");
    let more = if corrected.is_empty() { String::new() } else { format!("; {count} corrected") };
    let gone = if entry.withdrawn.is_some() { " (withdrawn)" } else { "" };
    Item {
        id: ids::on(&shelf.id, &entry.tag),
        title: format!("{}{more}{gone}", what(entry)),
        updated: &entry.released,
        kind: if corrected.is_empty() { "new-edition" } else { "correction" },
        content: content(entry, corrected),
        entry,
    }
}

fn content(entry: &Entry, corrected: &[Correction]) -> String {
    let mut lines: Vec<String> = entry.withdrawn.iter().map(told).collect();
    let topics: Vec<&str> = entry.topics.iter().map(|topic| topic.title.as_str()).collect();
    lines.push(format!("{}: {}.", counted(entry.cards, "card", "cards"), topics.join("; ")));
    if !corrected.is_empty() {
        lines.push("Replace these cards, and learn them again:".to_owned());
        lines.extend(corrected.iter().map(correction));
    }
    lines.join("\n")
}

fn correction(card: &Correction) -> String {
    let before = if card.before == card.number { String::new() } else { format!(" (it was card {})", card.before) };
    format!("Card {}{before}, {}: {}", card.number, card.topic, plain(&parse(&card.question)))
}

fn told(withdrawal: &Withdrawal) -> String {
    format!("Do not use this edition any more: {}", withdrawal.reason)
}

fn what(entry: &Entry) -> String {
    format!("Year {}, {}, edition {}", entry.year, entry.term_in_words(), entry.edition)
}

fn link(rel: &str, kind: &str, href: &str) -> [(&'static str, String); 3] {
    [("rel", rel.to_owned()), ("type", kind.to_owned()), ("href", href.to_owned())]
}

impl Item<'_> {
    fn write(&self, xml: &mut Xml) {
        let entry = self.entry;
        xml.open("entry", []);
        xml.text("id", [], &self.id);
        xml.text("title", [], &self.title);
        xml.text("updated", [], self.updated);
        xml.empty("link", link("alternate", "text/html", &format!("{INDEX}#{}", super::page::anchor(entry))));
        if entry.withdrawn.is_none() {
            let zip = link("enclosure", "application/zip", &format!("{}/{}", entry.folder, entry.zip.name));
            xml.empty("link", zip.into_iter().chain([("length", entry.zip.size.to_string())]));
        }
        xml.empty("category", [("term", self.kind.to_owned())]);
        xml.text("content", [("type", "text".to_owned())], &self.content);
        xml.close("entry");
    }
}

#[cfg(test)]
mod tests {
    use super::super::support::{corrected, entry, restored, shelf, withdrawn};
    use super::*;

    fn texts(feed: &str, name: &str) -> Vec<String> {
        let read = roxmltree::Document::parse(feed).expect("well-formed");
        let named = read.descendants().filter(|node| node.tag_name().name() == name);
        named.filter_map(|node| node.text().map(str::to_owned)).collect()
    }

    #[test]
    fn editions_and_withdrawals_are_told_the_newest_first() {
        let told = feed(&shelf(vec![entry(8, "autumn-2026", 1), withdrawn(corrected(8, "autumn-2026", 2), "a slip")]));
        assert_eq!(
            texts(&told, "title")[1..],
            [
                "Withdrawn: Year 8, autumn 2026, edition 2",
                "Year 8, autumn 2026, edition 2; 1 card corrected (withdrawn)",
                "Year 8, autumn 2026, edition 1"
            ]
        );
        let updated = texts(&told, "updated");
        assert_eq!(updated[0], updated[1]);
        assert_eq!(told.matches("enclosure").count(), 1);
        assert!(told.contains("Do not use this edition any more: a slip"));
    }

    #[test]
    fn names_stay_whatever_comes_after() {
        let first = texts(&feed(&shelf(vec![entry(8, "autumn-2026", 1)])), "id");
        let later = shelf(vec![withdrawn(entry(8, "autumn-2026", 1), "x"), entry(9, "autumn-2026", 1)]);
        let later = texts(&feed(&later), "id");
        assert!(first.iter().all(|id| later.contains(id) && id.starts_with("urn:uuid:")), "{first:?} {later:?}");
        assert_eq!(later.iter().collect::<std::collections::BTreeSet<_>>().len(), 4);
    }

    #[test]
    fn what_is_withdrawn_and_taken_back_is_told_each_time_under_a_name_of_its_own() {
        let once = restored(withdrawn(entry(8, "autumn-2026", 1), "a slip"), Some("there was no slip"));
        let first = feed(&shelf(vec![once.clone()]));
        assert_eq!(
            texts(&first, "title")[1..],
            [
                "Back on the shelf: Year 8, autumn 2026, edition 1",
                "Withdrawn: Year 8, autumn 2026, edition 1 (back on the shelf)",
                "Year 8, autumn 2026, edition 1"
            ]
        );
        assert!(first.contains("may be used again: there was no slip") && !first.contains("Do not use"), "{first}");
        assert_eq!(first.matches("enclosure").count(), 3);
        let twice = feed(&shelf(vec![restored(withdrawn(once, "another"), None)]));
        let ids: std::collections::BTreeSet<String> = texts(&twice, "id").into_iter().collect();
        assert_eq!(ids.len(), 6);
        assert!(texts(&first, "id").iter().all(|id| ids.contains(id)));
    }

    #[test]
    fn hostile_text_is_text() {
        let mut nasty = corrected(8, "autumn-2026", 2);
        let text = "<script>x</script> ]]> & \u{1b} \u{ffff} \u{202e}";
        nasty.topics[0].title = text.to_owned();
        nasty.department = text.to_owned();
        let told = feed(&shelf(vec![withdrawn(nasty, text)]));
        let content = texts(&told, "content").join("\n");
        assert!(content.contains("<script>x</script> ]]> & ␛ <U+FFFF> <U+202E>"), "{content}");
    }
}
