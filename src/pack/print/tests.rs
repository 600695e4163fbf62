//! Printed packs, laid out: every card once on each side, literally, in sizes of the steps, within its
//! edges; what does not fit is told.

use std::collections::{BTreeMap, BTreeSet};

use super::inspect::LaidOut;
use super::*;
use crate::change::support::{department, files};
use crate::pack::edition::Edition;
use crate::pack::model::{PackPicture, Side};
use crate::pack::support::{card, further, pack};

const PICTURE: &str = "decks/rivers/wave.svg";

fn with_picture() -> Department {
    let mut department = department(&files(&[]));
    let wave = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 20'><rect width='40' height='20'/><text x='2' y='9'>Wave</text></svg>";
    department.pictures.insert(PICTURE.to_owned(), wave.as_bytes().into());
    department
}

/// Cards of every kind.
fn many() -> Vec<PackCard> {
    let mut cards: Vec<PackCard> =
        (0..9).map(|at| card(&format!("plain-{at}"), &format!("What is landform {at}?"), "A delta")).collect();
    cards[1].questions.push(further("What is its mouth?", "$\\frac{\\text{rise}}{x_1^2} \\approx \\sqrt{3}$"));
    cards[2].questions[0].answer = vec!["One".to_owned(), "Two".to_owned(), "Three".to_owned()];
    cards[2].questions[0].ordered = true;
    cards[3].caution = Some("Work near water only with your teacher.".to_owned());
    (cards[3].needs, cards[3].see, cards[3].both_ways) = (vec!["plain-0".to_owned()], vec!["plain-8".to_owned()], true);
    cards[4].questions[0].answer = vec!["שלום H~2~O *and* **strong** `code` km^2^ → ≤ ✓".to_owned()];
    for side in [Side::Question, Side::Answer] {
        cards[5].pictures.push(PackPicture {
            file: PICTURE.to_owned(),
            side,
            alt: Some("A wave".to_owned()),
            credit: Some("The department".to_owned()),
            licence: Some("CC0".to_owned()),
            sha256: None,
        });
    }
    cards[6].questions[0].question = "long words and more of them ".repeat(14);
    cards
}

fn laid_out(pack: &Pack, department: &Department, options: Options) -> (Vec<LaidOut>, usize) {
    let cards: Vec<&PackCard> = pack.cards.iter().collect();
    let kind = Kind::Cards { part: 1, parts: 1 };
    let (document, pictures) = data::document(&Job { pack, department, options, cards: &cards, kind });
    let card = document.card;
    let laid_out = typeset::with_room(|| lay_out("main.typ", &document, pictures)).expect("laid out");
    (inspect::sides(&laid_out, card), laid_out.pages().len())
}

fn all_options() -> Vec<Options> {
    let sizes = CardSize::ALL.into_iter();
    let mut all: Vec<Options> = sizes.map(|card| Options { card, ..Options::default() }).collect();
    all.push(Options { flip: Flip::Short, ..Options::default() });
    all.push(Options { backs: Backs::Blank, ..Options::default() });
    all
}

#[test]
fn every_card_is_there_once_on_each_side_and_its_back_lies_behind_it() {
    let (pack, department) = (pack(many()), with_picture());
    for options in all_options() {
        let (sides, _) = laid_out(&pack, &department, options);
        let sheet = Sheet::new(options.card, options.flip);
        let of = |side: Side| sides.iter().filter(|one| one.side == side).collect::<Vec<_>>();
        let (fronts, backs) = (of(Side::Question), of(Side::Answer));
        let numbers = |sides: &[&LaidOut]| sides.iter().map(|side| side.number).collect::<Vec<_>>();
        assert_eq!(numbers(&fronts), (1..=9).collect::<Vec<_>>(), "{options:?}");
        assert_eq!(numbers(&backs), numbers(&fronts), "{options:?}");
        for (at, (front, back)) in fronts.iter().zip(&backs).enumerate() {
            assert_eq!((front.page % 2, back.page), (1, front.page + 1), "{options:?}: {front:?}");
            assert_eq!((front.area.x, front.area.y), sheet.front(at % sheet.cards()));
            assert_eq!((back.area.x, back.area.y), sheet.back(at % sheet.cards()));
        }
        let sizes = [9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 16.0, 18.0, 20.0];
        for side in &sides {
            assert!(side.fits && side.outside.is_empty() && side.missing.is_empty(), "{options:?}: {side:?}");
            assert!(sizes.iter().any(|size| (size - side.size).abs() < 1e-6), "{side:?}");
        }
        assert!(fronts[6].size < fronts[0].size, "more text is set smaller");
    }
}

