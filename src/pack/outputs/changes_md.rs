//! `changes.md`: what is different from the edition before, in Markdown; corrected facts come first.
//!
//! Card text stands in it literally: whatever would be markup, a link or a mention is escaped.

use super::PackInput;
use crate::change::FieldChange;
use crate::deck::Value;
use crate::finding::Finding;
use crate::pack::differences::{Changed, Differences, Moved, Numbered, Renumbered, Rescheduled};
use crate::pack::model::Pack;

pub(super) fn write(input: &PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>> {
    let mut out = heading(input.pack);
    match (input.before, input.differences) {
        (Some(before), Some(differences)) => compared(&mut out, before, differences),
        _ => out.push_str("This is the first edition: there is none before it to compare with.\n"),
    }
    Ok(out.into_bytes())
}

fn heading(pack: &Pack) -> String {
    let edition = pack.edition.to_string();
    let (department, school) = (escaped(&pack.department), escaped(&pack.school));
    let term = escaped(&pack.term_in_words());
    format!("# What changed: {department}, year {}, {term}, {edition}\n\n{school}\n\n", pack.year)
}

fn compared(out: &mut String, before: &Pack, differences: &Differences) {
    out.push_str(&format!("Compared with {}.\n", before.edition));
    if differences.is_empty() {
        out.push_str("\nNothing is different.\n");
        return;
    }
    let corrected = "The question or the answer was put right. Replace these cards, and learn them again.";
    section(out, "Corrected", corrected, &differences.corrected, changed);
    section(out, "Reworded", "They say the same in other words.", &differences.reworded, changed);
    section(out, "New", "", &differences.new, |card| title(card, None) + "\n");
    section(out, "Withdrawn", "The numbers are those of the edition before.", &differences.withdrawn, |card| {
        title(card, None) + "\n"
    });
    section(out, "Moved to another topic", "", &differences.moved, moved);
    let otherwise = "Pictures, links to other cards and the like.";
    section(out, "Different in something else", otherwise, &differences.otherwise, changed);
    section(out, "Topics with another name", "", &differences.retitled, |(before, now)| {
        format!("- {} is now called {}\n", escaped(before), escaped(now))
    });
    let calendar = "The calendar has the new days.";
    section(out, "Taught on another day", calendar, &differences.rescheduled, rescheduled);
    section(out, "Other numbers", "", &differences.renumbered, renumbered);
}

fn section<T>(out: &mut String, title: &str, lead: &str, items: &[T], line: impl Fn(&T) -> String) {
    if items.is_empty() {
        return;
    }
    out.push_str(&format!("\n## {title}\n\n"));
    if !lead.is_empty() {
        out.push_str(&format!("{lead}\n\n"));
    }
    items.iter().for_each(|item| out.push_str(&line(item)));
}

fn changed(changed: &Changed) -> String {
    let mut lines = title(&changed.card, Some(changed.before)) + "\n";
    for field in &changed.fields {
        lines.push_str(&of_field(field));
    }
    lines
}

fn of_field(field: &FieldChange) -> String {
    let name = in_words(&field.field);
    let text = |value: &Value| escaped(&value.line());
    match (&field.before, &field.after) {
        _ if field.field == "pictures" => "  - the pictures are different\n".to_owned(),
        (Some(before), Some(after)) => format!("  - {name} was: {}\n  - {name} is: {}\n", text(before), text(after)),
        (None, Some(after)) => format!("  - {name} is new: {}\n", text(after)),
        (Some(before), None) => format!("  - {name} is gone: {}\n", text(before)),
        (None, None) => String::new(),
    }
}

/// The field as it is called on the printed card: further questions are numbered from 2.
pub(crate) fn in_words(field: &str) -> String {
    let (number, name) = match field.strip_prefix("also[").and_then(|rest| rest.split_once(']')) {
        Some((at, name)) => (at.parse::<usize>().ok().map(|at| at + 2), name.trim_start_matches('.')),
        None => (None, field),
    };
    let name = match name {
        "" | "also" => "question",
        "ordered" => "order of the answer",
        "accept" => "also right",
        "both_ways" => "both ways",
        "needs" => "know first",
        "see" => "see also",
        name => name,
    };
    number.map_or_else(|| name.to_owned(), |number| format!("{name} {number}"))
}

fn title(card: &Numbered, before: Option<usize>) -> String {
    let before = before.filter(|before| *before != card.number);
    let before = before.map_or_else(String::new, |before| format!(" (it was card {before})"));
    format!("- **Card {}**{before}, {}: {}", card.number, escaped(&card.topic), escaped(&card.question))
}

fn moved(moved: &Moved) -> String {
    let from = escaped(&moved.from);
    format!("{}\n  - it was in {from}\n", title(&moved.card, Some(moved.before)))
}

fn rescheduled(topic: &Rescheduled) -> String {
    let day = |day: &Option<String>| day.clone().unwrap_or_else(|| "no day given".to_owned());
    format!("- {}: {} (it was: {})\n", escaped(&topic.topic), day(&topic.now), day(&topic.before))
}

fn renumbered(run: &Renumbered) -> String {
    if run.count == 1 {
        return format!("- Card {} is now card {}\n", run.before, run.now);
    }
    let last = run.count - 1;
    format!("- Cards {} to {} are now {} to {}\n", run.before, run.before + last, run.now, run.now + last)
}

/// Text on one line that Markdown shows as it is.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        escape_word(word, &mut out);
        if words.peek().is_some() {
            out.push(' ');
        }
    }
    out
}

