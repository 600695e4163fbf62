//! Random values in the shape of decks and settings: sound ones, and broken ones with one thing
//! changed somewhere.

use deckle::deck::Value;
use proptest::prelude::*;
use proptest::sample::select;

/// That many cases, or as many as `PROPTEST_CASES` asks for.
pub fn cases(usual: u32) -> ProptestConfig {
    let config = ProptestConfig { failure_persistence: None, ..ProptestConfig::default() };
    let asked = std::env::var_os("PROPTEST_CASES").is_some();
    if asked { config } else { ProptestConfig { cases: usual, ..config } }
}

/// A sound deck.
pub fn deck() -> BoxedStrategy<Value> {
    record(vec![
        ("title", text(), ALWAYS),
        ("year", select(YEARS).prop_map(Value::from).boxed(), ALWAYS),
        ("undecided", free(versions()), SELDOM),
        ("cards", list(card(), 0..6), ALWAYS),
    ])
}

/// A sound settings file.
pub fn settings() -> BoxedStrategy<Value> {
    let starts = || select(&["2026-09-02", "2026-09-30", "2024-02-29"][..]).prop_map(Value::from).boxed();
    let ends = || select(&["2026-12-18", "2027-03-25", "2028-02-29"][..]).prop_map(Value::from).boxed();
    let number = || select(&["1", "7", "021", "+40", "450", "9999"][..]).prop_map(Value::from).boxed();
    let term = record(vec![("name", text(), ALWAYS), ("starts", starts(), ALWAYS), ("ends", ends(), ALWAYS)]);
    let holiday = record(vec![("name", text(), OFTEN), ("starts", starts(), ALWAYS), ("ends", ends(), OFTEN)]);
    let limits = ["words_on_a_side", "questions_on_a_card", "points_in_an_answer", "words_in_a_section"];
    let limits = limits.into_iter().chain(["seconds_for_a_question"]).map(|name| (name, number(), OFTEN));
    let minutes = select(&["1", "7", "012", "+15", "20"][..]).prop_map(Value::from).boxed();
    let session = vec![("minutes", minutes, OFTEN), ("review_days", list(number(), 0..4), OFTEN)];
    let word = |words: &'static [&'static str]| select(words).prop_map(Value::from).boxed();
    let print =
        vec![("paper", word(&["standard", "a7", "a6", "index"]), OFTEN), ("flip", word(&["long", "short"]), OFTEN)];
    let colour = || select(&["#1f5f5b", "#FFFFFF", "#000000"][..]).prop_map(Value::from).boxed();
    let colours = record(vec![("band", colour(), ALWAYS), ("text", colour(), ALWAYS)]);
    let lesson = record(vec![("deck", text(), ALWAYS), ("term", text(), ALWAYS), ("taught_on", starts(), OFTEN)]);
    let level = select(&["error", "warning", "advice", "off", "false", "False"][..]).prop_map(Value::from);
    record(vec![
        ("department", text(), ALWAYS),
        ("school", text(), ALWAYS),
        ("years", list(select(YEARS).prop_map(Value::from).boxed(), 0..4), ALWAYS),
        ("terms", list(term, 0..3), OFTEN),
        ("holidays", list(holiday, 0..3), OFTEN),
        ("limits", record(limits.collect()), OFTEN),
        ("session", record(session), OFTEN),
        ("print", record(print), OFTEN),
        ("colours", free(prop_oneof![colour(), colours].boxed()), OFTEN),
        ("scheme", list(lesson, 0..3), OFTEN),
        ("leads", list(text(), 0..3), OFTEN),
        ("policy", free(level.boxed()), OFTEN),
    ])
}

/// A sound card.
pub fn card() -> BoxedStrategy<Value> {
    let also = record(vec![
        ("question", text(), ALWAYS),
        ("answer", answer(), ALWAYS),
        ("ordered", flag(), SELDOM),
        ("accept", list(text(), 0..3), SELDOM),
        ("source", text(), SELDOM),
        ("quote", quote(), SELDOM),
    ]);
    let picture = record(vec![
        ("file", text(), ALWAYS),
        ("side", select(&["question", "answer"][..]).prop_map(Value::from).boxed(), SELDOM),
        ("alt", any_text(), OFTEN),
        ("credit", any_text(), SELDOM),
        ("licence", any_text(), SELDOM),
    ]);
    record(vec![
        ("id", id(), ALWAYS),
        ("question", text(), ALWAYS),
        ("answer", answer(), ALWAYS),
        ("ordered", flag(), SELDOM),
        ("accept", list(text(), 0..3), SELDOM),
        ("also", list(also, 0..3), SELDOM),
        ("both_ways", flag(), SELDOM),
        ("source", text(), OFTEN),
        ("quote", quote(), OFTEN),
        ("needs", list(id(), 0..3), SELDOM),
        ("see", list(id(), 0..3), SELDOM),
        ("pictures", list(picture, 0..3), SELDOM),
        ("tier", select(&["core", "extension"][..]).prop_map(Value::from).boxed(), SELDOM),
        ("caution", text(), SELDOM),
        ("draft", flag(), SELDOM),
        ("tags", list(text(), 0..3), SELDOM),
        ("allow", free(any_text()), SELDOM),
        ("undecided", free(versions()), SELDOM),
    ])
}

