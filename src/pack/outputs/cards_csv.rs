//! `cards.csv`: one card a row with all its fields, for spreadsheets (RFC 4180).
//!
//! - The first row names the columns; lines end in CR LF; the text is UTF-8 with a byte order mark,
//!   because the most common spreadsheet takes a file without one for an older encoding and shows
//!   `Â°C` for `°C`. Programs are better served by `pack.json`.
//! - A cell that a spreadsheet might take for a formula gets an apostrophe in front (OWASP, "CSV
//!   Injection"); so does one that starts with an apostrophe itself. So the rule for readers is one:
//!   **a first apostrophe is not part of the text.** Negative numbers are no exception: `'-5 °C`.
//! - Every cell stands in quotation marks: spreadsheets that part cells at semicolons and tabs too would
//!   else part `Flat land; Fertile soil`, and take what stands behind `;=` for a formula.
//! - Where a column can hold several texts they are joined by `; `. A semicolon of the text's own has
//!   a backslash before it, and so has a backslash that stands before a semicolon or at the end.
//! - Further questions of a card have columns of their own: `question_2`, `answer_2` and so on, as many
//!   as the fullest card of the pack needs.

use super::PackInput;
use crate::finding::Finding;
use crate::pack::model::{PackCard, PackPicture, PackQuestion};

const BYTE_ORDER_MARK: &[u8] = "\u{feff}".as_bytes();

const QUESTION: &[&str] = &["question", "answer", "ordered", "accept", "source", "quote"];

