//! Text in lines of a given width.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthChar;

/// The text in at most `lines` lines of at most `width` thousandths of an em; cut with an ellipsis where it
/// does not fit.
pub fn wrapped(text: &str, width: i64, lines: usize) -> Vec<String> {
    let mut done: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace().flat_map(|word| broken(word, width)) {
        let longer = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
        if measured(&longer) <= width {
            line = longer;
        } else {
            done.push(std::mem::replace(&mut line, word));
        }
    }
    done.push(line);
    if done.len() > lines {
        done.truncate(lines);
        let last = done.pop().unwrap_or_default();
        done.push(cut(&last, width));
    }
    done
}

/// A word, or its pieces when it is wider than a line.
fn broken(word: &str, width: i64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut taken = 0;
    for sign in word.graphemes(true) {
        let wide = measured(sign);
        if taken + wide > width && taken > 0 {
            pieces.push(String::new());
            taken = 0;
        }
        taken += wide;
        if let Some(piece) = pieces.last_mut() {
            piece.push_str(sign);
        }
    }
    pieces
}

fn cut(line: &str, width: i64) -> String {
    let mut signs: Vec<&str> = line.graphemes(true).collect();
    while measured(&signs.concat()) + measured("…") > width && !signs.is_empty() {
        signs.pop();
    }
    format!("{}…", signs.concat().trim_end())
}

/// How wide text is, in thousandths of an em: in Helvetica by Adobe's font metrics of the 14 core fonts,
/// rounded up to the widest of alike letters, and generously in what they do not have.
pub fn measured(text: &str) -> i64 {
    text.chars().map(wide).sum()
}

fn wide(sign: char) -> i64 {
    match sign {
        'i' | 'j' | 'l' | '\'' | '’' | '‘' => 222,
        ' ' | 'I' | 'f' | 't' | '.' | ',' | ':' | ';' | '/' | '|' | '!' | '[' | ']' | '\\' => 278,
        'r' | '(' | ')' | '-' | '“' | '”' | '`' | '{' | '}' | '*' => 340,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
        'w' | 'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
        'G' | 'O' | 'Q' => 778,
        'm' | 'M' => 833,
        'W' | '%' | '@' | '—' | '…' => 1015,
        'A'..='Z' | '&' => 667,
        ' '..='~' => 584,
        _ => match sign.width().unwrap_or(0) {
            0 => 0,
            1 => 680,
            _ => 1050,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_hold_whole_words_and_are_no_wider_than_they_may_be() {
        assert_eq!(wrapped("What is a tributary of a river?", 6000, 4), ["What is a", "tributary of a", "river?"]);
        assert_eq!(wrapped("", 6000, 4), [""]);
        for text in [
            "Donaudampfschifffahrtsgesellschaft on the river",
            "ＷＩＤＥ ＬＥＴＴＥＲＳ ＨＥＲＥ",
            "🌊🌊🌊🌊🌊🌊🌊🌊🌊🌊",
        ] {
            for line in wrapped(text, 5000, 9) {
                assert!(measured(&line) <= 5000, "{line}");
            }
            assert_eq!(wrapped(text, 5000, 9).concat().replace(' ', ""), text.replace(' ', ""));
        }
    }

    #[test]
    fn what_does_not_fit_is_cut_with_an_ellipsis() {
        let lines = wrapped("one two three four five six seven", 4000, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…') && measured(&lines[1]) <= 4000, "{lines:?}");
    }
}
