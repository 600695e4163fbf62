//! The parts of the shelf's pages: a year group, a pack, what was corrected, digests.

use crate::markup::{Inline, Piece, html, parse};
use crate::pack::PackFile;
use crate::report::day_in_words;
use crate::report::{capital, counted};
use crate::shelf::current::YearGroup;
use crate::shelf::model::{Correction, Entry, FieldCorrection, Restored, Since};

/// A year group; `up` leads to the top of the shelf.
pub fn year(group: &YearGroup<'_>, up: &str) -> String {
    let year = group.year;
    let mut out =
        format!("<section class=\"year\" aria-labelledby=\"year-{year}\">\n<h2 id=\"year-{year}\">Year {year}</h2>\n");
    out.push_str(&current(group, up, 3));
    let page = group.page();
    out.push_str(&format!("<p class=\"more\"><a href=\"{up}{page}\">An address for year {year} that always shows its current pack</a></p>\n"));
    listed(&mut out, "Other terms", &group.other_terms, |entry| pack(group, entry, up, Place::OtherTerm));
    listed(&mut out, "Earlier editions", &group.earlier, |entry| earlier(group, entry, up));
    listed(&mut out, "Withdrawn editions", &group.withdrawn, withdrawn);
    out + "</section>\n"
}

/// The pack that a year group should revise from, under a heading of that level.
pub fn current(group: &YearGroup<'_>, up: &str, level: u8) -> String {
    group.current.map_or_else(
        || "<p class=\"none\">There is no current pack: what was released has been withdrawn.</p>\n".to_owned(),
        |entry| pack(group, entry, up, Place::Current(level)),
    )
}

/// Where an edition stands on the page.
pub fn anchor(entry: &Entry) -> String {
    format!("year-{}-{}-edition-{}", entry.year, entry.term, entry.edition)
}

/// Text that means nothing but itself.
pub fn literal(text: &str) -> String {
    html(&Inline { pieces: vec![Piece::Text(text.to_owned())] })
}

fn listed(out: &mut String, title: &str, entries: &[&Entry], part: impl Fn(&Entry) -> String) {
    if entries.is_empty() {
        return;
    }
    // A heading of its own for each pack of another term, a list for the rest.
    out.push_str(&format!("<h3 class=\"shelf\">{title}</h3>\n"));
    entries.iter().for_each(|entry| out.push_str(&part(entry)));
}

/// Where a pack stands on a page.
#[derive(Clone, Copy)]
enum Place {
    /// As the one to revise from, under a heading of that level.
    Current(u8),
    OtherTerm,
}

fn pack(group: &YearGroup<'_>, entry: &Entry, up: &str, place: Place) -> String {
    let (class, level, label) = match place {
        Place::Current(level) => ("pack current", level, "<p class=\"label\">Current pack</p>\n"),
        Place::OtherTerm => ("pack", 4, ""),
    };
    let id = anchor(entry);
    let topics: Vec<String> = entry
        .topics
        .iter()
        .map(|topic| format!("<li>{} <span>{}</span></li>\n", literal(&topic.title), topic.cards))
        .collect();
    format!(
        "<article class=\"{class}\" aria-labelledby=\"{id}\">\n{label}<h{level} id=\"{id}\">{}</h{level}>\n{}\
         <ul class=\"topics\" aria-label=\"Topics, with their number of cards\">\n{}</ul>\n{}{}{}{}</article>\n",
        heading(entry),
        facts(entry, ""),
        topics.concat(),
        lacks(group, entry),
        opens(entry, up),
        corrections(&group.up_to(entry), place),
        digests(entry, Some(up)),
    )
}

fn heading(entry: &Entry) -> String {
    format!("{}, <span class=\"edition\">edition {}</span>", literal(&capital(&entry.term_in_words())), entry.edition)
}

fn facts(entry: &Entry, more: &str) -> String {
    let cards = counted(entry.cards, "card", "cards");
    let restored: String = entry.restored.iter().map(restored).collect();
    format!("<p class=\"facts\">{cards}, released {}{more}</p>\n{restored}", on(&entry.released))
}

/// That an edition was withdrawn for a time.
fn restored(restored: &Restored) -> String {
    let why = restored.reason.as_ref().map(|reason| format!(": {}", literal(reason))).unwrap_or_default();
    format!(
        "<p class=\"facts\">Withdrawn on {} ({}), back on the shelf since {}{why}</p>\n",
        on(&restored.withdrawn.on),
        literal(&restored.withdrawn.reason),
        on(&restored.on)
    )
}

