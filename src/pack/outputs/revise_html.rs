//! `revise.html`: the page that a pupil revises from, one file without a network, put together as
//! `src/pack/revise/CONTRACT.md` says.

use std::collections::BTreeMap;

use base64::prelude::{BASE64_STANDARD, Engine};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};

use super::PackInput;
use crate::finding::Finding;
use crate::markup;
use crate::pack::model::{CAUTIONS, Pack, PackCard, PackPicture, PackQuestion, Side, Tier, Topic};
use crate::pack::name::pack_name;

const PAGE: &str = include_str!("../revise/page.html");
const STYLE: &str = include_str!("../revise/style.css");

macro_rules! scripts {
    ($($name:literal),* $(,)?) => {
        /// The scripts in the order of `scripts.txt`, each with its name.
        const SCRIPTS: &[(&str, &str)] = &[$(($name, include_str!(concat!("../revise/", $name)))),*];
    };
}

scripts![
    "session.js",
    "marking.js",
    "store.js",
    "pack.js",
    "words.js",
    "dom.js",
    "aloud.js",
    "today.js",
    "asking.js",
    "rest.js",
    "lists.js",
    "record.js",
    "help.js",
    "app.js",
];

/// The colours of a topic that the settings give none.
const BAND: (&str, &str) = ("#1f5f5b", "#ffffff");

/// The page of a pack.
pub(super) fn write(input: &PackInput<'_>) -> Result<Vec<u8>, Vec<Finding>> {
    let script = SCRIPTS.iter().map(|(_, text)| tightened(text)).collect::<Vec<_>>().join("\n");
    let style = tightened(STYLE);
    let policy = format!(
        "default-src 'none'; script-src '{}'; style-src '{}'; img-src data:; base-uri 'none'; form-action 'none'",
        digest(&script),
        digest(&style)
    );
    let pack = input.pack;
    let title = escaped(&format!("{}, Year {}, {}", pack.department, pack.year, pack.term_in_words()));
    // Serialising to a string fails only for maps whose keys are no strings; none of ours are.
    let data = serde_json::to_string(&data(input)).unwrap_or_default().replace('<', "\\u003c");
    let values = [("TITLE", title), ("STYLE", style), ("SCRIPT", script), ("DATA", data), ("CSP", policy)];
    Ok(filled(PAGE, &values.into()).into_bytes())
}

/// The template with its placeholders filled in one pass: what was filled in is never searched.
fn filled(template: &str, values: &BTreeMap<&str, String>) -> String {
    let mut page = String::new();
    let mut rest = template;
    while let Some((before, after)) = rest.split_once("{{") {
        page.push_str(before);
        let (name, behind) = after.split_once("}}").unwrap_or((after, ""));
        page.push_str(values.get(name).map_or("", String::as_str));
        rest = behind;
    }
    page + rest
}

/// Without leading blanks, empty lines and lines of comment.
fn tightened(text: &str) -> String {
    let lines = text.lines().map(str::trim_start);
    let kept = lines.filter(|line| !line.is_empty() && !line.starts_with("//") && !line.starts_with("/*"));
    kept.collect::<Vec<_>>().join("\n")
}

