//! Lists in the notes with the line that introduces them, and steps in sentences of their own.

use std::ops::Range;

use super::forms::{Form, Proposed, Sentence};
use super::grammar::{bare_words, commands, count, is_subject};
use super::lists::asked_by_verb;
use super::sequences::{self, asked};
use crate::notes::{Passage, PassageKind, Section};

/// Parts that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Run {
    /// The sentence that introduces a list.
    pub(super) intro: Option<Range<usize>>,
    /// The items, or the sentences, as bytes of the section's text.
    pub(super) items: Vec<Range<usize>>,
    /// The points that they stand for.
    points: Vec<Range<usize>>,
    /// Whether their order counts.
    pub(super) ordered: bool,
    /// Whether the points are only the words that the items begin with.
    heads: bool,
    /// Whether they are sentences of one paragraph, and no list.
    pub(super) sentences: bool,
}

impl Run {
    /// From the first part to the last.
    pub(super) fn range(&self) -> Range<usize> {
        let first = self.intro.as_ref().or(self.items.first()).map_or(0, |at| at.start);
        first..self.items.last().map_or(first, |at| at.end)
    }

    /// Whether a sentence is one of its parts.
    pub(super) fn holds(&self, sentence: &Range<usize>) -> bool {
        let inside = |at: &Range<usize>| at.start <= sentence.start && sentence.end <= at.end;
        self.intro.iter().chain(&self.items).any(inside)
    }

    /// Whether a card on it asks for all that one of its parts says: not what an item says behind the words
    /// that it begins with.
    pub(super) fn asks_for(&self, sentence: &Range<usize>) -> bool {
        let is_intro = self.intro.as_ref() == Some(sentence);
        self.holds(sentence) && (!self.heads || is_intro || self.points.contains(sentence))
    }

    /// What to say where it gives no question.
    pub(super) fn unasked(&self) -> &'static str {
        if self.points.is_empty() {
            return "its list has lists or paragraphs inside its items";
        }
        match self.intro {
            None if !self.sentences => "no line introduces its list",
            _ => "its points are too long, or the line before its list gives no question",
        }
    }

    /// The passages that a card on it quotes.
    pub(super) fn quoted(&self) -> Vec<Range<usize>> {
        if self.sentences { vec![self.range()] } else { self.intro.iter().chain(&self.items).cloned().collect() }
    }

    /// The question for all its points.
    pub(super) fn proposal(&self, section: &Section, sentence: &Sentence<'_>) -> Option<Proposed> {
        let text = section.as_text();
        let points: Vec<String> = self.points.iter().map(|at| text[at.clone()].to_owned()).collect();
        if points.len() < 2 || points.iter().any(|point| count(point) > MOST_WORDS_OF_A_POINT) {
            return None;
        }
        let to_do = points.iter().any(|point| commands(point));
        let (question, ordered) = match &self.intro {
            None if self.sentences && !sentence.heading.is_empty() => (asked(sentence.heading, to_do), true),
            None => return None,
            Some(intro) => introduced(sentence, text[intro.clone()].trim_end_matches(['.', ':', ' ']), self.ordered)?,
        };
        let form = if ordered { Form::Sequence } else { Form::List };
        Some(Proposed::listed(form, question, points, ordered))
    }
}

/// A longer point is no point but a paragraph.
const MOST_WORDS_OF_A_POINT: usize = 15;

/// The question that the line before a list gives, and whether the order of its points counts: many lists are
/// numbered only to count them.
fn introduced(sentence: &Sentence<'_>, intro: &str, numbered: bool) -> Option<(String, bool)> {
    if count(intro) < 2 || sentence.points_back() && count(intro) < 3 {
        return None;
    }
    let in_steps = |word: &String| matches!(word.as_str(), "order" | "phases" | "sequence" | "stages" | "steps");
    let Some(question) = asked_by_verb(sentence, intro).or_else(|| counted(intro)) else {
        let asked = if numbered { "What are the steps, in order" } else { "What belongs to this list" };
        return Some((sentence.in_place(&format!("{asked}: “{intro}”?")), numbered));
    };
    if numbered && bare_words(intro).iter().any(in_steps) {
        return Some((format!("{}, in order?", question.trim_end_matches('?')), true));
    }
    Some((question, false))
}

/// `There are four processes of erosion` → `What are the four processes of erosion?`
fn counted(intro: &str) -> Option<String> {
    let (verb, named) = ["are", "were"].iter().find_map(|verb| {
        let rest = intro.strip_prefix("There ")?.strip_prefix(verb)?.strip_prefix(' ')?;
        Some((verb, rest))
    })?;
    let vague = ["the ", "several ", "many ", "some ", "these ", "different "];
    let bare = vague.iter().find_map(|word| named.strip_prefix(word)).unwrap_or(named);
    is_subject(bare).then(|| format!("What {verb} the {bare}?"))
}

/// The lists of a section, and its steps in sentences of their own.
pub(super) fn runs(section: &Section) -> Vec<Run> {
    let mut out = Vec::new();
    let passages = &section.passages;
    let mut at = 0;
    while at < passages.len() {
        let Some(here) = passages[at].list else {
            out.extend(steps(&passages[at]));
            at += 1;
            continue;
        };
        let len = passages[at..].iter().take_while(|next| next.list.is_some_and(|next| next.list == here.list)).count();
        out.extend(list(at.checked_sub(1).map(|before| &passages[before]), &passages[at..at + len]));
        at += len;
    }
    out
}

