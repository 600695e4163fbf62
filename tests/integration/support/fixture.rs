//! A small department in one text file, with the expected findings written inside at their places.
//!
//! - `=== path` starts a file; behind the path may stand `[hex]` (the bytes are written as digits),
//!   `[link]`, `[size N]` or `[absent]`. The settings are filled in when they are not given.
//! - `#~` starts a marker: it stands under the line that is meant, with carets under the columns, then
//!   the level, the rule and a part of the message. Further parts follow behind ` | `: `help: …` (a part
//!   of it), `also: path:line:column …` for each second place, in order, and `repairable`.
//! - Places that carets cannot show are written out: `@7-9` from column 7 up to column 9, `@7-+2:5` up
//!   to column 5 two lines further down.
//! - A marker above the first line of a file means that line.

use std::fmt::Write as _;

use deckle::finding::{Finding, Related};
use deckle::place::Position;
use deckle::snapshot::Kind;

use super::memory::MemorySnapshot;

const SETTINGS: &str = "department: Geography\nschool: Ambleford Quay School\nyears: [7, 8, 9]\n";
const SETTINGS_PATH: &str = "decks/department.yaml";

/// A fixture, taken apart.
#[derive(Debug)]
pub struct Fixture {
    /// Lines above the first file: what the fixture shows.
    head: Vec<String>,
    sections: Vec<Section>,
}

#[derive(Debug)]
struct Section {
    path: String,
    /// What stands in brackets behind the path.
    how: Option<String>,
    /// The lines without the markers.
    lines: Vec<String>,
    expected: Vec<Expected>,
}

/// A finding that a marker asks for.
#[derive(Debug)]
struct Expected {
    /// The line in the file, from 1.
    line: usize,
    /// The marker as written.
    marker: String,
    columns: (Position, Position),
    level: String,
    rule: String,
    message: String,
    parts: Vec<String>,
}

impl Fixture {
    /// Takes a fixture apart.
    ///
    /// # Panics
    ///
    /// When a marker cannot be read.
    pub fn read(text: &str) -> Self {
        let mut fixture = Fixture { head: Vec::new(), sections: Vec::new() };
        for line in text.lines() {
            if let Some(path) = line.strip_prefix("=== ") {
                fixture.sections.push(Section::new(path.trim()));
                continue;
            }
            let Some(section) = fixture.sections.last_mut() else {
                fixture.head.push(line.to_owned());
                continue;
            };
            match line.strip_prefix("#~") {
                Some(_) => section.expected.push(Expected::read(line, section.lines.len().max(1))),
                None => section.lines.push(line.to_owned()),
            }
        }
        fixture
    }

    /// The department, without the markers.
    pub fn snapshot(&self) -> MemorySnapshot {
        let mut snapshot = MemorySnapshot::default();
        if !self.sections.iter().any(|section| section.path == SETTINGS_PATH) {
            snapshot.put(SETTINGS_PATH, SETTINGS);
        }
        self.sections.iter().for_each(|section| section.put(&mut snapshot));
        snapshot
    }

    /// Whether a marker asks for a finding of `rule`.
    pub fn expects(&self, rule: &str) -> bool {
        self.sections.iter().flat_map(|section| &section.expected).any(|expected| expected.rule == rule)
    }

    /// What is wrong: findings that no marker asks for, and markers that no finding answers.
    pub fn differences(&self, findings: &[Finding]) -> Vec<String> {
        let mut left: Vec<&Finding> = findings.iter().collect();
        let mut wrong = Vec::new();
        for section in &self.sections {
            for expected in &section.expected {
                match left.iter().position(|finding| expected.is_met(&section.path, finding)) {
                    Some(at) => _ = left.remove(at),
                    None => wrong.push(format!("{}:{}: not found: {}", section.path, expected.line, expected.marker)),
                }
            }
        }
        let found = |finding: &&Finding| {
            format!("{}:{}: not expected: {}", finding.place.path, finding.place.start.line, marker(finding))
        };
        wrong.extend(left.iter().map(found));
        wrong
    }

    /// The fixture with the markers that `findings` ask for.
    pub fn rewritten(&self, findings: &[Finding]) -> String {
        let mut text: String = self.head.iter().map(|line| format!("{line}\n")).collect();
        let unknown =
            findings.iter().filter(|finding| !self.sections.iter().any(|section| *section.path == *finding.place.path));
        let unknown: std::collections::BTreeSet<_> = unknown.map(|finding| &finding.place.path).collect();
        for section in &self.sections {
            section.write(&mut text, findings);
        }
        for path in unknown {
            Section::new(path).write(&mut text, findings);
        }
        text
    }
}

impl Section {
    fn new(line: &str) -> Self {
        let (path, how) = match line.strip_suffix(']').and_then(|line| line.split_once(" [")) {
            Some((path, how)) => (path, Some(how.to_owned())),
            None => (line, None),
        };
        Self { path: path.to_owned(), how, lines: Vec::new(), expected: Vec::new() }
    }