#[test]
fn the_same_pack_gives_the_same_bytes_at_any_number_of_threads() {
    let (pack, department) = (pack(many()), with_picture());
    let printed = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| cards(&pack, &department, Options::default())).expect("printed")
    };
    let one = printed(1);
    assert_eq!(one.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), ["cards.pdf"]);
    assert!(one[0].1.starts_with(b"%PDF-1.7"));
    assert!(one == printed(8));
}

#[test]
fn hostile_text_is_printed_as_it_stands() {
    let texts = [
        "#read(\"/etc/passwd\") #eval(\"1+1\") #panic()",
        "= Heading - list + enum @ref <label> [x](y) // comment /* x",
        "$\\text{#read(\"x\")}$ \u{202e}turned \u{0} end",
        "#set page(width: 1pt) \\ \\u{41} https://example.org",
    ];
    let cards: Vec<PackCard> =
        texts.iter().enumerate().map(|(at, text)| card(&format!("c-{at}"), text, text)).collect();
    let (pack, department) = (pack(cards), department(&files(&[])));
    let (sides, _) = laid_out(&pack, &department, Options::default());
    assert_eq!(sides.len(), 8);
    let words = printed_words(&pack, &department);
    for text in [
        "#read(\"/etc/passwd\")",
        "#panic()",
        "<label>",
        "[U+202E]turned",
        "[U+0000]",
        "#set page(width: 1pt)",
        "https://example.org",
    ] {
        assert!(words.contains(text), "{text} is not in {words}");
    }
}

/// All text of the document, line after line.
fn printed_words(pack: &Pack, department: &Department) -> String {
    fn collect(frame: &typst::layout::Frame, words: &mut String) {
        for (_, item) in frame.items() {
            match item {
                typst::layout::FrameItem::Group(group) => collect(&group.frame, words),
                typst::layout::FrameItem::Text(text) => words.push_str(&text.text),
                _ => {}
            }
        }
    }
    let cards: Vec<&PackCard> = pack.cards.iter().collect();
    let kind = Kind::Cards { part: 1, parts: 1 };
    let options = Options { card: CardSize::A6, ..Options::default() };
    let (document, pictures) = data::document(&Job { pack, department, options, cards: &cards, kind });
    let laid_out = typeset::with_room(|| lay_out("main.typ", &document, pictures)).expect("laid out");
    let mut words = String::new();
    laid_out.pages().iter().for_each(|page| collect(&page.frame, &mut words));
    words
}

/// Each text of the answer sides and lists with the place of its baseline, in points, and its size.
fn printed_texts(pack: &Pack) -> Vec<(usize, String, f64, f64)> {
    fn collect(frame: &typst::layout::Frame, page: usize, top: f64, texts: &mut Vec<(usize, String, f64, f64)>) {
        for (place, item) in frame.items() {
            let y = top + place.y.to_pt();
            match item {
                typst::layout::FrameItem::Group(group) => {
                    collect(&group.frame, page, y + group.transform.ty.to_pt(), texts);
                }
                typst::layout::FrameItem::Text(text) => texts.push((page, text.text.to_string(), y, text.size.to_pt())),
                _ => {}
            }
        }
    }
    let cards: Vec<&PackCard> = pack.cards.iter().collect();
    let kind = Kind::Cards { part: 1, parts: 1 };
    let department = department(&files(&[]));
    let job = Job { pack, department: &department, options: Options::default(), cards: &cards, kind };
    let (document, pictures) = data::document(&job);
    let laid_out = typeset::with_room(|| lay_out("main.typ", &document, pictures)).expect("laid out");
    let mut texts = Vec::new();
    laid_out.pages().iter().enumerate().for_each(|(at, page)| collect(&page.frame, at, 0.0, &mut texts));
    texts
}