pub(super) fn write(input: &PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>> {
    let cards = &input.pack.cards;
    let questions = cards.iter().map(|card| card.questions.len()).max().unwrap_or_default().max(1);
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .quote_style(csv::QuoteStyle::Always)
        .from_writer(BYTE_ORDER_MARK.to_vec());
    // Writing to memory does not fail, and all rows are as long as the first.
    _ = out.write_record(header(questions));
    for card in cards {
        _ = out.write_record(row(card, questions).iter().map(|cell| safe(cell)));
    }
    Ok(out.into_inner().unwrap_or_default())
}

fn header(questions: usize) -> Vec<String> {
    let own = QUESTION.iter().map(|name| (*name).to_owned());
    let further = (2..=questions).flat_map(|number| QUESTION.iter().map(move |name| format!("{name}_{number}")));
    let front = ["number", "deck", "topic", "id", "tier"].map(str::to_owned);
    let back = [
        "both_ways",
        "needs",
        "see",
        "pictures",
        "picture_sides",
        "picture_alts",
        "picture_credits",
        "picture_licences",
        "caution",
        "tags",
        "allow",
    ];
    front.into_iter().chain(own).chain(further).chain(back.map(str::to_owned)).collect()
}

fn row(card: &PackCard, questions: usize) -> Vec<String> {
    let mut row = vec![
        card.number.to_string(),
        card.deck.clone(),
        card.topic.clone(),
        card.id.clone(),
        card.tier.word().to_owned(),
    ];
    for at in 0..questions {
        match card.questions.get(at) {
            Some(question) => row.extend(question_cells(question)),
            None => row.extend(QUESTION.iter().map(|_| String::new())),
        }
    }
    let pictures = |text: fn(&PackPicture) -> &str| joined(card.pictures.iter().map(text));
    row.extend([
        flag(card.both_ways),
        joined(card.needs.iter().map(String::as_str)),
        joined(card.see.iter().map(String::as_str)),
        pictures(|picture| &picture.file),
        pictures(|picture| picture.side.word()),
        pictures(|picture| picture.alt.as_deref().unwrap_or_default()),
        pictures(|picture| picture.credit.as_deref().unwrap_or_default()),
        pictures(|picture| picture.licence.as_deref().unwrap_or_default()),
        card.caution.clone().unwrap_or_default(),
        joined(card.tags.iter().map(String::as_str)),
        joined(card.allow.iter().map(|(rule, reason)| format!("{rule}: {reason}"))),
    ]);
    row
}

fn question_cells(question: &PackQuestion) -> [String; 6] {
    let list = |texts: &[String]| joined(texts.iter().map(String::as_str));
    [
        question.question.clone(),
        list(&question.answer),
        flag(question.ordered),
        list(&question.accept),
        question.source.clone().unwrap_or_default(),
        list(&question.quote),
    ]
}

fn flag(set: bool) -> String {
    if set { "true".to_owned() } else { String::new() }
}

/// Texts joined by `; ` so that they can be told apart again.
fn joined<T: AsRef<str>>(texts: impl Iterator<Item = T>) -> String {
    texts.map(|text| escaped(text.as_ref())).collect::<Vec<_>>().join("; ")
}

fn escaped(text: &str) -> String {
    if !text.contains(';') && !text.ends_with('\\') {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len() + 2);
    let mut slashes = 0;
    for c in text.chars() {
        if c == ';' {
            // Those before it are doubled, and one more marks it.
            out.push_str(&"\\".repeat(slashes + 1));
        }
        slashes = if c == '\\' { slashes + 1 } else { 0 };
        out.push(c);
    }
    out + &"\\".repeat(slashes)
}

/// A cell that no spreadsheet takes for a formula.
fn safe(cell: &str) -> String {
    let first = cell.trim_start_matches([' ', '\u{a0}', '\u{feff}']).chars().next();
    let risky = matches!(first, Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠'));
    if risky || cell.starts_with('\'') { format!("'{cell}") } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::change::support::decks;
    use crate::pack::support::{card, further, pack};

    fn written(cards: Vec<PackCard>) -> Vec<u8> {
        let department = decks(&[]);
        let pack = pack(cards);
        write(&PackInput { pack: &pack, before: None, differences: None, department: &department, files: &[] }).unwrap()
    }

    /// What a reader that keeps to the rules gets: each cell by its column.
    fn read(bytes: &[u8]) -> Vec<Vec<(String, String)>> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(bytes);
        let mut rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect::<Vec<_>>());
        let header = rows.next().unwrap();
        let bare = |cell: String| cell.strip_prefix('\'').map(str::to_owned).unwrap_or(cell);
        rows.map(|row| header.iter().cloned().zip(row.into_iter().map(bare)).collect()).collect()
    }

    /// A cell taken apart into its texts.
    fn apart(cell: &str) -> Vec<String> {
        let mut texts = vec![String::new()];
        let mut slashes = 0;
        let mut rest = cell.chars().peekable();
        while let Some(c) = rest.next() {
            if c == '\\' {
                slashes += 1;
                continue;
            }
            let text = texts.last_mut().unwrap();
            if c != ';' {
                text.push_str(&"\\".repeat(std::mem::take(&mut slashes)));
                text.push(c);
                continue;
            }
            text.push_str(&"\\".repeat(slashes / 2));
            if std::mem::take(&mut slashes) % 2 == 1 {
                text.push(';');
            } else {
                rest.next();
                texts.push(String::new());
            }
        }
        texts.last_mut().unwrap().push_str(&"\\".repeat(slashes / 2));
        texts
    }

    fn cell<'a>(row: &'a [(String, String)], column: &str) -> &'a str {
        &row.iter().find(|(name, _)| name == column).unwrap_or_else(|| panic!("no {column}")).1
    }

    #[test]
    fn the_form_is_rfc_4180_with_a_byte_order_mark() {
        let text = String::from_utf8(written(vec![card("a", "What and \"what\"?", "5 °C")])).unwrap();
        let text = text.strip_prefix('\u{feff}').unwrap();
        let quoted = |cells: &str| format!("\"{}\"", cells.replace(',', "\",\""));
        let lines: Vec<&str> = text.split("\r\n").collect();
        assert_eq!(
            lines[0],
            quoted(
                "number,deck,topic,id,tier,question,answer,ordered,accept,source,quote,both_ways,needs,see,pictures,\
                 picture_sides,picture_alts,picture_credits,picture_licences,caution,tags,allow"
            )
        );
        assert_eq!(lines[1], quoted("1,rivers,Rivers,a,core,What and \"\"what\"\"?,5 °C,,,,,,,,,,,,,,,"));
        assert_eq!((lines.len(), lines[2]), (3, ""));
    }

    #[test]
    fn nothing_is_a_formula_and_the_text_comes_back() {
        let hostile = ["=1+1", "+1", "-5", "@x", "\tx", "\r=x", "'quoted'", " =1", "＝1", "-", "'", "\n=x"];
        for text in hostile {
            let bytes = written(vec![card("a", text, text)]);
            let mut reader = csv::ReaderBuilder::new().from_reader(bytes.as_slice());
            let raw = reader.records().next().unwrap().unwrap();
            assert!(raw.iter().all(|cell| !cell.trim_start().starts_with(['=', '+', '-', '@', '＝'])), "{text:?}");
            assert_eq!(cell(&read(&bytes)[0], "question"), text);
        }
        assert_eq!(safe("3 - 5"), "3 - 5");
    }

    #[test]
    fn spreadsheets_that_part_cells_at_semicolons_and_tabs_too_find_the_same_cells() {
        let mut one = card("a", "x;=1+1\t=2", "");
        one.questions[0].answer = vec!["Flat land".to_owned(), "=cmd()".to_owned()];
        let bytes = written(vec![one]);
        let split = |separator: &str| {
            // A cell ends where a quotation mark stands before a separator, whichever that is.
            String::from_utf8_lossy(&bytes).lines().nth(1).unwrap().replace("\",\"", &format!("\"{separator}\""))
        };
        for separator in [";", "\t"] {
            let text = split(separator);
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .delimiter(separator.as_bytes()[0])
                .from_reader(text.as_bytes());
            let row = reader.records().next().unwrap().unwrap();
            assert_eq!((&row[5], &row[6]), ("x;=1+1\t=2", "Flat land; =cmd()"));
        }
    }

    #[test]
    fn further_questions_have_columns_of_their_own() {
        let mut full = card("a", "One?", "1");
        full.questions.push(further("Two?", "2"));
        full.questions.push(further("Three?", "3"));
        let rows = read(&written(vec![full, card("b", "Only?", "1")]));
        assert_eq!((cell(&rows[0], "question_3"), cell(&rows[0], "answer_2")), ("Three?", "2"));
        assert_eq!((cell(&rows[1], "question_2"), rows[0].len()), ("", rows[1].len()));
    }

    #[test]
    fn semicolons_and_backslashes_are_told_from_joints() {
        for texts in
            [vec!["a; b", "c"], vec!["\\", "\\;"], vec!["a\\\\", ";"], vec!["$a\\;b$", "x\\"], vec![";;", "\\\\;"]]
        {
            assert_eq!(apart(&joined(texts.iter())), texts);
        }
        assert_eq!(joined(["erosion", "$\\frac{a}{b}$"].iter()), "erosion; $\\frac{a}{b}$");
    }

    proptest! {
        #[test]
        fn every_card_reads_back_equal(
            question in "[-=+@'\" ;,\\\\\r\n\ta-z°é]{0,8}",
            points in prop::collection::vec("[-=+@'\";\\\\ ,a-z]{1,6}", 1..4),
            needs in prop::collection::vec("[a-z]{1,3}", 0..3),
        ) {
            let mut one = card("a", &question, "");
            one.questions[0].answer = points.clone();
            one.needs = needs.clone();
            let rows = read(&written(vec![one]));
            prop_assert_eq!(cell(&rows[0], "question"), question);
            prop_assert_eq!(apart(cell(&rows[0], "answer")), points);
            let back = Some(cell(&rows[0], "needs")).filter(|cell| !cell.is_empty()).map(apart).unwrap_or_default();
            prop_assert_eq!(back, needs);
        }
    }
}
