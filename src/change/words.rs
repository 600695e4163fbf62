//! The words in which two texts differ.

use serde::Serialize;
use similar::{ChangeTag, TextDiff};

/// Texts longer than this are not compared word by word, but shown whole.
const LONGEST: usize = 20_000;

/// A run of words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Run {
    /// In both.
    Kept(String),
    /// Only in the text before.
    Removed(String),
    /// Only in the text after.
    Added(String),
}

/// The difference between two texts over Unicode words.
///
/// The kept and removed runs together are `before`, the kept and added ones `after`. Changed words
/// with nothing but blanks between them are one run, so that it reads aloud well.
///
/// ```
/// use deckle::change::{Run, runs};
/// let kept = |text: &str| Run::Kept(text.into());
/// assert_eq!(
///     runs("34 knots or more", "35 knots or more"),
///     [Run::Removed("34".into()), Run::Added("35".into()), kept(" knots or more")]
/// );
/// ```
pub fn runs(before: &str, after: &str) -> Vec<Run> {
    let mut out = Runs::default();
    if before.len().max(after.len()) > LONGEST && before != after {
        out.removed.push_str(before);
        out.added.push_str(after);
    } else {
        for change in TextDiff::from_unicode_words(before, after).iter_all_changes() {
            out.take(change.tag(), change.value());
        }
    }
    out.finish()
}

/// Runs in the making: what was changed since the last kept word, and the blanks behind it.
#[derive(Default)]
struct Runs {
    done: Vec<Run>,
    kept: String,
    removed: String,
    added: String,
    gap: String,
}

impl Runs {
    fn take(&mut self, tag: ChangeTag, text: &str) {
        let changing = !self.removed.is_empty() || !self.added.is_empty();
        match tag {
            ChangeTag::Equal if changing && text.trim().is_empty() => self.gap.push_str(text),
            ChangeTag::Equal => {
                self.close();
                self.kept.push_str(text);
            }
            ChangeTag::Delete => self.change().0.push_str(text),
            ChangeTag::Insert => self.change().1.push_str(text),
        }
    }

    /// The changed texts, with the blanks between them and the next change.
    fn change(&mut self) -> (&mut String, &mut String) {
        let kept = std::mem::take(&mut self.kept);
        self.done.extend((!kept.is_empty()).then_some(Run::Kept(kept)));
        let gap = std::mem::take(&mut self.gap);
        self.removed.push_str(&gap);
        self.added.push_str(&gap);
        (&mut self.removed, &mut self.added)
    }

    fn close(&mut self) {
        let (removed, added) = (std::mem::take(&mut self.removed), std::mem::take(&mut self.added));
        self.done.extend((!removed.is_empty()).then_some(Run::Removed(removed)));
        self.done.extend((!added.is_empty()).then_some(Run::Added(added)));
        self.kept.push_str(&std::mem::take(&mut self.gap));
    }

    fn finish(mut self) -> Vec<Run> {
        self.close();
        self.done.extend((!self.kept.is_empty()).then_some(Run::Kept(self.kept)));
        self.done
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shown(before: &str, after: &str) -> String {
        let show = |run: &Run| match run {
            Run::Kept(text) => text.clone(),
            Run::Removed(text) => format!("[-{text}-]"),
            Run::Added(text) => format!("[+{text}+]"),
        };
        runs(before, after).iter().map(show).collect()
    }

    #[test]
    fn words_that_stand_together_are_one_run() {
        assert_eq!(
            shown("The mean wind speed in knots", "The average air speed in knots"),
            "The [-mean wind-][+average air+] speed in knots"
        );
        assert_eq!(shown("same", "same"), "same");
        assert_eq!(shown("", "new"), "[+new+]");
        assert_eq!(shown("café noir", "café"), "café[- noir-]");
        assert_eq!(shown("a b", "b a"), "[+b +]a[- b-]");
    }

    #[test]
    fn very_long_texts_are_shown_whole() {
        let long = "word ".repeat(5_000);
        assert_eq!(runs(&long, "word"), [Run::Removed(long.clone()), Run::Added("word".to_owned())]);
        assert_eq!(runs(&long, &long), [Run::Kept(long.clone())]);
    }

    proptest! {
        #[test]
        fn both_texts_can_be_put_together_again(before in "[a-c é,\n]{0,30}", after in "[a-c é,\n]{0,30}") {
            let all = runs(&before, &after);
            let text = |wanted: fn(&Run) -> bool| -> String {
                all.iter().filter(|run| wanted(run)).map(|run| match run {
                    Run::Kept(text) | Run::Removed(text) | Run::Added(text) => text.as_str(),
                }).collect()
            };
            prop_assert_eq!(text(|run| !matches!(run, Run::Added(_))), before);
            prop_assert_eq!(text(|run| !matches!(run, Run::Removed(_))), after);
        }
    }
}
