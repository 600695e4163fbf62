//! The marks that git leaves around a conflict in notes and settings. Decks are read past theirs card by
//! card.

/// Where a line stands among the marks.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Neither,
    First,
    Other,
}

/// The text with nothing but the first side of each conflict, every byte of it where it stood, and the place
/// of the first mark; `None` without a conflict. So the rest is read as if there were none.
pub(super) fn first_side(text: &str) -> Option<(String, usize)> {
    if !text.contains("<<<<<<< ") {
        return None;
    }
    let (mut out, mut side, mut first, mut closed) = (String::with_capacity(text.len()), Side::Neither, None, false);
    for line in text.split_inclusive('\n') {
        let (now, next) = match side {
            Side::Neither if line.starts_with("<<<<<<< ") => (Side::Other, Side::First),
            Side::First if line.starts_with("||||||| ") || line.trim_end() == "=======" => (Side::Other, Side::Other),
            Side::Other if line.starts_with(">>>>>>> ") => (Side::Other, Side::Neither),
            _ => (side, side),
        };
        closed |= side == Side::Other && next == Side::Neither;
        first = first.or((now == Side::Other).then_some(out.len()));
        if now == Side::Other {
            out.extend(line.bytes().map(|byte| if matches!(byte, b'\n' | b'\r') { byte as char } else { ' ' }));
        } else {
            out.push_str(line);
        }
        side = next;
    }
    first.filter(|_| closed && side == Side::Neither).map(|first| (out, first))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_each_conflict_the_first_side_is_left_where_it_stood() {
        let text = "a\r\n<<<<<<< main\nours é\n||||||| base\nbefore\n=======\ntheirs ü\n>>>>>>> ben\nz\n";
        let (left, first) = first_side(text).expect("a conflict");
        assert_eq!((left.len(), first), (text.len(), 3));
        assert_eq!(left.split_whitespace().collect::<Vec<_>>(), ["a", "ours", "é", "z"]);
        for part in ["ours é", "z\n"] {
            assert_eq!(left.find(part), text.find(part));
        }
        assert_eq!(left.lines().count(), text.lines().count());
    }

    #[test]
    fn headings_and_unfinished_marks_are_text() {
        for text in ["Rivers\n=======\n", "<<<<<<< main\nours\n", "> <<<<<<< main\n>>>>>>> ben\n", ""] {
            assert_eq!(first_side(text), None, "{text}");
        }
    }
}