    fn put(&self, snapshot: &mut MemorySnapshot) {
        match self.how.as_deref() {
            None => snapshot.put(&self.path, self.lines.iter().map(|line| format!("{line}\n")).collect::<String>()),
            Some("hex") => snapshot.put(&self.path, bytes(&self.lines.concat())),
            Some("link") => snapshot.put_as(&self.path, Kind::Link),
            Some("absent") => {}
            Some(how) => {
                let size = how.strip_prefix("size ").and_then(|size| size.parse().ok());
                snapshot.put_as(&self.path, Kind::File { size: size.unwrap_or_else(|| panic!("unknown: [{how}]")) });
            }
        }
    }

    fn write(&self, text: &mut String, findings: &[Finding]) {
        let how = self.how.as_ref().map_or(String::new(), |how| format!(" [{how}]"));
        let _ = writeln!(text, "=== {}{how}", self.path);
        let here: Vec<_> = findings.iter().filter(|finding| *finding.place.path == *self.path).collect();
        let write_at = |line: usize, text: &mut String| {
            let here = here.iter().filter(|finding| finding.place.start.line.clamp(1, self.lines.len().max(1)) == line);
            here.for_each(|finding| text.push_str(&format!("{}\n", marker(finding))));
        };
        if self.lines.is_empty() {
            write_at(1, text);
        }
        for (at, line) in self.lines.iter().enumerate() {
            let _ = writeln!(text, "{line}");
            write_at(at + 1, text);
        }
    }
}

impl Expected {
    fn read(marker: &str, line: usize) -> Self {
        Self::parsed(marker, line).unwrap_or_else(|| panic!("this marker cannot be read: {marker}"))
    }

    fn parsed(marker: &str, line: usize) -> Option<Self> {
        let start = marker.find(['^', '@'])?;
        let (place, rest) = marker[start..].split_once(' ')?;
        let columns = if place.starts_with('^') {
            (at(line, start + 1), at(line, start + 1 + place.len()))
        } else {
            written_out(place, line)?
        };
        let mut parts = rest.trim_start().split(" | ").map(str::trim);
        let (head, message) = parts.next()?.split_once(": ")?;
        let (level, rule) = head.split_once(' ')?;
        Some(Self {
            line,
            marker: marker.to_owned(),
            columns,
            level: level.to_owned(),
            rule: rule.to_owned(),
            message: message.to_owned(),
            parts: parts.map(str::to_owned).collect(),
        })
    }

    fn is_met(&self, path: &str, finding: &Finding) -> bool {
        let also: Vec<_> = self.parts.iter().filter_map(|part| part.strip_prefix("also: ")).collect();
        let parts_met = self.parts.iter().all(|part| match part.strip_prefix("help: ") {
            Some(help) => finding.help.as_ref().is_some_and(|text| text.contains(help)),
            None => part.starts_with("also: ") || part == "repairable" && !finding.repair.is_empty(),
        });
        let also_met = also.is_empty()
            || also.len() == finding.related.len()
                && also.iter().zip(&finding.related).all(|(also, related)| shown(related).contains(also));
        *finding.place.path == *path
            && (finding.place.start, finding.place.end) == self.columns
            && finding.level.word() == self.level
            && finding.rule == self.rule
            && one_line(&finding.message).contains(&self.message)
            && parts_met
            && also_met
    }
}

fn at(line: usize, column: usize) -> Position {
    Position { line, column }
}

/// `@7-9` or `@7-+2:5`.
fn written_out(place: &str, line: usize) -> Option<(Position, Position)> {
    let (start, end) = place.strip_prefix('@')?.split_once('-')?;
    let end = match end.strip_prefix('+') {
        Some(end) => {
            let (lines, column) = end.split_once(':')?;
            at(line + lines.parse::<usize>().ok()?, column.parse().ok()?)
        }
        None => at(line, end.parse().ok()?),
    };
    Some((at(line, start.parse().ok()?), end))
}

/// The marker that asks for a finding.
fn marker(finding: &Finding) -> String {
    let (start, end) = (finding.place.start, finding.place.end);
    let carets = start.line == end.line && start.column >= 3 && end.column > start.column;
    let place = if carets {
        format!("#~{}{}", " ".repeat(start.column - 3), "^".repeat(end.column - start.column))
    } else if start.line == end.line {
        format!("#~ @{}-{}", start.column, end.column)
    } else {
        format!("#~ @{}-+{}:{}", start.column, end.line - start.line, end.column)
    };
    let mut text = format!("{place} {} {}: {}", finding.level.word(), finding.rule, one_line(&finding.message));
    if let Some(help) = &finding.help {
        let _ = write!(text, " | help: {}", one_line(help));
    }
    for related in &finding.related {
        let _ = write!(text, " | also: {}", shown(related));
    }
    if !finding.repair.is_empty() {
        text.push_str(" | repairable");
    }
    text
}

fn shown(related: &Related) -> String {
    let place = &related.place;
    format!("{}:{}:{} {}", place.path, place.start.line, place.start.column, one_line(&related.message))
}

fn one_line(text: &str) -> String {
    text.replace(['\n', '\r'], "⏎")
}

fn bytes(digits: &str) -> Vec<u8> {
    let digits: Vec<_> = digits.chars().filter(|c| !c.is_whitespace()).collect();
    let byte = |pair: &[char]| u8::from_str_radix(&pair.iter().collect::<String>(), 16).expect("two digits");
    digits.chunks(2).map(byte).collect()
}
