//! What all reading shares: fields by name with unknown ones reported, shapes with plain sentences.

use crate::deck::card::Text;
use crate::deck::department::MAX_FIELD;
use crate::deck::fields;
use crate::deck::write::double_quoted;
use crate::deck::yaml::{Entry, Node, Reading, Shape, Style};
use crate::finding::{Finding, Level};
use crate::place::{SourceFile, Span};
use smallvec::SmallVec;

/// Collects findings about one file while it is read.
pub struct Reader<'a> {
    pub file: &'a SourceFile,
    deck: Option<&'a str>,
    card: String,
    prefix: String,
    pub findings: Vec<Finding>,
}

/// The fields of a map, by known name.
pub struct Fields<'a> {
    /// What the fields belong to, such as `card` or `picture`.
    what: &'static str,
    entries: Vec<(&'static str, &'a Entry)>,
    pub span: Span,
}

impl<'a> Fields<'a> {
    pub fn entry(&self, name: &str) -> Option<&'a Entry> {
        self.entries.iter().find(|(known, _)| *known == name).map(|(_, entry)| *entry)
    }

    /// The value of a field, when something was written there.
    pub fn value(&self, name: &str) -> Option<&'a Node> {
        self.entry(name).map(|entry| &entry.value).filter(|value| !value.is_empty())
    }
}

impl<'a> Reader<'a> {
    pub fn new(file: &'a SourceFile, deck: Option<&'a str>) -> Self {
        Self { file, deck, card: String::new(), prefix: String::new(), findings: Vec::new() }
    }

    /// Takes over what was found while the text was read as YAML.
    pub fn take_problems(&mut self, reading: &Reading) {
        for problem in &reading.problems {
            let level = if problem.rule == "swallowed-text" { Level::Warning } else { Level::Error };
            let place = self.file.place(problem.span);
            let mut finding = Finding::new(problem.rule, level, place, &problem.message)
                .help(&problem.help)
                .about(problem.span.of(&self.file.text));
            finding.deck = self.deck.map(str::to_owned);
            if let Some((span, text)) = &problem.repair {
                finding = finding.repaired_by(&self.file.path, *span, text);
            }
            self.findings.push(finding);
        }
    }

    /// Says which card the findings from now on belong to.
    pub fn on_card(&mut self, id: &str) {
        self.card = id.to_owned();
    }

    /// Says which part of the card the findings from now on belong to, such as `also[0].`.
    pub fn within(&mut self, prefix: String) {
        self.prefix = prefix;
    }

    pub fn report(
        &mut self,
        rule: &'static str,
        span: Span,
        field: &str,
        message: String,
        help: String,
    ) -> &mut Finding {
        let mut finding =
            Finding::new(rule, Level::Error, self.file.place(span), message).help(help).on_card(&self.card);
        finding.deck = self.deck.map(str::to_owned);
        if !field.is_empty() {
            finding.field = Some(format!("{}{field}", self.prefix));
        }
        self.findings.push(finding);
        self.findings.last_mut().expect("just pushed")
    }