/// A day in words, of a date by RFC 3339.
fn on(date: &str) -> String {
    literal(&day_in_words(date.get(..10).unwrap_or(date)))
}

/// What can be done with a file, in the order in which pupils need it; the rest stands among the digests.
const OPENS: &[(&str, &str, &str)] = &[
    ("revise.html", "Revise on this device", "one page, works without a network"),
    ("cards.pdf", "Print the cards", "PDF, both sides, to cut"),
    ("cards-", "Print the cards, part ", "PDF, both sides, to cut"),
    ("corrections.pdf", "Print the corrected cards", "PDF, to replace the old ones"),
    ("calendar.ics", "Dates for your calendar", "when each topic comes back"),
    ("map.svg", "How the cards connect", "picture"),
];

fn opens(entry: &Entry, up: &str) -> String {
    let of_year = format!("<span class=\"unseen\">, year {}, {}</span>", entry.year, literal(&entry.term_in_words()));
    let line = |class: &str, file: &PackFile, label: &str, what: &str, more: &str| {
        format!(
            "<li{class}><a href=\"{up}{}/{}\"{more}>{label}{of_year}</a> <span>{what}, {}</span></li>\n",
            entry.folder,
            file.name,
            size(file.size)
        )
    };
    let mut lines = String::new();
    for (name, label, what) in OPENS {
        for file in &entry.files {
            let class = if *name == "revise.html" { " class=\"first\"" } else { "" };
            if file.name == *name {
                lines.push_str(&line(class, file, label, what, ""));
            } else if let Some(part) = file.name.strip_prefix(name).and_then(|part| part.strip_suffix(".pdf")) {
                lines.push_str(&line(class, file, &format!("{label}{part}"), what, ""));
            }
        }
    }
    lines.push_str(&line("", &entry.zip, "Everything in one file", "zip", " download"));
    format!("<ul class=\"opens\">\n{lines}</ul>\n")
}

/// What an edition still has wrong, since the one that put it right was withdrawn.
fn lacks(group: &YearGroup<'_>, entry: &Entry) -> String {
    let mut out = String::new();
    for gone in group.lacks(entry) {
        let cards = corrected(gone);
        let wrong = if cards.is_empty() {
            String::new()
        } else {
            format!("<p>This edition still has the mistakes that it put right:</p>\n{}", cards_list(cards))
        };
        out.push_str(&format!(
            "<div class=\"mend\">\n<p><strong>Edition {} was withdrawn</strong>, so this one before it stands in its \
             place.</p>\n{wrong}</div>\n",
            gone.edition
        ));
    }
    out
}

fn corrected(entry: &Entry) -> &[Correction] {
    entry.since.as_ref().map_or(&[], |since| &since.corrected)
}

/// What these editions corrected, the newest first; withdrawn ones put nothing right for those who use
/// what came after, which has it too.
fn corrections(editions: &[&Entry], place: Place) -> String {
    let with: Vec<&&Entry> = editions.iter().filter(|entry| !corrected(entry).is_empty()).collect();
    let news = editions.first().and_then(|newest| newest.since.as_ref()).map(others).unwrap_or_default();
    if with.is_empty() {
        return news;
    }
    let mut inner = String::from(
        "<p>Which edition you hold stands on the first page of the cards and at the top of the revision page. Replace \
         the cards that were corrected after it, and learn them again.</p>\n",
    );
    for entry in &with {
        inner.push_str(&format!("<p class=\"in\">In edition {}</p>\n{}", entry.edition, cards_list(corrected(entry))));
    }
    let count: usize = with.iter().map(|entry| corrected(entry).len()).sum();
    let title = format!("Corrected: {}", counted(count, "card", "cards"));
    match place {
        Place::Current(level) => {
            let level = level + 1;
            format!("<div class=\"mend\">\n<h{level}>{title}</h{level}>\n{inner}</div>\n{news}")
        }
        Place::OtherTerm => {
            format!("<details class=\"mend\">\n<summary>{title}</summary>\n{inner}</details>\n{news}")
        }
    }
}

fn cards_list(cards: &[Correction]) -> String {
    let cards: String = cards.iter().map(card).collect();
    format!("<ul class=\"cards\">\n{cards}</ul>\n")
}

fn card(card: &Correction) -> String {
    let before = if card.before == card.number { String::new() } else { format!(" (it was card {})", card.before) };
    let fields: String = card.fields.iter().map(field).collect();
    // A question that was put right stands below, before and after.
    let asks = card.fields.iter().all(|field| field.what != "question");
    let question = if asks { format!(": {}", html(&parse(&card.question))) } else { String::new() };
    format!(
        "<li><strong>Card {}</strong>{before}, {}{question}\n<ul>\n{fields}</ul>\n</li>\n",
        card.number,
        literal(&card.topic)
    )
}

