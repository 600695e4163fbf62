//! Comment lines merged line by line: what one side took out is gone, what any side added is there.

use super::algebra::{Outcome, sequence, set, whole};

/// The comment and blank lines of all sides in one text.
pub fn merge_comments(base: Option<&String>, sides: &[Option<&String>]) -> String {
    if let Outcome::Resolved(text) = whole(base, sides) {
        return text.unwrap_or_default();
    }
    let base = numbered(base.map_or("", String::as_str));
    let sides: Vec<Vec<(&str, usize)>> = sides.iter().map(|side| numbered(side.map_or("", String::as_str))).collect();
    let kept = set(&base, &sides).into_iter().collect();
    sequence(&base, &sides, &kept).into_iter().map(|(line, _)| line).collect()
}

/// Lines with their number among equal ones, so that each stands once. A last line without line end
/// is told apart by it.
fn numbered(text: &str) -> Vec<(&str, usize)> {
    let mut lines: Vec<(&str, usize)> = Vec::new();
    for line in text.split_inclusive('\n') {
        let number = lines.iter().filter(|(other, _)| *other == line).count();
        lines.push((line, number));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn added_lines_of_both_sides_stand_and_removed_ones_are_gone() {
        let text = |text: &str| text.to_owned();
        let (base, ours, theirs) = (text("# a\n\n# b\n"), text("# a\n\n# b\n# c\n"), text("# z\n# a\n\n"));
        assert_eq!(merge_comments(Some(&base), &[Some(&ours), Some(&theirs)]), "# z\n# a\n\n# c\n");
        assert_eq!(merge_comments(None, &[None, Some(&ours)]), ours);
    }
}
