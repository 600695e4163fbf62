//! The parts of the page: decks, cards, notes, findings; and the list of them at its top.

use super::faces::{Placed, beside};
use super::marked::{Mark, literal, stretch, woven};
use crate::change::{CardChange, Changes, DeckChange, DeckState, Effect, FieldChange, NotesChange, NotesState, What};
use crate::deck::Department;
use crate::finding::{Finding, Level};
use crate::report::review::phrases;
use crate::report::review::text::excerpt;
use crate::report::{capital, counted};

/// The page in the making.
pub struct Page<'d> {
    before: &'d Department,
    now: &'d Department,
    main: String,
    contents: Vec<(String, String)>,
    open: bool,
}

impl<'d> Page<'d> {
    pub fn new(before: &'d Department, now: &'d Department) -> Self {
        Self { before, now, main: String::new(), contents: Vec::new(), open: false }
    }

    /// Begins a part of the page.
    pub fn section(&mut self, id: &str, title: &str) {
        self.close();
        self.open = true;
        self.contents.push((id.to_owned(), title.to_owned()));
        self.main.push_str(&format!("<section aria-labelledby=\"{id}\">\n<h2 id=\"{id}\">{title}</h2>\n"));
    }

    fn close(&mut self) {
        if std::mem::take(&mut self.open) {
            self.main.push_str("</section>\n");
        }
    }

    pub fn finish(mut self) -> String {
        self.close();
        self.main
    }

    /// The list of the parts.
    pub fn contents(&self) -> String {
        if self.contents.len() < 3 {
            return String::new();
        }
        let entry = |(id, title): &(String, String)| format!("<li><a href=\"#{id}\">{title}</a></li>\n");
        let entries: String = self.contents.iter().map(entry).collect();
        format!("<nav aria-label=\"On this page\">\n<ul>\n{entries}</ul>\n</nav>\n")
    }

    pub fn deck(&mut self, id: &str, change: &DeckChange) {
        let topic = literal(if change.topic.is_empty() { &change.deck } else { &change.topic });
        self.section(id, &topic);
        let state = match change.state {
            DeckState::Kept => String::new(),
            DeckState::Added => ", a new deck".to_owned(),
            DeckState::Removed => ", taken out".to_owned(),
            DeckState::Renamed => format!(", which was {}", code(change.from.as_deref().unwrap_or_default())),
        };
        self.main.push_str(&format!("<p class=\"what\">Deck {}{state}</p>\n", code(&change.deck)));
        self.main.push_str(&fields(change.fields.iter()));
    }

    pub fn card(&mut self, change: &CardChange, deck: Option<&str>) {
        let what = match change.what {
            What::Added => "added",
            What::Removed => "removed",
            What::Edited => "edited",
            What::Moved => "moved",
            What::MovedAndEdited => "moved and edited",
        };
        let fact = change.effect == Some(Effect::Fact);
        let class = if fact { " class=\"fact\"" } else { "" };
        let name = if change.id.is_empty() { "a card without id".to_owned() } else { code(&change.id) };
        let mut line = format!("<strong>{}</strong>", capital(what));
        if let Some(effect) = change.effect {
            line.push_str(&format!(": {}", meaning(effect)));
        }
        line.extend(deck.map(|deck| format!("; deck {}", code(deck))));
        line.extend(change.from.as_ref().map(|from| format!("; from {}", code(from))));
        self.main.push_str(&format!("<article{class}>\n<h3>{name}</h3>\n<p class=\"what\">{line}</p>\n"));
        let faces = self.faces(change);
        let on_faces = !faces.is_empty();
        self.main.push_str(&faces);
        let told = change.fields.iter().filter(|field| field.field != "id" && !(on_faces && is_on_faces(field)));
        self.main.push_str(&fields(told));
        if let Some(passage) = change.passage.as_ref().filter(|_| change.what != What::Moved) {
            self.main.push_str(&format!(
                "<blockquote>\n<p class=\"name\">The notes ({}):</p>\n<p>{}</p>\n</blockquote>\n",
                literal(&passage.source),
                literal(&passage.text)
            ));
        }
        self.main.push_str("</article>\n");
    }

    /// The card as pupils see it; a card that only moved once.
    fn faces(&self, change: &CardChange) -> String {
        let (was, is) = (Placed::find(self.before, &change.id), Placed::find(self.now, &change.id));
        match change.what {
            What::Added => beside(None, is),
            What::Removed => beside(was, None),
            What::Moved => String::new(),
            _ if change.fields.iter().any(is_on_faces) => beside(was, is),
            _ => String::new(),
        }
    }

    /// What needs no look.
    pub fn quiet(&mut self, change: &DeckChange) {
        for phrase in phrases::quiet(change) {
            self.main.push_str(&format!("<p class=\"quiet\">{}.</p>\n", capital(&phrase)));
        }
    }

