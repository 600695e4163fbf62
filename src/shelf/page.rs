//! The shelf as pages for pupils: one of everything, and one for each year group that always shows its
//! current pack.
//!
//! They are plain files: no script, no redirection, no setting of a server. Addresses are relative, so they
//! work on a web server, on a network drive and on a stick alike.

mod parts;

pub(super) use parts::anchor;
use parts::literal;

use super::current::{YearGroup, year_groups};
use super::model::Shelf;
use super::{FEED, INDEX, LIST};
use crate::pack::CAUTIONS;
use crate::report::document::Document;

const STYLE: &str = include_str!("page/page.css");

/// The page of all editions.
pub fn index(shelf: &Shelf) -> String {
    let groups = year_groups(&shelf.editions);
    let title = format!("{} revision packs", literal(&shelf.department));
    let year = |group: &YearGroup<'_>| format!("<li><a href=\"#year-{0}\">Year {0}</a></li>\n", group.year);
    let years: String = groups.iter().map(year).collect();
    let contents = match groups.len() {
        0 | 1 => String::new(),
        _ => format!("<nav aria-label=\"Year groups\">\n<ul>\n{years}</ul>\n</nav>\n"),
    };
    let main: String = groups.iter().map(|group| parts::year(group, "")).collect();
    let head = heading(shelf, &title, &contents);
    document("", &format!("{title}, {}", literal(&shelf.school)), &format!("{head}{}{}", inside(&main), foot("")))
}

/// The pages of the year groups, each with its path.
pub fn latest(shelf: &Shelf) -> Vec<(String, String)> {
    let page = |group: &YearGroup<'_>| {
        let title = format!("{}, year {}: the current pack", literal(&shelf.department), group.year);
        let more = "<p class=\"more\">This page always shows the current pack: keep its address.</p>\n";
        let head = heading(shelf, &title, more);
        let all = format!(
            "<p class=\"more\"><a href=\"../{INDEX}#year-{}\">All packs and earlier editions</a></p>\n",
            group.year
        );
        let main = parts::current(group, "../", 2) + &all;
        (group.page(), document("../", &title, &format!("{head}{}{}", inside(&main), foot("../"))))
    };
    year_groups(&shelf.editions).iter().map(page).collect()
}

fn heading(shelf: &Shelf, title: &str, more: &str) -> String {
    format!("<header>\n<p class=\"school\">{}</p>\n<h1>{title}</h1>\n{more}</header>\n", literal(&shelf.school))
}

fn inside(main: &str) -> String {
    format!("<main id=\"main\">\n{main}</main>\n")
}

/// What is said once on every page.
fn foot(up: &str) -> String {
    let of_all = "No pupil's name or mark is in any pack, and your record of revision stays on your device.";
    let cautions = CAUTIONS.iter().take(CAUTIONS.len() - 1).chain([&of_all]);
    let cautions: String = cautions.map(|caution| format!("<li>{caution}</li>\n")).collect();
    format!(
        "<footer>\n<h2>Please note</h2>\n<ul>\n{cautions}</ul>\n\
         <p>Editions never change: a download with the same SHA-256 is the one that was released.</p>\n\
         <p class=\"links\"><a href=\"{up}{FEED}\" type=\"application/atom+xml\">Feed of new editions, corrections and \
         withdrawals</a> <a href=\"{up}{LIST}\">List for programs</a></p>\n</footer>\n"
    )
}

fn document(up: &str, title: &str, body: &str) -> String {
    let head = format!(
        "<link rel=\"icon\" href=\"data:,\">\n\
         <link rel=\"alternate\" type=\"application/atom+xml\" title=\"New editions and corrections\" href=\"{up}{FEED}\">\n"
    );
    Document { title, style: STYLE, head: &head, skip: "To the packs", body }.html()
}

#[cfg(test)]
mod tests {
    use super::super::support::{corrected, entry, restored, shelf, withdrawn};
    use super::*;

    #[test]
    fn a_year_group_finds_its_pack_its_corrections_and_what_came_before() {
        let page =
            index(&shelf(vec![entry(8, "autumn-2026", 1), corrected(8, "autumn-2026", 2), entry(9, "spring-2027", 1)]));
        let (eight, nine) = page.split_once("id=\"year-9\"").expect("two year groups");
        for shown in [
            "<h3 id=\"year-8-autumn-2026-edition-2\">",
            "href=\"year-8/autumn-2026/edition-2/revise.html\"",
            "Card 12</strong> (it was card 11), Rivers: Which <em>mean</em> wind speed is a gale?",
            "33 knots",
            "replaced by edition 2",
            "2.3 MB",
        ] {
            assert!(eight.contains(shown), "{shown} is not in\n{eight}");
        }
        assert!(nine.contains("year-9/spring-2027/edition-1/cards.pdf") && !nine.contains("Corrected"));
        assert_eq!(page.matches(CAUTIONS[0]).count(), 1);
        assert!(!page.contains("<script"));
    }

    #[test]
    fn a_withdrawn_edition_is_listed_and_marked_and_not_offered() {
        let shelf =
            shelf(vec![entry(8, "autumn-2026", 1), withdrawn(corrected(8, "autumn-2026", 2), "card 12 is <wrong>")]);
        let page = index(&shelf);
        assert!(page.contains("Withdrawn</strong>") && page.contains("card 12 is &lt;wrong&gt;"), "{page}");
        assert!(!page.contains("edition-2/revise.html") && page.contains("edition-1/revise.html"));
        assert!(page.contains("still has the mistakes"), "{page}");
        let gone = shelf.editions.into_iter().map(|entry| withdrawn(entry, "all of it")).collect();
        let gone = super::super::support::shelf(gone);
        assert!(index(&gone).contains("There is no current pack"));
        assert!(latest(&gone)[0].1.contains("There is no current pack"));
    }

    #[test]
    fn an_edition_that_was_taken_back_is_offered_again_with_what_happened() {
        let back = restored(withdrawn(corrected(8, "autumn-2026", 2), "a <slip>"), Some("no <slip> after all"));
        let page = index(&shelf(vec![entry(8, "autumn-2026", 1), back]));
        assert!(page.contains("edition-2/revise.html") && !page.contains("<strong>Withdrawn"), "{page}");
        let told = "Withdrawn on 30 November 2026 (a &lt;slip&gt;), back on the shelf since 1 December 2026: no &lt;slip&gt; after all";
        assert!(page.contains(told), "{page}");
        assert!(!page.contains("still has the mistakes"));
    }

    #[test]
    fn the_current_packs_have_pages_of_their_own() {
        let pages =
            latest(&shelf(vec![entry(8, "autumn-2026", 1), entry(8, "spring-2027", 1), entry(9, "autumn-2026", 1)]));
        assert_eq!(
            pages.iter().map(|(path, _)| path.as_str()).collect::<Vec<_>>(),
            ["year-8/latest.html", "year-9/latest.html"]
        );
        assert!(pages[0].1.contains("href=\"../year-8/spring-2027/edition-1/revise.html\""));
        assert!(pages[0].1.contains("href=\"../feed.xml\"") && !pages[0].1.contains("autumn-2026/edition-1/cards.csv"));
    }
}
