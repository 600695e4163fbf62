//! Reading the settings, with every mistake at its place.

use std::sync::Arc;

use jiff::civil::Date;

use super::{Colour, FLIPS, Holiday, Lesson, PAPERS, Policy, Printing, Settings, Term};
use crate::deck::card::Text;
use crate::deck::read::{Fields, MAX_YEAR, Reader, whole_number};
use crate::deck::yaml::{self, Node};
use crate::finding::Level;
use crate::place::{SourceFile, Span};

const FIELDS: &[&str] = &[
    "department",
    "school",
    "years",
    "terms",
    "holidays",
    "limits",
    "session",
    "print",
    "colours",
    "scheme",
    "leads",
    "policy",
];

const LIMITS: &[&str] =
    &["words_on_a_side", "questions_on_a_card", "points_in_an_answer", "words_in_a_section", "seconds_for_a_question"];

/// The highest number that a limit or a review day can have.
const MAX_NUMBER: u16 = 9999;

/// The longest session, in minutes: after that a break does more than another card. Common practice.
const MAX_SESSION: u16 = 20;

/// Reads the settings as far as they can be read.
pub fn read_settings(file: Arc<SourceFile>) -> Settings {
    let reading = yaml::read(Arc::clone(&file.text));
    let mut reader = Reader::new(&file, None);
    reader.take_problems(&reading);
    let mut settings = Settings::default_in(Arc::clone(&file));
    match reading.tree.root.as_ref().filter(|root| !root.is_empty()) {
        Some(root) => {
            if let Some(fields) = reader.fields(root, "settings file", FIELDS) {
                read_fields(&mut reader, &fields, &mut settings);
            }
        }
        None if reading.problems.is_empty() => {
            let (message, help) = ("the settings file is empty", "write `department:`, `school:` and `years:`");
            reader.report("missing-field", Span::default(), "department", message.to_owned(), help.to_owned());
        }
        None => {}
    }
    settings.findings = reader.findings;
    settings
}

fn read_fields(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    settings.department = reader.required_text(fields, "department");
    settings.school = reader.required_text(fields, "school");
    if reader.required(fields, "years").is_some() {
        settings.years =
            reader.texts(fields, "years").iter().filter_map(|year| number(reader, year, "years", MAX_YEAR)).collect();
    }
    for (at, entry) in reader.maps(fields, "terms", "term", &["name", "starts", "ends"]) {
        reader.within(format!("terms[{at}]."));
        settings.terms.extend(term(reader, &entry));
        reader.within(String::new());
    }
    for (at, entry) in reader.maps(fields, "holidays", "holiday", &["name", "starts", "ends"]) {
        reader.within(format!("holidays[{at}]."));
        settings.holidays.extend(holiday(reader, &entry));
        reader.within(String::new());
    }
    limits(reader, fields, settings);
    session(reader, fields, settings);
    printing(reader, fields, settings);
    colours(reader, fields, settings);
    for (at, entry) in reader.maps(fields, "scheme", "line of the scheme", &["deck", "term", "taught_on"]) {
        reader.within(format!("scheme[{at}]."));
        settings.scheme.extend(lesson(reader, &entry));
        reader.within(String::new());
    }
    settings.leads = reader.texts(fields, "leads");
    policy(reader, fields, settings);
}

/// A whole number from 1 to `max`.
fn number<T: TryFrom<u16>>(reader: &mut Reader<'_>, text: &Text, field: &str, max: u16) -> Option<T> {
    let number = whole_number(text, max);
    if number.is_none() {
        let message = format!("expected a whole number from 1 to {max} behind `{field}:`, but found `{}`", text.value);
        reader.report("wrong-shape", text.span, field, message, "write a whole number, such as 8".to_owned());
    }
    number.and_then(|number| T::try_from(number).ok())
}

fn date(reader: &mut Reader<'_>, fields: &Fields<'_>, name: &str) -> Option<Date> {
    let node = reader.optional(fields, name)?;
    let text = reader.text(node, name)?;
    let date = node.text().filter(|text| is_written_date(text)).and_then(|text| text.parse::<Date>().ok());
    if date.is_none() {
        let message = format!("expected a date behind `{name}:`, but found `{}`", text.value);
        reader.report("wrong-shape", text.span, name, message, "write year, month and day: `2026-09-07`".to_owned());
    }
    date
}

/// Whether the text has the form of year, month and day: `2026-09-07`.
fn is_written_date(text: &str) -> bool {
    let form = |(at, byte): (usize, u8)| if matches!(at, 4 | 7) { byte == b'-' } else { byte.is_ascii_digit() };
    text.len() == 10 && text.bytes().enumerate().all(form)
}

fn required_date(reader: &mut Reader<'_>, fields: &Fields<'_>, name: &str) -> Option<Date> {
    reader.required(fields, name)?;
    date(reader, fields, name)
}

