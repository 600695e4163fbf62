//! A card as the checks see it: typed, every value with its place.

use super::value::Value;
use crate::place::Span;
use crate::slice::Slice;
use smallvec::SmallVec;
use thin_vec::ThinVec;

/// Text with its place. The text is trimmed of the line end that text in lines carries.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Text {
    /// The text.
    pub value: Slice,
    /// Where it stands.
    pub span: Span,
}

impl std::ops::Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        &self.value
    }
}

/// An answer: one text, or a list of which all is asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// The text, or the points of the list.
    pub points: SmallVec<[Text; 1]>,
    /// Whether it was written as a list.
    pub listed: bool,
    /// Whether the order of the points counts.
    pub ordered: bool,
    /// Where the whole stands.
    pub span: Span,
}

impl Answer {
    /// The whole answer as one text, the points joined by `; `.
    pub fn text(&self) -> String {
        self.points.iter().map(|point| point.value.as_str()).collect::<Vec<_>>().join("; ")
    }
}

/// A question with its answer: the card's own, or one of those under `also`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Question {
    /// `None` for the card's own question, else its number under `also`, from 0.
    pub also: Option<usize>,
    /// What is asked; empty when it is missing.
    pub question: Text,
    /// The answer; without points when it is missing.
    pub answer: Answer,
    /// Other wordings that count as right.
    pub accept: ThinVec<Text>,
    /// `file#section` of the notes, when this question names one of its own.
    pub source: Option<Text>,
    /// The passages that it was made from.
    pub quotes: SmallVec<[Text; 1]>,
    /// Where the whole stands.
    pub span: Span,
}

impl Question {
    /// The name of one of its fields: `answer`, or `also[0].answer`.
    pub fn field(&self, name: &str) -> String {
        match self.also {
            None => name.to_owned(),
            Some(at) => format!("also[{at}].{name}"),
        }
    }
}

/// A picture on a card.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Picture {
    /// Path from the deck's folder.
    pub file: Text,
    /// Whether it stands on the answer side; the question side otherwise.
    pub on_answer: bool,
    /// What it shows, for those who cannot see it.
    pub alt: Option<Text>,
    /// Who made it.
    pub credit: Option<Text>,
    /// Under which licence it may be used.
    pub licence: Option<Text>,
    /// Where the whole stands.
    pub span: Span,
}

/// A card's own, reasoned exception to a rule.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Waiver {
    /// The rule's name.
    pub rule: Text,
    /// Why.
    pub reason: Text,
}

/// One of the values of an undecided field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version {
    /// Which side it came from: `ours`, `theirs`, or a branch.
    pub side: String,
    /// Who wrote it.
    pub by: Option<String>,
    /// When, as a date.
    pub when: Option<String>,
    /// The value; `None` when that side took the field (or the card) out.
    pub value: Option<Value>,
}

/// A field that two people changed in different ways.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Undecided {
    /// The field, or `card` when one side took the whole card out.
    pub field: Text,
    /// The values.
    pub versions: Vec<Version>,
}

/// One question with its answer; at most a few connected questions.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Card {
    /// The id; empty when it is missing.
    pub id: Text,
    /// The card's own question first, then those under `also`.
    pub questions: SmallVec<[Question; 1]>,
    /// Whether the answer may be given and the question asked for.
    pub both_ways: bool,
    /// Ids of cards to know first.
    pub needs: ThinVec<Text>,
    /// Ids of connected cards.
    pub see: ThinVec<Text>,
    /// Its pictures.
    pub pictures: ThinVec<Picture>,
    /// Whether it goes beyond the core.
    pub extension: bool,
    /// For practical work: printed with the card.
    pub caution: Option<Box<Text>>,
    /// Not yet for packs.
    pub draft: bool,
    /// Free words.
    pub tags: ThinVec<Text>,
    /// Waivers.
    pub allow: ThinVec<Waiver>,
    /// What two people changed in different ways.
    pub undecided: ThinVec<Undecided>,
    /// Where the whole card stands.
    pub span: Span,
}

impl Card {
    /// The card's own question.
    pub fn own(&self) -> &Question {
        &self.questions[0]
    }

    /// The section of the notes that a question was made from: its own, else the card's.
    pub fn source_of<'a>(&'a self, question: &'a Question) -> Option<&'a Text> {
        question.source.as_ref().or(self.own().source.as_ref())
    }
}