/// A sound deck in which no two cards have one id.
pub fn deck_with_own_ids() -> BoxedStrategy<Value> {
    let own_ids = |mut deck: Value| {
        number(cards_mut(&mut deck));
        deck
    };
    deck().prop_map(own_ids).boxed()
}

/// Puts the number of each card at the end of its id.
pub fn number(cards: &mut [Value]) {
    for (at, card) in cards.iter_mut().enumerate() {
        if let Value::Map(fields) = card
            && let Some(Value::Text(id)) = fields.get_mut("id")
        {
            id.push_str(&format!("-{at}"));
        }
    }
}

/// `deck`, sound, after somebody's work: cards put in, taken out, moved and rewritten, fields of cards
/// rewritten or taken out. It is sound afterwards.
pub fn edited(deck: Value) -> BoxedStrategy<Value> {
    let edit = (any::<prop::sample::Index>(), 0..4_u8, card(), any::<prop::sample::Index>());
    prop::collection::vec(edit, 0..4)
        .prop_map(move |edits| {
            let mut deck = deck.clone();
            let cards = cards_mut(&mut deck);
            for (at, what, other, to) in edits {
                if cards.is_empty() || what == 0 {
                    cards.insert(to.index(cards.len() + 1), other);
                    continue;
                }
                let at = at.index(cards.len());
                let card = cards.remove(at);
                match what {
                    1 => drop(card),
                    2 => cards.insert(to.index(cards.len() + 1), card),
                    _ => cards.insert(at, rewritten(card, other, to.index(8))),
                }
            }
            deck
        })
        .boxed()
}

/// `card` with one of its fields as `other` has it, or all of them but the id.
fn rewritten(mut card: Value, other: Value, which: usize) -> Value {
    let names = ["question", "answer", "accept", "also", "quote", "tags", "allow"];
    let (Value::Map(fields), Value::Map(mut others)) = (&mut card, other) else { unreachable!("cards are maps") };
    match names.get(which) {
        None => {
            others.into_iter().filter(|(name, _)| name != "id").for_each(|(name, value)| _ = fields.insert(name, value))
        }
        Some(&name) => match others.shift_remove(name) {
            Some(value) => _ = fields.insert(name.to_owned(), value),
            None => _ = fields.shift_remove(name),
        },
    }
    card
}

fn cards_mut(deck: &mut Value) -> &mut Vec<Value> {
    let Value::Map(fields) = deck else { unreachable!("decks are maps") };
    let Some(Value::List(cards)) = fields.get_mut("cards") else { unreachable!("decks have cards") };
    cards
}

/// `sound` with one or two things changed somewhere: a field taken out, added or misspelt, a value of
/// another kind put in its place, a list emptied.
///
/// Whether that breaks it is for the readers to say.
pub fn changed(sound: BoxedStrategy<Value>) -> BoxedStrategy<Value> {
    let change = (any::<prop::sample::Index>(), select(slips()));
    (sound, prop::collection::vec(change, 1..3))
        .prop_map(|(mut value, changes)| {
            for (at, slip) in changes {
                let places = count(&value);
                change_at(&mut value, &mut at.index(places), &slip);
            }
            value
        })
        .boxed()
}

/// `sound` with each change of [`changed`] at each place.
pub fn all_changes(sound: &Value) -> impl Iterator<Item = Value> {
    (0..count(sound)).flat_map(move |place| {
        slips().into_iter().map(move |slip| {
            let mut value = sound.clone();
            change_at(&mut value, &mut place.clone(), &slip);
            value
        })
    })
}

/// Text with at least one letter, digit or sign in it.
pub fn text() -> BoxedStrategy<Value> {
    words().prop_map(Value::Text).boxed()
}

/// An id.
pub fn id() -> BoxedStrategy<Value> {
    let ids = "[a-z][a-z0-9]{0,7}(-[a-z0-9]{1,5}){0,2}";
    ids.prop_filter("not reserved", |id| deckle::deck::is_id(id)).prop_map(Value::Text).boxed()
}

