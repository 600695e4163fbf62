//! Where the quotes of the benchmark are found again, written down for a comparison with another
//! program that finds quotes again (`tests/python/relocate.py`).

use super::super::State;
use super::{Case, Edit, general, judged, makers, own, prose};
use rayon::prelude::*;
use serde_json::{Value, json};
use std::io::Write;
use std::path::PathBuf;

/// One case in so many is compared.
const EACH: usize = 24;

#[test]
fn quotes_are_found_where_they_went() {
    let mut cases: Vec<Case> = makers::cases().into_iter().step_by(EACH).collect();
    cases.extend(prose::cases());
    let lines: Vec<String> = cases.par_iter().flat_map_iter(located).map(|line| line.to_string()).collect();
    assert!(lines.len() > 2_000, "{}", lines.len());
    let path = target().join("tmp/located.jsonl");
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    let mut file = std::fs::File::create(path).unwrap();
    lines.iter().for_each(|line| writeln!(file, "{line}").unwrap());
}

/// The folder that this program was built into.
fn target() -> PathBuf {
    std::env::current_exe().unwrap().ancestors().nth(3).unwrap().to_path_buf()
}

fn located(case: &Case) -> Vec<Value> {
    let before = super::notes(case, &case.sentence);
    let edits = own(case).into_iter().chain(general(case));
    edits.filter_map(|(edit, notes)| line(case, &edit, &before, &notes)).collect()
}

/// The quote, the notes before and after, where the passage is now, and where it was found.
fn line(case: &Case, edit: &Edit, before: &str, notes: &str) -> Option<Value> {
    let found = judged(case, notes).into_iter().find(|found| found.quote.is_some())?;
    let place = found.place.filter(|_| found.state != State::Lost).map(|place| [place.span.start, place.span.end]);
    let wanted = match edit.kind.as_str() {
        "deleted" => None,
        _ if !edit.text.is_empty() => Some(span_of(notes, &edit.text)?),
        // An edit of the layout: the passage still opens and ends with the same words.
        _ => Some(between(notes, &case.sentence)?),
    };
    Some(json!({
        "kind": edit.kind, "changes": edit.changes, "quote": case.sentence,
        "before": before, "notes": notes, "wanted": wanted, "found": place,
    }))
}

fn span_of(notes: &str, text: &str) -> Option<[usize; 2]> {
    notes.find(text).map(|start| [start, start + text.len()])
}

/// From the first two words of a sentence to its last, where both stand once.
fn between(notes: &str, sentence: &str) -> Option<[usize; 2]> {
    if let Some(span) = span_of(notes, sentence) {
        return Some(span);
    }
    let first = sentence.split(' ').next()?;
    let last = sentence.trim_end_matches('.').rsplit(' ').next()?;
    let once = |word: &str| notes.matches(word).count() == 1;
    (once(first) && once(last)).then(|| Some([notes.find(first)?, notes.find(last)? + last.len()]))?
}