fn field(field: &FieldCorrection) -> String {
    let what = literal(&field.what);
    let text = |text: &Option<String>| text.as_ref().map(|text| html(&parse(text)));
    match (text(&field.was), text(&field.is)) {
        (Some(was), Some(is)) => format!("<li>{what} was: <s>{was}</s></li>\n<li>{what} is: <b>{is}</b></li>\n"),
        (None, Some(is)) => format!("<li>{what} is new: <b>{is}</b></li>\n"),
        (Some(was), None) => format!("<li>{what} is gone: <s>{was}</s></li>\n"),
        (None, None) => String::new(),
    }
}

/// What else is different.
fn others(since: &Since) -> String {
    let counts = [
        (since.new, "new"),
        (since.taken_out, "taken out"),
        (since.moved, "in another topic"),
        (since.reworded, "in other words"),
        (since.otherwise, "with another picture or link"),
    ];
    let told: Vec<String> = counts
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{} {what}", counted(count, "card", "cards")))
        .collect();
    if told.is_empty() {
        return String::new();
    }
    format!("<p class=\"facts\">Also different from edition {}: {}.</p>\n", since.edition, told.join(", "))
}

fn earlier(group: &YearGroup<'_>, entry: &Entry, up: &str) -> String {
    let replaced =
        group.replaced_by(entry).map(|newer| format!(", replaced by edition {}", newer.edition)).unwrap_or_default();
    let link = format!(
        "<p><a href=\"{up}{}/{}\" download>The whole edition<span class=\"unseen\">, year {}, {} edition {}</span></a> \
         <span class=\"soft\">zip, {}</span></p>\n",
        entry.folder,
        entry.zip.name,
        entry.year,
        literal(&entry.term_in_words()),
        entry.edition,
        size(entry.zip.size)
    );
    edition(entry, "edition-line", &replaced, &format!("{link}{}", digests(entry, Some(up))))
}

fn withdrawn(entry: &Entry) -> String {
    let mark = entry.withdrawn.as_ref().map(|withdrawal| {
        format!(
            "<p class=\"mark\"><strong>Withdrawn</strong> on {}: {}</p>\n<p>Do not use it any more.</p>\n",
            on(&withdrawal.on),
            literal(&withdrawal.reason)
        )
    });
    edition(entry, "edition-line withdrawn", "", &format!("{}{}", mark.unwrap_or_default(), digests(entry, None)))
}

fn edition(entry: &Entry, class: &str, more: &str, inner: &str) -> String {
    let id = anchor(entry);
    format!(
        "<article class=\"{class}\" aria-labelledby=\"{id}\">\n<h4 id=\"{id}\">{}</h4>\n{}{inner}</article>\n",
        heading(entry),
        facts(entry, more)
    )
}

/// All files with their digests; `up` leads to the top of the shelf where they may be opened.
fn digests(entry: &Entry, up: Option<&str>) -> String {
    let row = |file: &PackFile| {
        let name = up.map_or_else(
            || file.name.clone(),
            |up| format!("<a href=\"{up}{}/{}\">{}</a>", entry.folder, file.name, file.name),
        );
        let digest = &file.sha256;
        format!("<dt>{name} <span class=\"soft\">{}</span></dt>\n<dd>{digest}</dd>\n", size(file.size))
    };
    let rows: String = [&entry.zip].into_iter().chain(&entry.files).map(row).collect();
    let commit = entry.commit.get(..12).unwrap_or(&entry.commit);
    format!(
        "<details class=\"files\">\n<summary>All files and their digests<span class=\"unseen\">, year {}, {} edition \
         {}</span></summary>\n<p class=\"soft\">Tag {}, commit {}; SHA-256 of each file.</p>\n<dl>\n{rows}</dl>\n</details>\n",
        entry.year,
        literal(&entry.term_in_words()),
        entry.edition,
        literal(&entry.tag),
        literal(commit)
    )
}

/// A size as people say it.
fn size(bytes: u64) -> String {
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        1_000..1_000_000 => format!("{} kB", (bytes + 500) / 1_000),
        _ => format!("{}.{} MB", bytes / 1_000_000, bytes % 1_000_000 / 100_000),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_said_as_people_do() {
        assert_eq!([size(999), size(94_600), size(2_345_678)], ["999 bytes", "95 kB", "2.3 MB"]);
    }
}