/// Words that pupils may read, with everything in them that YAML makes something of.
pub fn words() -> BoxedStrategy<String> {
    let line = "[A-Za-z0-9é°×?.,:;#'\"&*!|>%@`{}\\[\\]~^$\\\\=<+ \\-]{0,24}";
    let lines = prop::collection::vec(line, 1..4).prop_map(|lines| lines.join("\n"));
    let parts = prop::collection::vec(select(PARTS), 1..7).prop_map(|parts| parts.concat());
    let words = prop_oneof![
        3 => "[A-Z][a-z]{0,7}( [a-z]{1,8}){0,8}[.?]?",
        2 => select(SPELLINGS).prop_map(str::to_owned),
        2 => line,
        1 => lines,
        1 => parts,
    ];
    let blank = |words: &str| words.chars().all(|c| c.is_whitespace() || c == '\u{feff}');
    words.prop_map(move |words| if blank(&words) { format!("{words}x") } else { words }).boxed()
}

type Fields = Vec<(&'static str, BoxedStrategy<Value>, f64)>;

const ALWAYS: f64 = 1.0;
const OFTEN: f64 = 0.6;
const SELDOM: f64 = 0.2;

/// Year groups as people write them. Numbers in other forms, such as `0x8` and `8.0`, are left out:
/// other readers hand them on as the number 8, so that a schema cannot tell them from `8`.
const YEARS: &[&str] = &["7", "8", "9", "12", "99", "08", "+8", " 8 "];

/// Texts that some readers take for something else.
const SPELLINGS: &[&str] = &[
    "8",
    "14.0",
    "-5",
    "007",
    "0x1F",
    "1e3",
    "1_000",
    "No",
    "yes",
    "true",
    "FALSE",
    "null",
    "~",
    "1:30",
    "2026-11-25",
    "12:30:00",
    "=",
    "<<",
    "-",
    "---",
    "...",
    "x:",
    "a: b",
    "a #b",
    "#x",
    "- x",
    "? x",
    "$\\frac{1}{2}$",
    "🌍",
    "北",
];

/// Pieces of text that are hard to write down.
const PARTS: &[&str] = &[
    "a", " ", "  ", "\n", "\n\n", "\n ", "'", "\"", "\\", ": ", ":", " #", "#", "- ", "-", "\t", "\u{85}", "\u{a0}",
    "\u{2028}", "\u{feff}", "\u{7f}", "\u{1b}", "é", "🌍", "|", ">", "\r", "\r\n", "]", "}", ",", "%", "@",
];

/// Strings in place of other things; see [`YEARS`] for those that are left out. A text of nothing but
/// blanks is one of ASCII: what else is blank differs between readers and schemas (U+0085, U+FEFF).
const OTHER_TEXTS: &[&str] = &[
    "",
    " ",
    "x",
    "8",
    "0",
    "-1",
    "100",
    "256",
    "10000",
    "70000",
    "1.5",
    "null",
    "true",
    "No",
    "on",
    "core",
    "answer",
    "question",
    "Extension",
    "2026-12-01",
    "2026-02-30",
    "2027-2-1",
    "20261201",
    "#1f5f5",
    "#1f5f5g",
    "#1f5f5b",
    "Not An Id",
    "not_an_id",
    "-a",
    "a-",
    "a--b",
    "1st",
    "é",
    "Error",
    "error",
    "year-8/rivers",
    "false",
    "n",
    "no",
    "off",
    "y",
    "yes",
];

/// Names in place of other names.
const OTHER_NAMES: &[&str] =
    &["", "Question", "anwser", "colour", "cards", "id", "8", "true", "null", "value", "removed", "band", "x y"];

fn any_text() -> BoxedStrategy<Value> {
    prop_oneof![4 => text(), 1 => Just(Value::from(""))].boxed()
}

fn flag() -> BoxedStrategy<Value> {
    select(&["true", "false", "True", "YES", "no", "tRuE"][..]).prop_map(Value::from).boxed()
}

fn answer() -> BoxedStrategy<Value> {
    prop_oneof![3 => text(), 1 => list(text(), 1..4)].boxed()
}

fn quote() -> BoxedStrategy<Value> {
    prop_oneof![3 => text(), 1 => list(text(), 0..3)].boxed()
}

fn versions() -> BoxedStrategy<Value> {
    let value = prop_oneof![text(), list(text(), 0..3), free(text())].boxed();
    let kept = record(vec![
        ("side", text(), ALWAYS),
        ("by", text(), OFTEN),
        ("when", text(), OFTEN),
        ("value", value, ALWAYS),
        ("removed", select(&["false", "No"][..]).prop_map(Value::from).boxed(), SELDOM),
    ]);
    let removed = select(&["true", "True", "yes"][..]).prop_map(Value::from).boxed();
    let removed = record(vec![("side", text(), ALWAYS), ("by", text(), OFTEN), ("removed", removed, ALWAYS)]);
    list(prop_oneof![kept, removed].boxed(), 2..4)
}

/// Fields by their names, each there with its probability, in any order.
fn record(fields: Fields) -> BoxedStrategy<Value> {
    let field = |(name, value, often): (&'static str, BoxedStrategy<Value>, f64)| {
        let named = value.prop_map(move |value| (name.to_owned(), value));
        if often < ALWAYS { prop::option::weighted(often, named).boxed() } else { named.prop_map(Some).boxed() }
    };
    let fields: Vec<_> = fields.into_iter().map(field).collect();
    let kept = fields.prop_map(|fields| fields.into_iter().flatten().collect::<Vec<_>>());
    prop_oneof![4 => kept.clone(), 1 => kept.prop_shuffle()]
        .prop_map(|fields| Value::Map(fields.into_iter().collect()))
        .boxed()
}

/// Fields with free names.
fn free(value: BoxedStrategy<Value>) -> BoxedStrategy<Value> {
    let name =
        prop_oneof![3 => "[a-z]{1,6}(-[a-z]{1,6}){0,2}".boxed(), 1 => select(OTHER_NAMES).prop_map(str::to_owned)];
    prop::collection::vec((name, value), 0..3).prop_map(|fields| Value::Map(fields.into_iter().collect())).boxed()
}

fn list(item: BoxedStrategy<Value>, size: std::ops::Range<usize>) -> BoxedStrategy<Value> {
    prop::collection::vec(item, size).prop_map(Value::List).boxed()
}

/// One thing changed at a value or in its fields. Numbers choose a field, modulo how many there are.
#[derive(Clone, Debug)]
enum Slip {
    Replace(Value),
    Listed,
    Without(usize),
    Renamed(usize, &'static str),
    Added(&'static str, Value),
}

fn slips() -> Vec<Slip> {
    let text = |text: &&str| Value::from(*text);
    let mut values: Vec<_> = OTHER_TEXTS.iter().map(text).collect();
    values.extend(
        [vec![], vec!["x"], vec![" "], vec!["8", "x"]].map(|list| Value::List(list.iter().map(text).collect())),
    );
    values.push(Value::Map(Default::default()));
    values.push(Value::Map([("x".to_owned(), Value::from("x"))].into()));
    let mut slips: Vec<_> = values.into_iter().map(Slip::Replace).collect();
    slips.push(Slip::Listed);
    slips.extend((0..12).map(Slip::Without));
    for (at, name) in OTHER_NAMES.iter().enumerate() {
        slips.push(Slip::Renamed(at, name));
        slips.extend(["x", "true"].map(|text| Slip::Added(name, Value::from(text))));
    }
    slips
}

/// How many values there are, all those inside counted.
fn count(value: &Value) -> usize {
    1 + match value {
        Value::Text(_) => 0,
        Value::List(items) => items.iter().map(count).sum(),
        Value::Map(fields) => fields.values().map(count).sum(),
    }
}

fn change_at(value: &mut Value, at: &mut usize, slip: &Slip) -> bool {
    if *at == 0 {
        change(value, slip);
        return true;
    }
    *at -= 1;
    match value {
        Value::Text(_) => false,
        Value::List(items) => items.iter_mut().any(|item| change_at(item, at, slip)),
        Value::Map(fields) => fields.values_mut().any(|field| change_at(field, at, slip)),
    }
}

fn change(value: &mut Value, slip: &Slip) {
    match (slip, &mut *value) {
        (Slip::Replace(other), value) => *value = other.clone(),
        (Slip::Listed, value) => *value = Value::List(vec![value.clone()]),
        (Slip::Without(at), Value::Map(fields)) if !fields.is_empty() => {
            fields.shift_remove_index(at % fields.len());
        }
        (Slip::Without(at), Value::List(items)) if !items.is_empty() => {
            items.remove(at % items.len());
        }
        (Slip::Renamed(at, name), Value::Map(fields)) if !fields.is_empty() && !fields.contains_key(*name) => {
            let (_, field) = fields.shift_remove_index(at % fields.len()).expect("it is there");
            fields.insert((*name).to_owned(), field);
        }
        (Slip::Added(name, other), Value::Map(fields)) => {
            fields.entry((*name).to_owned()).or_insert_with(|| other.clone());
        }
        (Slip::Added(_, other), Value::List(items)) => items.push(other.clone()),
        _ => *value = Value::from("x"),
    }
}
