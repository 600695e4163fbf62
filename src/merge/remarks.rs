//! Remarks inside a field: at the end of a line, or between the lines of a list.

use std::collections::BTreeSet;

use super::algebra::set;
use crate::deck::outline::FieldText;
use crate::deck::yaml;

/// Gives the field the remarks that its typed text lacks: what any side added, and what was there
/// before and nobody took out.
///
/// One that replaces the remark at the field's end is put there, the others stand above the field.
/// The order of the sides makes no difference.
pub fn keep_remarks(field: &mut FieldText, base: Option<&FieldText>, sides: &[Option<&FieldText>]) {
    let old = base.map(remarks).unwrap_or_default();
    // A side that took the field out says nothing about its remarks.
    let new: Vec<Vec<String>> = sides.iter().map(|side| side.map_or_else(|| old.clone(), remarks)).collect();
    let wanted: BTreeSet<String> = set(&old, &new).into_iter().collect();
    let there = remarks(field);
    let stands = |remark: &String| there.contains(remark) || field.lead.lines().any(|line| line.trim() == remark);
    let missing: Vec<&String> = wanted.iter().filter(|remark| !stands(remark)).collect();
    let outdated = there.last().filter(|last| !wanted.contains(*last) && field.text.ends_with(last.as_str()));
    if let ([remark], Some(last)) = (missing.as_slice(), outdated) {
        field.text.truncate(field.text.len() - last.len());
        field.text.push_str(remark);
        return;
    }
    let lines: String = missing.iter().map(|remark| format!("{remark}\n")).collect();
    field.lead.push_str(&lines);
}

/// What stands above the field, and below that the remarks in its typed text: for a field that is
/// written anew.
pub fn lead_with_remarks(field: &FieldText) -> String {
    let lines: String = remarks(field).iter().map(|remark| format!("{remark}\n")).collect();
    field.lead.clone() + &lines
}

/// Everything that is remarked about a field which does not stand on the card: above it and in it, on
/// any side, each line once.
pub fn remarked(sides: &[Option<&FieldText>]) -> Vec<String> {
    let of_side = |field: &&FieldText| lead_with_remarks(field).lines().map(str::to_owned).collect::<Vec<_>>();
    // The order of the sides makes no difference.
    let texts: BTreeSet<Vec<String>> = sides.iter().flatten().map(of_side).collect();
    let mut lines: Vec<String> = Vec::new();
    for line in texts.into_iter().flatten().filter(|line| !line.trim().is_empty()) {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

/// The remarks in the field's typed text, each with its `#`.
fn remarks(field: &FieldText) -> Vec<String> {
    if !field.text.contains('#') {
        return Vec::new();
    }
    let tree = yaml::parse(&field.text).map(|tree| tree.comments).unwrap_or_default();
    tree.iter().map(|comment| comment.span.of(&field.text).trim_end().to_owned()).collect()
}