#[test]
fn fractions_in_lines_of_text_leave_room_between_the_lines() {
    let mut fractions = card("fractions", "Which?", "");
    fractions.questions[0].answer = vec!["$\\frac{a}{b}$".to_owned(), "$\\frac{c}{d}$".to_owned()];
    let mut below = card("below", "Which?", "");
    below.questions[0].answer = vec!["$\\frac{e}{f}$ and so on, ".repeat(5)];
    let texts = printed_texts(&pack(vec![fractions, below]));
    let of = |word: &str| texts.iter().filter(|(_, text, ..)| text == word).collect::<Vec<_>>();
    // On the card, one point below the other; in the list at the end they are in one line.
    let (under, over) = (of("b")[0], of("c")[0]);
    let gap = |under: f64, over: f64, size: f64| over - 0.72 * size - under;
    assert!(gap(under.2, over.2, over.3) > 0.1 * over.3, "{under:?} {over:?}");
    for page in [under.0, texts.last().unwrap().0] {
        let mut lines: Vec<(f64, f64)> = Vec::new();
        for (_, text, y, size) in texts.iter().filter(|one| one.0 == page && (one.1 == "e" || one.1 == "f")) {
            if text == "e" {
                for (under, _) in lines.iter().filter(|(under, _)| *under < y - 1.0) {
                    assert!(gap(*under, *y, *size) > 0.2 * size, "page {page}: {under} {y} {size}");
                }
            } else {
                lines.push((*y, *size));
            }
        }
        assert!(lines.iter().any(|(y, _)| (y - lines[0].0).abs() > 1.0), "the fractions stand on several lines");
    }
}

#[test]
fn the_answer_list_numbers_points_whose_order_counts() {
    let mut one = card("steps", "Which steps?", "");
    one.questions[0].answer = vec!["First".to_owned(), "Second".to_owned()];
    let list = |card: PackCard| {
        let texts = printed_texts(&pack(vec![card]));
        let last = texts.last().unwrap().0;
        texts.into_iter().filter(|one| one.0 == last).map(|one| one.1).collect::<Vec<_>>().concat()
    };
    assert!(list(one.clone()).contains("First • Second"));
    one.questions[0].ordered = true;
    let numbered = list(one.clone());
    assert!(numbered.contains("1.\u{a0}First; 2.\u{a0}Second"), "{numbered}");
    one.questions.push(further("And?", "So"));
    let nested = list(one);
    assert!(nested.contains("a.\u{a0}First; b.\u{a0}Second"), "{nested}");
}

#[test]
fn words_beside_a_question_from_the_right_run_from_the_left() {
    let mut one = card("river", "מה זה נהר?", "");
    one.questions[0].answer = ["א", "ב", "ג"].map(str::to_owned).to_vec();
    one.questions[0].ordered = true;
    let texts = printed_texts(&pack(vec![one]));
    assert!(texts.iter().any(|(_, text, ..)| text == "(3 points, in"), "{texts:?}");
}

#[test]
fn a_side_that_does_not_fit_stops_the_release_and_is_named() {
    let full = |text: String| pack(vec![card("fits", "What?", "That"), card("full", "What?", &text)]);
    let department = department(&files(&[]));
    for text in ["far too many words ".repeat(60), "unbreakable".repeat(20)] {
        let found = cards(&full(text), &department, Options::default()).expect_err("it cannot fit");
        let named: Vec<_> =
            found.iter().map(|finding| (finding.rule, finding.card.as_deref(), finding.field.as_deref())).collect();
        assert_eq!(named, [("side-too-full", Some("full"), Some("answer"))]);
        assert!(found[0].message.starts_with("the answer side does not fit"), "{}", found[0].message);
    }
}