/// First and last day, in this order.
fn days(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Option<(Date, Date)> {
    let starts = required_date(reader, fields, "starts");
    let ends = if fields.entry("ends").is_some() { date(reader, fields, "ends") } else { starts };
    let (starts, ends) = (starts?, ends?);
    if ends < starts {
        let message = format!("this ends on {ends}, before it starts on {starts}");
        reader.report("wrong-shape", fields.span, "ends", message, "write the earlier day behind `starts:`".to_owned());
        return None;
    }
    Some((starts, ends))
}

fn term(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Option<Term> {
    let name = reader.required_text(fields, "name");
    reader.required(fields, "ends");
    let days = days(reader, fields);
    let ((starts, ends), name) = (days?, name?);
    Some(Term { name, starts, ends })
}

fn holiday(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Option<Holiday> {
    let name = reader.optional_text(fields, "name");
    let (starts, ends) = days(reader, fields)?;
    Some(Holiday { name: name.map(|name| name.value.into()).unwrap_or_default(), starts, ends })
}

fn lesson(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Option<Lesson> {
    let deck = reader.required_text(fields, "deck");
    let term = reader.required_text(fields, "term");
    let taught_on = date(reader, fields, "taught_on");
    Some(Lesson { deck: deck?, term: term?, taught_on })
}

fn nested<'n>(
    reader: &mut Reader<'_>,
    fields: &Fields<'n>,
    name: &'static str,
    known: &[&'static str],
) -> Option<Fields<'n>> {
    let node = reader.optional(fields, name)?;
    reader.fields(node, name, known)
}

fn limits(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    let Some(entries) = nested(reader, fields, "limits", LIMITS) else { return };
    let mut read = |name: &str, into: &mut usize| {
        if let Some(limit) =
            reader.optional_text(&entries, name).and_then(|text| number(reader, &text, name, MAX_NUMBER))
        {
            *into = limit;
        }
    };
    let limits = &mut settings.limits;
    read("words_on_a_side", &mut limits.words_on_a_side);
    read("questions_on_a_card", &mut limits.questions_on_a_card);
    read("points_in_an_answer", &mut limits.points_in_an_answer);
    read("words_in_a_section", &mut limits.words_in_a_section);
    read("seconds_for_a_question", &mut limits.seconds_for_a_question);
}

fn session(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    let Some(entries) = nested(reader, fields, "session", &["minutes", "review_days"]) else { return };
    if let Some(minutes) =
        reader.optional_text(&entries, "minutes").and_then(|text| number(reader, &text, "minutes", MAX_SESSION))
    {
        settings.session.minutes = minutes;
    }
    let days = reader.texts(&entries, "review_days");
    if !days.is_empty() {
        settings.session.review_days =
            days.iter().filter_map(|day| number(reader, day, "review_days", MAX_NUMBER)).collect();
        settings.session.review_days.sort_unstable();
        settings.session.review_days.dedup();
    }
}

fn printing(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    let Some(entries) = nested(reader, fields, "print", &["paper", "flip"]) else { return };
    settings.print =
        Printing { paper: one_of(reader, &entries, "paper", PAPERS), flip: one_of(reader, &entries, "flip", FLIPS) };
}

/// One of these words.
fn one_of(reader: &mut Reader<'_>, fields: &Fields<'_>, name: &str, words: &[&'static str]) -> Option<&'static str> {
    let text = reader.optional_text(fields, name)?;
    let word = words.iter().copied().find(|word| *word == text.value);
    if word.is_none() {
        let message = format!("expected {} behind `{name}:`, but found `{}`", words.join(", "), text.value);
        reader.report("wrong-shape", text.span, name, message, format!("write one of them: `{name}: {}`", words[0]));
    }
    word
}

fn colours(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    let Some(node) = reader.optional(fields, "colours") else { return };
    let Some(entries) = node.map() else {
        let help = "write a deck and its colour: `year-8/rivers: '#1f5f5b'`".to_owned();
        reader.report(
            "wrong-shape",
            node.span,
            "colours",
            "expected decks with their colours behind `colours:`".to_owned(),
            help,
        );
        return;
    };
    for entry in entries {
        let Some(name) = reader.text(&entry.key, "colours") else { continue };
        let colour = if entry.value.text().is_some() {
            let text = Text { value: "#ffffff".into(), span: entry.value.span };
            colour(reader, &entry.value, "colours").map(|band| Colour { band, text })
        } else {
            both_colours(reader, &entry.value)
        };
        settings.colours.extend(colour.map(|colour| (name, colour)));
    }
}

fn both_colours(reader: &mut Reader<'_>, node: &Node) -> Option<Colour> {
    let fields = reader.fields(node, "colour", &["band", "text"])?;
    let band = reader.required(&fields, "band").and_then(|node| colour(reader, node, "band"));
    let text = reader.required(&fields, "text").and_then(|node| colour(reader, node, "text"));
    Some(Colour { band: band?, text: text? })
}

fn colour(reader: &mut Reader<'_>, node: &Node, field: &str) -> Option<Text> {
    // `colours: {rivers: #1f5f5b}` without quotes is a remark; say so instead of `nothing is there`.
    if node.text().is_some_and(str::is_empty) {
        let help = "put the colour in quotes: `'#1f5f5b'`".to_owned();
        reader.report(
            "wrong-shape",
            node.span,
            field,
            "a colour without quotes is taken for a remark".to_owned(),
            help,
        );
        return None;
    }
    let text = reader.text(node, field)?;
    let digits = node.text().and_then(|text| text.strip_prefix('#')).unwrap_or_default();
    if digits.len() == 6 && digits.chars().all(|c| c.is_ascii_hexdigit()) {
        return Some(text);
    }
    let message = format!("`{}` is no colour", text.value);
    reader.report(
        "wrong-shape",
        node.span,
        field,
        message,
        "write six hexadecimal digits in quotes: `'#1f5f5b'`".to_owned(),
    );
    None
}

fn policy(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    let Some(node) = reader.optional(fields, "policy") else { return };
    let Some(entries) = node.map() else {
        let help = "write a rule and its level: `no-source: warning`".to_owned();
        reader.report(
            "wrong-shape",
            node.span,
            "policy",
            "expected rules with their levels behind `policy:`".to_owned(),
            help,
        );
        return;
    };
    for entry in entries {
        let Some(rule) = reader.text(&entry.key, "policy") else { continue };
        let word = entry.value.text().unwrap_or_default();
        let level = Level::from_word(word);
        if level.is_none() && !is_off(word) {
            let message = format!("expected a level for `{}`, but found `{word}`", rule.value);
            let help = "write `error`, `warning`, `advice` or `off`".to_owned();
            reader.report("wrong-shape", entry.value.span, "policy", message, help);
            continue;
        }
        settings.policy.insert(rule.value.into(), Policy { level, span: entry.key.span });
    }
}

/// Whether a rule is switched off: `off`, which some editors write out as `false`.
fn is_off(word: &str) -> bool {
    word == "off" || word.eq_ignore_ascii_case("false")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Settings {
        read_settings(Arc::new(SourceFile::new(super::super::PATH, text)))
    }

    fn rules(more: &str) -> Vec<&'static str> {
        let settings = read(&format!("department: Geography\nschool: Ambleford Quay School\nyears: [7]\n{more}"));
        settings.findings.iter().map(|finding| finding.rule).collect()
    }

    #[test]
    fn a_file_with_nothing_in_it_is_reported_once() {
        for text in ["", "# a remark\n", "---\n"] {
            assert_eq!(read(text).findings.len(), 1, "{text:?}");
        }
        assert_eq!(read("Geography\n").findings.len(), 1);
    }

    #[test]
    fn years_and_numbers_have_a_limit() {
        assert_eq!(read("department: G\nschool: A\nyears: [7, 120]\n").findings.len(), 1);
        assert!(rules("limits: {words_on_a_side: 9999}\n").is_empty());
        assert_eq!(rules("limits: {words_on_a_side: 10000}\n"), ["wrong-shape"]);
        assert!(rules("session: {minutes: 20}\n").is_empty());
        assert_eq!(rules("session: {minutes: 21}\n"), ["wrong-shape"]);
    }

    #[test]
    fn dates_are_year_month_and_day() {
        assert!(rules("holidays: [{starts: 2028-02-29}]\n").is_empty());
        for date in ["2027-02-29", "20270201", "2027-2-1", "' 2027-02-01'", "2027-02-01T10:00"] {
            assert_eq!(rules(&format!("holidays: [{{starts: {date}}}]\n")), ["wrong-shape"], "{date}");
        }
    }

    #[test]
    fn how_cards_are_printed_is_one_of_a_few_words() {
        let settings = read("department: G\nschool: A\nyears: [7]\nprint: {paper: a6, flip: short}\n");
        assert_eq!(settings.print, Printing { paper: Some("a6"), flip: Some("short") });
        assert!(settings.findings.is_empty());
        assert_eq!(rules("print: {paper: a5}\n"), ["wrong-shape"]);
        assert_eq!(rules("print: {flip: both, paper: a7}\n"), ["wrong-shape"]);
    }

    #[test]
    fn off_may_be_written_as_false() {
        for word in ["off", "false", "False", "'false'"] {
            let settings = read(&format!("department: G\nschool: A\nyears: [7]\npolicy: {{giveaway: {word}}}\n"));
            assert!(settings.findings.is_empty() && settings.policy["giveaway"].level.is_none(), "{word}");
        }
        assert_eq!(rules("policy: {giveaway: no}\n"), ["wrong-shape"]);
    }
}