fn escape_word(word: &str, out: &mut String) {
    // Hosting sites make links of bare addresses.
    let address = word.contains("://") || word.to_ascii_lowercase().contains("www.");
    for c in word.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '!' | '|' | '~' | '^' | '$' | '&' | '@' => {
                out.push('\\');
                out.push(c);
            }
            ':' | '.' if address => {
                out.push('\\');
                out.push(c);
            }
            // Controls, and characters that turn the direction of what follows.
            c if c.is_control()
                || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}') =>
            {
                out.push('\u{fffd}');
            }
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::support::decks;
    use crate::pack::differences::differences;
    use crate::pack::edition::Edition;
    use crate::pack::support::{card, further, pack};

    fn written(before: Option<&Pack>, pack: &Pack) -> String {
        let department = decks(&[]);
        let found = before.map(|before| differences(before, pack));
        let input = PackInput { pack, before, differences: found.as_ref(), department: &department, files: &[] };
        String::from_utf8(write(&input).unwrap()).unwrap()
    }

    #[test]
    fn the_first_edition_says_so() {
        let text = written(None, &pack(vec![card("a", "A?", "a")]));
        assert!(text.starts_with("# What changed: Geography, year 8, autumn 2026, edition 2\n"), "{text}");
        assert!(text.ends_with("This is the first edition: there is none before it to compare with.\n"));
    }

    #[test]
    fn corrections_lead_and_both_numbers_are_given() {
        let mut before =
            pack(vec![card("a", "Which force is a gale?", "7"), card("b", "B?", "The rain"), card("c", "C?", "c")]);
        before.edition = Edition::Number(1);
        let mut gale = card("a", "Which force is a gale?", "8");
        gale.questions.push(further("How fast?", "34 knots"));
        let now = pack(vec![card("n", "N?", "n"), gale, card("b", "B?", "Rain")]);
        let expected = "# What changed: Geography, year 8, autumn 2026, edition 2\n\n\
            Ambleford Quay School\n\n\
            Compared with edition 1.\n\n\
            ## Corrected\n\n\
            The question or the answer was put right. Replace these cards, and learn them again.\n\n\
            - **Card 2** (it was card 1), Rivers: Which force is a gale?\n\
            \x20 - answer was: 7\n  - answer is: 8\n\
            \x20 - question 2 is new: question: How fast?, answer: 34 knots\n\n\
            ## Reworded\n\n\
            They say the same in other words.\n\n\
            - **Card 3** (it was card 2), Rivers: B?\n\
            \x20 - answer was: The rain\n  - answer is: Rain\n\n\
            ## New\n\n\
            - **Card 1**, Rivers: N?\n\n\
            ## Withdrawn\n\n\
            The numbers are those of the edition before.\n\n\
            - **Card 3**, Rivers: C?\n\n\
            ## Other numbers\n\n\
            - Cards 1 to 2 are now 2 to 3\n";
        assert_eq!(written(Some(&before), &now), expected);
        assert!(written(Some(&now), &now).ends_with("Nothing is different.\n"));
    }

    #[test]
    fn another_day_is_told() {
        let before = pack(vec![card("a", "A?", "a")]);
        let mut now = before.clone();
        now.topics[0].taught_on = Some("2026-10-05".to_owned());
        let text = written(Some(&before), &now);
        assert!(text.ends_with("\n- Rivers: 2026-10-05 (it was: no day given)\n"), "{text}");
    }

    #[test]
    fn card_text_is_no_markup() {
        let hostile = "<script> [x](javascript:y) *a* `b` ![p](q) # h\n- @lead https://x.example www.x.example \u{202e}x a_b_c & 5 < 6 | ~x~ $y$";
        let text = written(None, &pack(vec![])) + &escaped(hostile);
        let mut shown = String::new();
        for event in pulldown_cmark::Parser::new_ext(&text, pulldown_cmark::Options::all()) {
            use pulldown_cmark::{Event, Tag};
            match event {
                Event::Text(text) => shown.push_str(&text),
                Event::Start(Tag::Paragraph | Tag::Heading { .. }) | Event::End(_) | Event::SoftBreak => {}
                other => panic!("{other:?}"),
            }
        }
        let plain = "<script> [x](javascript:y) *a* `b` ![p](q) # h - @lead https://x.example www.x.example \u{fffd}x a_b_c & 5 < 6 | ~x~ $y$";
        assert!(shown.ends_with(plain), "{shown}");
        assert!(!text.contains("https://") && !text.contains("www.") && !text.contains(" @"));
    }

    #[test]
    fn fields_are_called_as_on_the_printed_card() {
        for (field, words) in
            [("answer", "answer"), ("also[0].answer", "answer 2"), ("also[1]", "question 3"), ("needs", "know first")]
        {
            assert_eq!(in_words(field), words);
        }
    }
}