#[test]
fn letters_that_no_font_has_are_named() {
    let department = department(&files(&[]));
    let found = cards(&pack(vec![card("water", "What does 水 mean?", "Water")]), &department, Options::default());
    let found = found.expect_err("it cannot be printed");
    assert_eq!((found[0].rule, found[0].card.as_deref()), ("letters-not-printed", Some("water")));
    assert!(found[0].message.ends_with(": 水"), "{}", found[0].message);
}

#[test]
fn a_picture_that_cannot_be_read_is_named() {
    let mut department = with_picture();
    department.pictures.insert(PICTURE.to_owned(), b"<svg".as_slice().into());
    let found = cards(&pack(many()), &department, Options::default()).expect_err("no picture");
    assert!(found.iter().all(|finding| finding.rule == "unsafe-picture" && finding.card.as_deref() == Some("plain-5")));
}

#[test]
fn corrections_are_the_cards_that_were_put_right_and_nothing_else() {
    let department = department(&files(&[]));
    let mut before = pack(vec![card("a", "Q?", "34 knots"), card("b", "R?", "b"), card("c", "S?", "3 km")]);
    before.edition = Edition::Number(1);
    let now = pack(vec![card("b", "R?", "b"), card("a", "Q?", "35 knots"), card("c", "S?", "3 km")]);
    let differences = crate::pack::differences(&before, &now);
    let sheets = corrections(&now, &before, &differences, &department, Options::default()).expect("printed");
    assert!(sheets.is_some_and(|bytes| bytes.starts_with(b"%PDF")));
    let same = crate::pack::differences(&now, &now);
    assert_eq!(corrections(&now, &before, &same, &department, Options::default()).expect("nothing"), None);
    let cards: Vec<&PackCard> = vec![&now.cards[1]];
    let kind = Kind::Corrections { edition: 1, replaces: &[1] };
    let (document, _) =
        data::document(&Job { pack: &now, department: &department, options: Options::default(), cards: &cards, kind });
    let small: Vec<&str> = document.sheets[0].back[0].small.iter().map(String::as_str).collect();
    assert_eq!(small[0], "Replaces card 1 of edition 1");
    assert_eq!(document.front.sections[0].points[0], "Replace card 1 of Rivers (now card 2).");
}

#[test]
fn large_packs_come_in_parts_that_hold_every_card() {
    let cards: Vec<PackCard> = (0..402).map(|at| card(&format!("c-{at}"), "What?", "That")).collect();
    let files = super::cards(&pack(cards), &department(&files(&[])), Options::default()).expect("printed");
    assert_eq!(files.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), ["cards-1.pdf", "cards-2.pdf"]);
    let sizes: BTreeSet<bool> = files.iter().map(|(_, bytes)| bytes.len() > 100_000).collect();
    assert_eq!(sizes, BTreeSet::from([true]));
}

#[test]
fn small_print_names_cards_by_number_and_other_packs_by_topic() {
    let elsewhere = files(&[(
        "decks/year-7/maps/cards.yaml",
        "title: Map skills\nyear: 7\ncards:\n  - {id: contour, question: Q, answer: A}\n",
    )]);
    let mut one = card("a", "Q?", "A");
    one.needs = vec!["contour".to_owned(), "b".to_owned()];
    let pack = pack(vec![card("b", "Q?", "B"), one]);
    let department = department(&elsewhere);
    let cards: Vec<&PackCard> = pack.cards.iter().collect();
    let kind = Kind::Cards { part: 1, parts: 1 };
    let job = Job { pack: &pack, department: &department, options: Options::default(), cards: &cards, kind };
    let (document, shown): (_, BTreeMap<_, _>) = data::document(&job);
    assert!(shown.is_empty());
    assert_eq!(document.sheets[0].front[1].small[0], "Know first: 1, Map skills (year 7)");
}