/// A list with two items or more. Where not all of them are one passage each, it has no points.
fn list(before: Option<&Passage>, items: &[Passage]) -> Option<Run> {
    let flat = items.iter().all(|item| item.list.is_some_and(|at| at.depth == 1 && at.begins));
    if items.len() < 2 {
        return None;
    }
    let ordered = items.iter().all(|item| item.list.is_some_and(|at| at.numbered));
    let whole = |item: &Passage| item.at..item.at + item.text.len();
    let heads = headwords(items);
    let whole_heads = heads.is_some();
    let points = heads.unwrap_or_else(|| items.iter().map(point).collect());
    let points = if flat { points } else { Vec::new() };
    let items = items.iter().map(whole).collect();
    let intro = before.and_then(|before| intro(before, ordered));
    Some(Run { intro, items, points, ordered, heads: whole_heads, sentences: false })
}

/// The sentence before a list that introduces it.
fn intro(before: &Passage, ordered: bool) -> Option<Range<usize>> {
    if before.list.is_some() || !matches!(before.kind, PassageKind::Paragraph) {
        return None;
    }
    let last = before.sentences().pop()?;
    let text = &before.text[last.clone()];
    let says = |word: &String| matches!(word.as_str(), "these" | "following" | "below" | "steps" | "order");
    let introduces = text.ends_with(':') || ordered && bare_words(text).iter().any(says);
    introduces.then(|| before.at + last.start..before.at + last.end)
}

/// The text of an item without what joins it to the next.
fn point(item: &Passage) -> Range<usize> {
    let mut text = item.text.trim_end_matches([' ', '.', ',', ';']);
    for joint in [" and", " or", " then"] {
        text = text.strip_suffix(joint).map_or(text, |text| text.trim_end_matches([' ', ',', ';']));
    }
    item.at..item.at + text.len()
}

/// `**Abrasion**: stones scrape the bed.` → the words in strong text, when all items begin so.
fn headwords(items: &[Passage]) -> Option<Vec<Range<usize>>> {
    let head = |item: &Passage| {
        let first = item.strong.first().filter(|strong| strong.start == 0)?;
        let said = item.text[first.clone()].trim_end_matches([':', '.', ' ', '-']);
        (!said.is_empty()).then(|| item.at..item.at + said.len())
    };
    let more = |item: &Passage| item.strong.first().is_some_and(|strong| count(&item.text[strong.end..]) > 1);
    if items.iter().any(more) { items.iter().map(head).collect() } else { None }
}

/// `First, …. Then …. Finally, ….`: sentences that tell one step each.
fn steps(passage: &Passage) -> Option<Run> {
    let sentences = passage.sentences();
    let first = sentences.iter().position(|at| sequences::begins(&passage.text[at.clone()]).is_some())?;
    let later =
        sentences[first + 1..].iter().take_while(|at| sequences::goes_on(&passage.text[(*at).clone()]).is_some());
    let all: Vec<Range<usize>> = sentences[first..=first + later.count()].to_vec();
    let step = |at: &Range<usize>| {
        let text = &passage.text[at.clone()];
        let said = sequences::begins(text).or_else(|| sequences::goes_on(text)).unwrap_or(text);
        let said = said.trim_end_matches(['.', '!', ' ']);
        let start = passage.at + super::grammar::range_in(&passage.text, said).start;
        start..start + said.len()
    };
    let points = all.iter().map(step).collect();
    let items: Vec<Range<usize>> = all.iter().map(|at| passage.at + at.start..passage.at + at.end).collect();
    (items.len() > 2).then_some(Run { intro: None, items, points, ordered: true, heads: false, sentences: true })
}

#[cfg(test)]
mod tests {
    use super::super::forms::Form;
    use super::super::support::{ask, ask_nothing};

    #[test]
    fn lists_in_the_notes_are_asked_for_by_their_first_line() {
        ask(
            Form::List,
            &[
                (
                    "The main results were:\n\n- high wages;\n- empty towns; and\n- debt.",
                    "What were the main results?",
                    &["high wages", "empty towns", "debt"],
                ),
                (
                    "There are several threats to a network:\n\n- viruses\n- thieves",
                    "What are the threats to a network?",
                    &["viruses", "thieves"],
                ),
                (
                    "Plant cells have these parts:\n\n- a wall\n- a vacuole",
                    "What belongs to this list: “Plant cells have these parts”?",
                    &["a wall", "a vacuole"],
                ),
                (
                    "There were three kinds of plague:\n\n1. **Bubonic** plague hit glands.\n2. **Pneumonic** plague hit lungs.",
                    "What were the three kinds of plague?",
                    &["Bubonic", "Pneumonic"],
                ),
            ],
        );
    }

    #[test]
    fn steps_that_are_numbered_are_asked_for_in_order() {
        ask(
            Form::Sequence,
            &[
                (
                    "To test a leaf:\n\n1. Boil it.\n2. Rinse it.",
                    "What are the steps, in order: “To test a leaf”?",
                    &["Boil it", "Rinse it"],
                ),
                (
                    "The stages of a stack are:\n\n1. a cave\n2. an arch",
                    "What are the stages of a stack, in order?",
                    &["a cave", "an arch"],
                ),
            ],
        );
    }

    #[test]
    fn a_list_without_a_line_or_with_lists_inside_is_left_alone() {
        ask_nothing(&[
            "- a wall\n- a vacuole",
            "Cells have:\n\n- a wall\n  - thick\n- a vacuole",
            "They:\n\n- rise\n- fall",
        ]);
    }
}