    /// The fields of a map; unknown ones are reported, and read as the one that was meant.
    pub fn fields<'n>(&mut self, node: &'n Node, what: &'static str, known: &[&'static str]) -> Option<Fields<'n>> {
        let Some(entries) = node.map() else {
            if !node.is_empty() {
                let help = format!("write fields with their values, one a line, such as `{}: …`", known[0]);
                self.report(
                    "wrong-shape",
                    node.span,
                    "",
                    format!("expected the fields of a {what}, but found {}", shown(node)),
                    help,
                );
            }
            return None;
        };
        let mut fields = Fields { what, entries: Vec::with_capacity(entries.len()), span: node.span };
        let mut strange = Vec::new();
        for entry in entries {
            match entry.key.text().and_then(|key| known.iter().find(|known| **known == key)) {
                Some(name) => fields.entries.push((name, entry)),
                None => strange.push(entry),
            }
        }
        for entry in strange {
            self.unknown(entry, known, &mut fields);
        }
        Some(fields)
    }

    fn unknown<'n>(&mut self, entry: &'n Entry, known: &[&'static str], fields: &mut Fields<'n>) {
        let what = fields.what;
        let Some(key) = entry.key.text() else {
            let help = format!("write the name of a field: {}", known.join(", "));
            self.report(
                "wrong-shape",
                entry.key.span,
                "",
                format!("expected a field's name, but found {}", shown(&entry.key)),
                help,
            );
            return;
        };
        let free: Vec<_> = known.iter().copied().filter(|name| fields.entry(name).is_none()).collect();
        let near = fields::nearest(key, free);
        let help = match near {
            Some(name) => format!("did you mean `{name}:`?"),
            None => format!("a {what} has these fields: {}", known.join(", ")),
        };
        let message = format!("a {what} has no field `{key}`");
        let (path, span) = (self.file.path.clone(), entry.key.span);
        let finding = self.report("unknown-field", span, key, message, help);
        key.clone_into(&mut finding.about);
        if let Some(name) = near {
            finding.repair.push(crate::finding::Replacement { path, span, text: name.to_owned() });
            fields.entries.push((name, entry));
        }
    }

    /// A field that must be there and hold something.
    pub fn required<'n>(&mut self, fields: &Fields<'n>, name: &str) -> Option<&'n Node> {
        let what = fields.what;
        match fields.entry(name) {
            Some(entry) if !blank(&entry.value) => Some(&entry.value),
            Some(entry) => {
                let message = format!("this {what} has nothing behind `{name}:`");
                self.report(
                    "missing-field",
                    entry.key.span,
                    name,
                    message,
                    format!("write the {name} behind `{name}:`"),
                );
                None
            }
            None => {
                let start = Span::at(fields.span.start());
                self.report(
                    "missing-field",
                    start,
                    name,
                    format!("this {what} has no `{name}`"),
                    format!("add a line `{name}: …`"),
                );
                None
            }
        }
    }

    /// A field that may be missing, but must hold something when it is there.
    pub fn optional<'n>(&mut self, fields: &Fields<'n>, name: &str) -> Option<&'n Node> {
        let entry = fields.entry(name)?;
        if blank(&entry.value) {
            let message = format!("nothing stands behind `{name}:`");
            self.report(
                "missing-field",
                entry.key.span,
                name,
                message,
                format!("write something behind `{name}:`, or take the line out"),
            );
            return None;
        }
        Some(&entry.value)
    }

    pub fn text(&mut self, node: &Node, name: &str) -> Option<Text> {
        match &node.shape {
            Shape::Text(text) => {
                _ = self.keeps_length(node.span, name, text);
                Some(Text { value: text.without_line_end(), span: node.span })
            }
            Shape::Map(entries) if is_cut_by_colon(entries, node.span.of(&self.file.text)) => {
                let written = node.span.of(&self.file.text).to_owned();
                let message = "the text has a colon followed by a space, which starts a new field".to_owned();
                let quoted = double_quoted(&written);
                let (path, span) = (self.file.path.clone(), node.span);
                let finding =
                    self.report("wrong-shape", span, name, message, format!("put the text in quotes: `{quoted}`"));
                finding.repair.push(crate::finding::Replacement { path, span, text: quoted });
                Some(Text { value: written.into(), span })
            }
            _ => {
                let written = node.span.of(&self.file.text).lines().next().unwrap_or_default().to_owned();
                let help = if node.style == Style::Flow {
                    format!(
                        "if the brackets belong to the text, put it in quotes: `{name}: {}`",
                        double_quoted(&written)
                    )
                } else {
                    format!("write one text behind `{name}:`")
                };
                self.report(
                    "wrong-shape",
                    node.span,
                    name,
                    format!("expected text behind `{name}:`, but found {}", shown(node)),
                    help,
                );
                None
            }
        }
    }

    /// Whether a text is no longer than any field may be; says so when it is.
    fn keeps_length(&mut self, span: Span, name: &str, text: &str) -> bool {
        let letters = if text.len() > MAX_FIELD { text.chars().count() } else { 0 };
        if letters > MAX_FIELD {
            let message = format!("the text behind `{name}:` has {letters} letters; a field may have {MAX_FIELD}");
            let help = "put what pupils need on cards of their own, and the rest into the notes".to_owned();
            self.report("unreadable", Span::at(span.start()), name, message, help).about = "length".to_owned();
        }
        letters <= MAX_FIELD
    }

    pub fn optional_text(&mut self, fields: &Fields<'_>, name: &str) -> Option<Text> {
        let node = self.optional(fields, name)?;
        self.text(node, name)
    }

    pub fn required_text(&mut self, fields: &Fields<'_>, name: &str) -> Option<Text> {
        let node = self.required(fields, name)?;
        self.text(node, name)
    }

    /// A list of texts. A lone text is reported, and read as a list of one.
    pub fn texts(&mut self, fields: &Fields<'_>, name: &str) -> Vec<Text> {
        let Some(node) = self.optional(fields, name) else { return Vec::new() };
        if node.list().is_some() {
            return self.entries(node, name);
        }
        if node.text().is_some_and(|text| !self.keeps_length(node.span, name, text)) {
            return Vec::new();
        }
        let written = node.span.of(&self.file.text).trim_end().to_owned();
        let (path, span) = (self.file.path.clone(), node.span);
        let one_line = node.text().is_some()
            && !matches!(node.style, Style::Literal | Style::Folded)
            && !written.contains('\n')
            && !node.alias;
        let listed = format!("[{written}]");
        let message = format!("expected a list behind `{name}:`, but found {}", shown(node));
        let finding =
            self.report("wrong-shape", span, name, message, format!("write it as a list: `{name}: {listed}`"));
        if one_line && !(node.style == Style::Plain && written.contains(['[', ']', '{', '}', ','])) {
            finding.repair.push(crate::finding::Replacement { path, span, text: listed });
        }
        node.text().map(|text| Text { value: text.trim_end().into(), span }).into_iter().collect()
    }

    /// One text, or a list of texts; and whether it was a list.
    pub fn text_or_list(&mut self, node: &Node, name: &str) -> (SmallVec<[Text; 1]>, bool) {
        match &node.shape {
            Shape::List(_) => match self.entries(node, name) {
                one if one.len() < 2 => (one.into_iter().collect(), true),
                several => (several.into(), true),
            },
            Shape::Text(_) | Shape::Map(_) => (self.text(node, name).into_iter().collect(), false),
        }
    }

    fn entries(&mut self, node: &Node, name: &str) -> Vec<Text> {
        let items = node.list().unwrap_or_default();
        let mut texts = Vec::with_capacity(items.len());
        for item in items {
            if blank(item) {
                let message = format!("an entry of the list `{name}` is empty");
                self.report(
                    "missing-field",
                    item.span,
                    name,
                    message,
                    "write something behind the dash, or take the line out".to_owned(),
                );
            } else {
                texts.extend(self.text(item, name));
            }
        }
        texts
    }

    pub fn flag(&mut self, fields: &Fields<'_>, name: &str) -> bool {
        let Some(node) = self.optional(fields, name) else { return false };
        match node.text().and_then(truth) {
            Some(truth) => truth,
            None => {
                let message = format!("expected `true` or `false` behind `{name}:`, but found {}", shown(node));
                self.report(
                    "wrong-shape",
                    node.span,
                    name,
                    message,
                    format!("write `{name}: true`, or take the line out"),
                );
                false
            }
        }
    }

    /// Says so when nothing stands behind the dash of a list's entry.
    pub fn filled(&mut self, item: &Node, name: &str) {
        if item.is_empty() {
            let message = format!("an entry of the list `{name}` is empty");
            self.report("missing-field", item.span, name, message, "fill it in, or take the dash out".to_owned());
        }
    }

    /// The maps of a list of maps, each with its number.
    pub fn maps<'n>(
        &mut self,
        fields: &Fields<'n>,
        name: &'static str,
        what: &'static str,
        known: &[&'static str],
    ) -> Vec<(usize, Fields<'n>)> {
        let Some(node) = self.optional(fields, name) else { return Vec::new() };
        let Some(items) = node.list() else {
            let help = format!("start each entry with a dash: `- {}: …`", known[0]);
            self.report(
                "wrong-shape",
                node.span,
                name,
                format!("expected a list behind `{name}:`, but found {}", shown(node)),
                help,
            );
            return Vec::new();
        };
        let mut maps = Vec::with_capacity(items.len());
        for (at, item) in items.iter().enumerate() {
            self.filled(item, name);
            self.prefix = format!("{name}[{at}].");
            maps.extend(self.fields(item, what, known).map(|fields| (at, fields)));
            self.prefix.clear();
        }
        maps
    }
}