    pub fn notes(&mut self, notes: &[NotesChange]) {
        if notes.is_empty() {
            return;
        }
        self.section("notes", "Notes");
        for section in notes {
            let state = capital(phrases::section(section.state));
            let heading = if section.heading.is_empty() { "(above the first heading)" } else { &section.heading };
            self.main.push_str(&format!(
                "<article>\n<h3>{}</h3>\n<p class=\"what\"><strong>{state}</strong>: {}</p>\n",
                literal(heading),
                code(&section.path)
            ));
            if section.state == NotesState::Edited {
                self.main.push_str(&format!("<p class=\"words\">{}</p>\n", woven(&excerpt(&section.words))));
            }
            if !section.cards.is_empty() {
                self.main.push_str("<p>Cards made from it:</p>\n<ul>\n");
                for (card, state) in phrases::leaning(section) {
                    let state = if state.is_empty() { state } else { format!(": {state}") };
                    self.main.push_str(&format!("<li>{}{state}</li>\n", code(card)));
                }
                self.main.push_str("</ul>\n");
            }
            self.main.push_str("</article>\n");
        }
    }

    pub fn others(&mut self, changes: &Changes) {
        let mut lines = Vec::new();
        for picture in &changes.pictures {
            let cards: Vec<String> = picture.cards.iter().map(|card| code(card)).collect();
            lines.push(format!(
                "{}, new look: {} on {}",
                capital(picture.effect.word()),
                code(&picture.path),
                cards.join(", ")
            ));
        }
        if !changes.settings.is_empty() {
            let keys: Vec<String> = changes.settings.iter().map(|setting| code(&setting.key)).collect();
            lines.push(format!("Settings changed: {}", keys.join(", ")));
        }
        if changes.reformatted_files > 0 {
            let files = counted(changes.reformatted_files, "file", "files");
            lines.push(format!("{files} of notes and settings changed in layout alone"));
        }
        if !lines.is_empty() {
            self.section("others", "Pictures and settings");
            let lines: String = lines.iter().map(|line| format!("<li>{line}</li>\n")).collect();
            self.main.push_str(&format!("<ul>\n{lines}</ul>\n"));
        }
    }

    pub fn findings(&mut self, id: &str, title: &str, none: &str, findings: &[Finding]) {
        self.section(id, title);
        if findings.is_empty() {
            return self.main.push_str(&format!("<p>{none}</p>\n"));
        }
        self.main.push_str("<ul class=\"findings\">\n");
        for finding in findings {
            let class = if finding.level == Level::Error { " class=\"error\"" } else { "" };
            let place = format!("{}:{}", finding.place.path, finding.place.start.line);
            let help = finding.help.as_ref().map(|help| format!("<br>Help: {}", literal(help))).unwrap_or_default();
            self.main.push_str(&format!(
                "<li{class}><span class=\"level\">{}</span>: {}<br>{}{help}</li>\n",
                finding.level.word(),
                literal(&finding.message),
                code(&place)
            ));
        }
        self.main.push_str("</ul>\n");
    }
}

/// What an effect means, in words.
fn meaning(effect: Effect) -> &'static str {
    match effect {
        Effect::Fact => "a fact changes",
        Effect::Wording => "wording alone",
        Effect::Links => "links",
        Effect::Source => "source",
        Effect::Picture => "picture",
        Effect::Other => "other things",
    }
}

/// Whether pupils see it on the card itself.
fn is_on_faces(field: &FieldChange) -> bool {
    let name = field.field.rsplit('.').next().unwrap_or(&field.field);
    matches!(name, "question" | "answer" | "ordered" | "caution" | "pictures") || name.starts_with("also")
}

fn fields<'f>(changes: impl Iterator<Item = &'f FieldChange>) -> String {
    let lines: String = changes.map(field).collect();
    if lines.is_empty() { String::new() } else { format!("<dl>\n{lines}</dl>\n") }
}

fn field(change: &FieldChange) -> String {
    let what = match (&change.before, &change.after) {
        (Some(_), Some(_)) if !change.words.is_empty() => woven(&change.words),
        (Some(before), Some(after)) => {
            format!("{} {}", stretch(&before.line(), Mark::Out), stretch(&after.line(), Mark::In))
        }
        (Some(before), None) => stretch(&before.line(), Mark::Out),
        (None, Some(after)) => stretch(&after.line(), Mark::In),
        (None, None) => String::new(),
    };
    format!("<dt>{}</dt>\n<dd>{what}</dd>\n", literal(&change.field))
}

fn code(text: &str) -> String {
    format!("<code>{}</code>", literal(text))
}
