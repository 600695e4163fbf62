//! Reading the settings, with every mistake at its place.

use std::sync::Arc;

use jiff::civil::Date;

use super::{Colour, Holiday, Lesson, Policy, Settings, Term};
use crate::deck::card::Text;
use crate::deck::read::{Fields, Reader};
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
    "colours",
    "scheme",
    "leads",
    "policy",
];

const LIMITS: &[&str] =
    &["words_on_a_side", "questions_on_a_card", "points_in_an_answer", "words_in_a_section", "seconds_for_a_question"];

/// Reads the settings as far as they can be read.
pub fn read_settings(file: Arc<SourceFile>) -> Settings {
    let reading = yaml::read(&file.text);
    let mut reader = Reader::new(&file, None);
    reader.take_problems(&reading);
    let mut settings = Settings::default_in(Arc::clone(&file));
    if let Some(fields) = reading.tree.root.as_ref().and_then(|root| reader.fields(root, "settings file", FIELDS)) {
        read_fields(&mut reader, &fields, &mut settings);
    } else if reading.problems.is_empty() {
        let help = "write `department:`, `school:` and `years:`".to_owned();
        reader.report("missing-field", Span::default(), "department", "the settings file is empty".to_owned(), help);
    }
    settings.findings = reader.findings;
    settings
}

fn read_fields(reader: &mut Reader<'_>, fields: &Fields<'_>, settings: &mut Settings) {
    settings.department = reader.required_text(fields, "department");
    settings.school = reader.required_text(fields, "school");
    if reader.required(fields, "years").is_some() {
        settings.years =
            reader.texts(fields, "years").iter().filter_map(|year| number(reader, year, "years")).collect();
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
    colours(reader, fields, settings);
    for (at, entry) in reader.maps(fields, "scheme", "line of the scheme", &["deck", "term", "taught_on"]) {
        reader.within(format!("scheme[{at}]."));
        settings.scheme.extend(lesson(reader, &entry));
        reader.within(String::new());
    }
    settings.leads = reader.texts(fields, "leads");
    policy(reader, fields, settings);
}

fn number<T: std::str::FromStr>(reader: &mut Reader<'_>, text: &Text, field: &str) -> Option<T> {
    let number = text.trim().parse::<u16>().ok().filter(|&number| number > 0).and_then(|_| text.trim().parse().ok());
    if number.is_none() {
        let message = format!("expected a whole number behind `{field}:`, but found `{}`", text.value);
        reader.report("wrong-shape", text.span, field, message, "write a whole number, such as 8".to_owned());
    }
    number
}

fn date(reader: &mut Reader<'_>, fields: &Fields<'_>, name: &str) -> Option<Date> {
    let text = reader.optional_text(fields, name)?;
    let date = text.trim().parse::<Date>().ok().filter(|_| text.trim().len() == 10);
    if date.is_none() {
        let message = format!("expected a date behind `{name}:`, but found `{}`", text.value);
        reader.report("wrong-shape", text.span, name, message, "write year, month and day: `2026-09-07`".to_owned());
    }
    date
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
    Some(Holiday { name: name.map(|name| name.value).unwrap_or_default(), starts, ends })
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
        if let Some(limit) = reader.optional_text(&entries, name).and_then(|text| number(reader, &text, name)) {
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
    if let Some(minutes) = reader.optional_text(&entries, "minutes").and_then(|text| number(reader, &text, "minutes")) {
        settings.session.minutes = minutes;
    }
    let days = reader.texts(&entries, "review_days");
    if !days.is_empty() {
        settings.session.review_days = days.iter().filter_map(|day| number(reader, day, "review_days")).collect();
        settings.session.review_days.sort_unstable();
        settings.session.review_days.dedup();
    }
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
            let text = Text { value: "#ffffff".to_owned(), span: entry.value.span };
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
    let digits = text.strip_prefix('#').unwrap_or_default();
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
        if level.is_none() && word != "off" {
            let message = format!("expected a level for `{}`, but found `{word}`", rule.value);
            let help = "write `error`, `warning`, `advice` or `off`".to_owned();
            reader.report("wrong-shape", entry.value.span, "policy", message, help);
            continue;
        }
        settings.policy.insert(rule.value, Policy { level, span: entry.key.span });
    }
}
