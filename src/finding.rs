//! One thing that the checks have to say: a small typed value. How it is shown is the business of
//! [`crate::report`].

use std::sync::Arc;

use serde::ser::{Serialize, SerializeStruct, Serializer};

use crate::place::{Place, Span};

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Must be put right before the card is shared.
    Error,
    /// Very likely wrong; shared all the same.
    Warning,
    /// Worth a thought.
    Advice,
}

impl Level {
    /// The word that people read.
    pub fn word(self) -> &'static str {
        match self {
            Level::Error => "error",
            Level::Warning => "warning",
            Level::Advice => "advice",
        }
    }

    /// The level of that word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Level::Error, Level::Warning, Level::Advice].into_iter().find(|level| level.word() == word)
    }
}

/// A second place that makes the first one a finding, with its own sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Related {
    /// Where it is.
    pub place: Place,
    /// The deck it belongs to.
    pub deck: Option<String>,
    /// The card it belongs to.
    pub card: Option<String>,
    /// What it has to do with the finding.
    pub message: String,
}

/// A replacement of some bytes of a file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Replacement {
    /// The file, from the top of the department.
    pub path: Arc<str>,
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// One thing that the checks have to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The name of the rule.
    pub rule: &'static str,
    /// How much it matters.
    pub level: Level,
    /// The deck, such as `year-8/rivers`.
    pub deck: Option<String>,
    /// The card's id.
    pub card: Option<String>,
    /// The field of the card, such as `answer` or `also[0].answer`.
    pub field: Option<String>,
    /// Where it is.
    pub place: Place,
    /// What is wrong, in a sentence without a full stop.
    pub message: String,
    /// What to write instead.
    pub help: Option<String>,
    /// What else has to do with it.
    pub related: Vec<Related>,
    /// A repair that `check --fix` makes.
    pub repair: Vec<Replacement>,
    /// What the finding is about besides rule, card and field; the same in two snapshots when it is
    /// the same finding, so it holds no places and no counts that a partial repair would change.
    pub about: String,
}

impl Finding {
    /// A finding of `rule` at `place`.
    pub fn new(rule: &'static str, level: Level, place: Place, message: impl Into<String>) -> Self {
        Self {
            rule,
            level,
            deck: None,
            card: None,
            field: None,
            place,
            message: message.into(),
            help: None,
            related: Vec::new(),
            repair: Vec::new(),
            about: String::new(),
        }
    }

    /// Adds what to write instead.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Names the deck.
    #[must_use]
    pub fn in_deck(mut self, deck: &str) -> Self {
        self.deck = Some(deck.to_owned());
        self
    }

    /// Names the card.
    #[must_use]
    pub fn on_card(mut self, card: &str) -> Self {
        self.card = (!card.is_empty()).then(|| card.to_owned());
        self
    }

    /// Names the field.
    #[must_use]
    pub fn in_field(mut self, field: impl Into<String>) -> Self {
        self.field = Some(field.into());
        self
    }

    /// Says what it is about, for telling whether two snapshots have the same finding.
    #[must_use]
    pub fn about(mut self, about: impl Into<String>) -> Self {
        self.about = about.into();
        self
    }

    /// Adds a second place.
    #[must_use]
    pub fn related(mut self, related: Related) -> Self {
        self.related.push(related);
        self
    }

    /// Adds a replacement to the repair.
    #[must_use]
    pub fn repaired_by(mut self, path: &Arc<str>, span: Span, text: impl Into<String>) -> Self {
        self.repair.push(Replacement { path: Arc::clone(path), span, text: text.into() });
        self
    }

    /// The order in which findings are shown: by path, place, rule, message.
    pub fn order(&self) -> (&str, Span, &str, &str) {
        (&self.place.path, self.place.span, self.rule, &self.message)
    }

    /// What makes it the same finding in two snapshots: rule, card (or file) and what it is about.
    pub fn identity(&self) -> (&str, &str, &str, &str) {
        let owner = self.card.as_deref().unwrap_or(&self.place.path);
        (self.rule, owner, self.field.as_deref().unwrap_or_default(), &self.about)
    }
}

/// Sorts findings into the order they are shown in and drops those said twice.
pub fn sort(findings: &mut Vec<Finding>) {
    findings.sort_by(|a, b| a.order().cmp(&b.order()));
    findings.dedup_by(|a, b| a.order() == b.order());
}

impl Serialize for Finding {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut fields = serializer.serialize_struct("Finding", 12)?;
        fields.serialize_field("rule", self.rule)?;
        fields.serialize_field("level", &self.level)?;
        fields.serialize_field("deck", &self.deck)?;
        fields.serialize_field("card", &self.card)?;
        fields.serialize_field("field", &self.field)?;
        fields.serialize_field("path", &*self.place.path)?;
        fields.serialize_field("start", &self.place.start)?;
        fields.serialize_field("end", &self.place.end)?;
        fields.serialize_field("message", &self.message)?;
        fields.serialize_field("help", &self.help)?;
        fields.serialize_field("related", &self.related)?;
        fields.serialize_field("repairable", &!self.repair.is_empty())?;
        fields.end()
    }
}

impl Serialize for Related {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut fields = serializer.serialize_struct("Related", 6)?;
        fields.serialize_field("path", &*self.place.path)?;
        fields.serialize_field("start", &self.place.start)?;
        fields.serialize_field("end", &self.place.end)?;
        fields.serialize_field("deck", &self.deck)?;
        fields.serialize_field("card", &self.card)?;
        fields.serialize_field("message", &self.message)?;
        fields.end()
    }
}