fn digest(text: &str) -> String {
    format!("sha256-{}", BASE64_STANDARD.encode(Sha256::digest(text.as_bytes())))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

fn data(input: &PackInput<'_>) -> Value {
    let pack = input.pack;
    let mut before: Option<&PackCard> = None;
    let mut cards = Vec::with_capacity(pack.cards.len());
    for card in &pack.cards {
        cards.push(self::card(input, card, before));
        before = Some(card);
    }
    json!({
        "format": 1,
        "pack": pack_name(&pack.department, pack.year, &pack.term),
        "department": pack.department,
        "school": pack.school,
        "year": pack.year,
        "term": pack.term_in_words(),
        "edition": pack.edition,
        "session": pack.session,
        "cautions": CAUTIONS,
        "topics": pack.topics.iter().map(topic).collect::<Vec<_>>(),
        "cards": cards,
    })
}

fn topic(topic: &Topic) -> Value {
    let colour = topic.colour.as_ref();
    let (band, text) = colour.map_or(BAND, |colour| (colour.band.as_str(), colour.text.as_str()));
    json!({ "deck": topic.deck, "topic": topic.title, "band": band, "text": text })
}

/// A card, without what says nothing.
fn card(input: &PackInput<'_>, card: &PackCard, before: Option<&PackCard>) -> Value {
    let mut fields = Map::new();
    fields.insert("id".to_owned(), json!(card.id));
    if card.number != before.map_or(0, |before| before.number) + 1 {
        fields.insert("number".to_owned(), json!(card.number));
    }
    if before.is_none_or(|before| before.deck != card.deck) {
        fields.insert("deck".to_owned(), json!(card.deck));
    }
    fields.insert("questions".to_owned(), card.questions.iter().map(question).collect());
    put(&mut fields, "both_ways", json!(card.both_ways));
    put(&mut fields, "extension", json!(card.tier == Tier::Extension));
    put(&mut fields, "needs", json!(card.needs));
    put(&mut fields, "see", json!(card.see));
    put(&mut fields, "caution", card.caution.as_deref().map(text).into());
    put(&mut fields, "pictures", card.pictures.iter().filter_map(|picture| self::picture(input, picture)).collect());
    put(&mut fields, "corrected", json!(corrected(input.pack, card)));
    Value::Object(fields)
}

fn corrected(pack: &Pack, card: &PackCard) -> Option<u32> {
    pack.corrected.get(&card.id).copied()
}

fn question(question: &PackQuestion) -> Value {
    let Value::Object(mut fields) = text(&question.question) else { return Value::Null };
    fields.insert("answer".to_owned(), question.answer.iter().map(|point| point_of(point)).collect());
    put(&mut fields, "ordered", json!(question.ordered));
    put(&mut fields, "accept", json!(question.accept));
    Value::Object(fields)
}

/// A point of an answer: text alone where nothing is marked in it.
fn point_of(point: &str) -> Value {
    let mut value = text(point);
    if value.get("html").is_none() { value["text"].take() } else { value }
}

/// Card text as plain text, and as safe HTML where that is not the same.
fn text(text: &str) -> Value {
    let inline = markup::parse(text).bound();
    let (plain, html) = (markup::plain(&inline), markup::html(&inline));
    if html == escaped(&plain) { json!({ "text": plain }) } else { json!({ "html": html, "text": plain }) }
}

fn picture(input: &PackInput<'_>, picture: &PackPicture) -> Option<Value> {
    let bytes = input.department.pictures.get(&picture.file)?;
    let src = format!("data:{};base64,{}", kind(bytes), BASE64_STANDARD.encode(bytes));
    let mut fields = Map::new();
    put(&mut fields, "on_answer", json!(picture.side == Side::Answer));
    fields.insert("alt".to_owned(), json!(picture.alt.as_deref().unwrap_or_default()));
    fields.insert("src".to_owned(), json!(src));
    Some(Value::Object(fields))
}

fn kind(bytes: &[u8]) -> &'static str {
    match imagesize::image_type(bytes) {
        Ok(imagesize::ImageType::Png) => "image/png",
        Ok(imagesize::ImageType::Jpeg) => "image/jpeg",
        Ok(imagesize::ImageType::Gif) => "image/gif",
        Ok(imagesize::ImageType::Webp) => "image/webp",
        _ => "image/svg+xml",
    }
}

fn put(fields: &mut Map<String, Value>, name: &str, value: Value) {
    let empty = matches!(&value, Value::Null | Value::Bool(false)) || value.as_array().is_some_and(Vec::is_empty);
    if !empty {
        fields.insert(name.to_owned(), value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::Department;
    use crate::pack::support::{card, pack};

    fn page(pack: &Pack) -> String {
        let department = Department::of_decks(Vec::new());
        let input = PackInput { pack, before: None, differences: None, department: &department, files: &[] };
        String::from_utf8(write(&input).expect("a page")).expect("text")
    }

    #[test]
    fn the_scripts_are_those_of_the_list() {
        let listed: Vec<&str> = include_str!("../revise/scripts.txt").lines().collect();
        assert_eq!(SCRIPTS.iter().map(|(name, _)| *name).collect::<Vec<_>>(), listed);
    }

    #[test]
    fn the_policy_names_exactly_what_stands_on_the_page() {
        let page = page(&pack(vec![card("a", "What is {{STYLE}}?", "A")]));
        let between =
            |start: &str, end: &str| page.rsplit_once(start).expect(start).1.split_once(end).expect(end).0.to_owned();
        assert!(page.contains(&digest(&between("<script>", "</script>"))));
        assert!(page.contains(&digest(&between("<style>", "</style>"))));
        assert!(page.contains("What is {{STYLE}}?"), "what was filled in is not filled again");
    }

    #[test]
    fn hostile_text_stays_text() {
        let page = page(&pack(vec![card("a", "</script><script>alert(1)</script>", "<img src=x onerror=alert(1)>")]));
        assert_eq!(page.matches("</script>").count(), 2);
        assert!(!page.contains("<img"));
    }

    #[test]
    fn a_correction_is_told_on_in_later_editions() {
        let mut later = pack(vec![card("a", "Q", "A"), card("b", "Q2", "B")]);
        later.corrected.insert("b".to_owned(), 2);
        let page = page(&later);
        assert!(page.contains(r#""id":"b","#) && page.matches(r#""corrected":2"#).count() == 1, "{page}");
    }
}
