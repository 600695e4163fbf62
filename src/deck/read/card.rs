//! Reading one card.

use super::reader::{Fields, Reader, shown};
use super::undecided::undecided;
use crate::deck::card::{Answer, Card, Picture, Question, Text, Waiver};
use crate::deck::fields;
use crate::deck::yaml::Node;
use smallvec::smallvec;

/// The card in `node`, as far as it can be read.
pub fn card(reader: &mut Reader<'_>, node: &Node) -> Option<Card> {
    reader.on_card(node.get("id").and_then(Node::text).unwrap_or_default());
    let names: Vec<_> = fields::CARD.iter().map(|field| field.name).collect();
    let fields = reader.fields(node, "card", &names)?;
    let id = id(reader, &fields);
    reader.on_card(&id);
    let mut questions = smallvec![question(reader, &fields, None)];
    for (at, entry) in reader.maps(&fields, "also", "question under `also`", fields::ALSO) {
        reader.within(format!("also[{at}]."));
        questions.push(question(reader, &entry, Some(at)));
        reader.within(String::new());
    }
    let card = Card {
        id,
        questions,
        both_ways: reader.flag(&fields, "both_ways"),
        needs: reader.texts(&fields, "needs").into(),
        see: reader.texts(&fields, "see").into(),
        pictures: pictures(reader, &fields).into(),
        extension: choice(reader, &fields, "tier", ["core", "extension"]),
        caution: reader.optional_text(&fields, "caution").map(Box::new),
        draft: reader.flag(&fields, "draft"),
        tags: reader.texts(&fields, "tags").into(),
        allow: waivers(reader, &fields).into(),
        undecided: undecided(reader, &fields).into(),
        span: node.span,
    };
    reader.on_card("");
    Some(card)
}

/// Whether `id` is lower-case words joined by hyphens, and no word that other readers of the file
/// take for a truth value.
pub fn is_id(id: &str) -> bool {
    let word =
        |word: &str| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit());
    id.starts_with(|c: char| c.is_ascii_lowercase()) && id.split('-').all(word) && !RESERVED.contains(&id)
}

/// Words that other readers of the file take for something else than text.
pub const RESERVED: &[&str] = &["false", "n", "no", "null", "off", "on", "true", "y", "yes"];

/// The id that `text` was probably meant to be.
pub fn as_id(text: &str) -> String {
    let words = text.to_lowercase();
    let words = words.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let id = words.collect::<Vec<_>>().join("-");
    match id.as_str() {
        "" => "card".to_owned(),
        id if is_id(id) => id.to_owned(),
        id => format!("card-{id}"),
    }
}

fn id(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Text {
    let Some(node) = reader.required(fields, "id") else { return Text::default() };
    let Some(text) = reader.text(node, "id") else { return Text::default() };
    // The line end of text in lines is no part of other texts, but an id must be the same everywhere.
    if !node.text().is_some_and(is_id) {
        let why = if RESERVED.contains(&text.value.as_str()) {
            format!("`{}` cannot be an id: other programs read it as a truth value", text.value)
        } else {
            format!("`{}` is no id: an id is lower-case words joined by hyphens", text.value)
        };
        reader.report("bad-id", text.span, "id", why, format!("write `id: {}`", as_id(&text)));
    }
    text
}

fn question(reader: &mut Reader<'_>, fields: &Fields<'_>, also: Option<usize>) -> Question {
    let asked = reader.required_text(fields, "question").unwrap_or_default();
    let (points, listed, answer_span) = match reader.required(fields, "answer") {
        Some(node) => {
            if node.list().is_some_and(<[Node]>::is_empty) {
                let help = "write at least one point".to_owned();
                reader.report(
                    "missing-field",
                    node.span,
                    "answer",
                    "the list behind `answer:` is empty".to_owned(),
                    help,
                );
            }
            let (points, listed) = reader.text_or_list(node, "answer");
            (points, listed, node.span)
        }
        None => Default::default(),
    };
    let ordered = reader.flag(fields, "ordered");
    let quotes = reader.optional(fields, "quote").map(|node| reader.text_or_list(node, "quote").0);
    Question {
        also,
        question: asked,
        answer: Answer { points, listed, ordered, span: answer_span },
        accept: reader.texts(fields, "accept").into(),
        source: reader.optional_text(fields, "source"),
        quotes: quotes.unwrap_or_default(),
        span: fields.span,
    }
}

fn pictures(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Vec<Picture> {
    let entries = reader.maps(fields, "pictures", "picture", fields::PICTURE);
    let mut pictures = Vec::with_capacity(entries.len());
    for (at, entry) in entries {
        reader.within(format!("pictures[{at}]."));
        pictures.push(Picture {
            file: reader.required_text(&entry, "file").unwrap_or_default(),
            on_answer: choice(reader, &entry, "side", ["question", "answer"]),
            alt: entry.value("alt").and_then(|node| reader.text(node, "alt")),
            credit: entry.value("credit").and_then(|node| reader.text(node, "credit")),
            licence: entry.value("licence").and_then(|node| reader.text(node, "licence")),
            span: entry.span,
        });
        reader.within(String::new());
    }
    pictures
}

/// Whether the second of two words was chosen.
fn choice(reader: &mut Reader<'_>, fields: &Fields<'_>, name: &str, words: [&str; 2]) -> bool {
    let Some(node) = reader.optional(fields, name) else { return false };
    match node.text() {
        Some(text) if words.contains(&text) => text == words[1],
        _ => {
            let message =
                format!("expected `{}` or `{}` behind `{name}:`, but found {}", words[0], words[1], shown(node));
            reader.report(
                "wrong-shape",
                node.span,
                name,
                message,
                format!("write `{name}: {}` or `{name}: {}`", words[0], words[1]),
            );
            false
        }
    }
}

fn waivers(reader: &mut Reader<'_>, fields: &Fields<'_>) -> Vec<Waiver> {
    let Some(node) = reader.optional(fields, "allow") else { return Vec::new() };
    let Some(entries) = node.map() else {
        let help = "write the rule's name with the reason behind it: `allow: {giveaway: the reason}`".to_owned();
        reader.report(
            "wrong-shape",
            node.span,
            "allow",
            format!("expected rule names with reasons behind `allow:`, but found {}", shown(node)),
            help,
        );
        return Vec::new();
    };
    let mut waivers = Vec::with_capacity(entries.len());
    for entry in entries {
        let Some(rule) = reader.text(&entry.key, "allow") else { continue };
        let reason = match entry.value.text() {
            Some(reason) => Text { value: reason.trim().into(), span: entry.value.span },
            None => reader.text(&entry.value, "allow").unwrap_or_default(),
        };
        waivers.push(Waiver { rule, reason });
    }
    waivers
}