/// What `true`, `yes`, `false` and `no` say, in any case.
pub fn truth(word: &str) -> Option<bool> {
    match word.to_lowercase().as_str() {
        "true" | "yes" => Some(true),
        "false" | "no" => Some(false),
        _ => None,
    }
}

/// A whole number from 1 to `max`.
pub fn whole_number(text: &str, max: u16) -> Option<u16> {
    text.trim().parse().ok().filter(|number| (1..=max).contains(number))
}

/// Whether it is one line of text that a colon made into a field and its value.
fn is_cut_by_colon(entries: &[Entry], written: &str) -> bool {
    let texts = |entry: &Entry| entry.key.text().is_some() && entry.value.text().is_some_and(|text| !text.is_empty());
    let fields = |entry: &Entry| entry.key.text().is_some_and(fields::is_known);
    entries.len() == 1
        && !written.contains('\n')
        && !written.starts_with(['{', '"', '\''])
        && entries.iter().all(texts)
        && !entries.iter().any(fields)
}

/// Whether nothing but blanks was written.
fn blank(node: &Node) -> bool {
    node.text().is_some_and(|text| text.trim().is_empty())
}

/// The most letters of a text that a message repeats.
const MOST_SHOWN: usize = 80;

/// What was found, in words.
pub fn shown(node: &Node) -> String {
    match &node.shape {
        Shape::Text(text) => {
            let line = text.lines().next().unwrap_or_default();
            let shown: String = line.chars().take(MOST_SHOWN).collect();
            format!("`{shown}{}`", if shown.len() < line.len() { "…" } else { "" })
        }
        Shape::List(_) => "a list".to_owned(),
        Shape::Map(_) => "fields with values".to_owned(),
    }
}
