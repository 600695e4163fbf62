//! Small words of closed classes: prepositions, quantifiers, the marks of an era, words that refuse.

use super::super::FactKind;
use super::{Hunk, Spots};

impl Spots<'_> {
    /// What kind of fact a hunk changes by its small words alone.
    pub(super) fn small_words(&self, hunk: &Hunk, old: &[usize], new: &[usize]) -> Option<FactKind> {
        if !self.near_answer(&hunk.mine) {
            return None;
        }
        let mine: Vec<&str> = old.iter().map(|at| self.mine.folded(*at)).collect();
        let theirs: Vec<&str> = new.iter().map(|at| self.theirs.folded(*at)).collect();
        let has = |words: &[&str], class: fn(&str) -> bool| words.iter().any(|word| class(word));
        if has(&mine, is_before_our_era) != has(&theirs, is_before_our_era) {
            return Some(FactKind::Date);
        }
        let anywhere = |class: fn(&str) -> bool| (0..self.mine.len()).any(|at| class(self.mine.folded(at)));
        let now = |class: fn(&str) -> bool| (0..self.theirs.len()).any(|at| class(self.theirs.folded(at)));
        // `would not end`, `refused to end`; `forbade`, `were not allowed`
        let (denied, denied_now) = (anywhere(denies), now(denies));
        if has(&theirs, refuses) && !anywhere(refuses) && denied == denied_now
            || has(&mine, refuses) && theirs.is_empty() && !now(refuses) && denied == denied_now
        {
            return Some(FactKind::Negation);
        }
        // `forbade them to work`, `banned them from working`
        if (anywhere(refuses) || now(refuses)) && self.is_infinitive(hunk) {
            return None;
        }
        if self.softens(hunk) {
            return Some(FactKind::Negation);
        }
        match (mine.as_slice(), theirs.as_slice()) {
            ([], [word]) if weakens(word) && !self.is_before_value(hunk) => Some(FactKind::Comparison),
            ([], [word]) if share(word) == Some(Share::Part) && !anywhere(|word| share(word).is_some()) => {
                Some(FactKind::Comparison)
            }
            ([one], [other]) => match (share(one), share(other)) {
                (Some(one), Some(other)) => (one != other).then_some(FactKind::Comparison),
                _ => prepositions_differ(&mine, &theirs).then_some(FactKind::Comparison),
            },
            _ => prepositions_differ(&mine, &theirs).then_some(FactKind::Comparison),
        }
    }

    /// Whether `to work` became `from working`, or the other way round.
    fn is_infinitive(&self, hunk: &Hunk) -> bool {
        let (mine, theirs) = (hunk.mine.end, hunk.theirs.end);
        let (one, other) = (self.mine.folded(mine), self.theirs.folded(theirs));
        let same = mine < self.mine.len() && theirs < self.theirs.len() && self.mine.is_same(mine, self.theirs, theirs);
        same && one.ends_with("ing") != other.ends_with("ing")
    }

    /// Whether `never` became `seldom`, or the other way round.
    fn softens(&self, hunk: &Hunk) -> bool {
        let mine = |class: fn(&str) -> bool| hunk.mine.clone().any(|at| class(self.mine.folded(at)));
        let theirs = |class: fn(&str) -> bool| hunk.theirs.clone().any(|at| class(self.theirs.folded(at)));
        mine(denies) && theirs(is_seldom) && !theirs(denies) || mine(is_seldom) && theirs(denies) && !mine(denies)
    }

    fn is_before_value(&self, hunk: &Hunk) -> bool {
        hunk.theirs.end < self.theirs.len() && self.theirs.is_value(hunk.theirs.end)
    }
}

/// Whether a word is of one of the classes here, and no content word.
pub(super) fn is_listed(word: &str) -> bool {
    share(word).is_some()
        || MARKED.contains(&word)
        || SENSES.iter().any(|sense| sense.contains(&word))
        || is_before_our_era(word)
        || matches!(word, "ad" | "ce")
}

fn is_before_our_era(word: &str) -> bool {
    matches!(word, "bc" | "bce")
}

/// Verbs and small words by which what follows does not come about.
pub(crate) fn refuses(word: &str) -> bool {
    const BEGINNINGS: [&str; 11] =
        ["refus", "fail", "declin", "ceas", "unable", "avoid", "neglect", "forbid", "forbad", "exclud", "prevent"];
    word == "except" || BEGINNINGS.iter().any(|beginning| word.starts_with(beginning) && word != "failure")
}

/// A word that says that something is not so at all.
fn denies(word: &str) -> bool {
    matches!(word, "not" | "never" | "no" | "none" | "cannot" | "nothing" | "nowhere" | "nobody")
        || word.ends_with("n't")
}

/// A word that says that something is so now and then, and mostly is not.
fn is_seldom(word: &str) -> bool {
    matches!(word, "rarely" | "seldom" | "hardly" | "scarcely" | "barely" | "occasionally" | "sometimes")
}

/// A word before another that makes it less than that.
fn weakens(word: &str) -> bool {
    matches!(word, "like" | "unlike" | "almost" | "nearly" | "partly" | "barely" | "hardly" | "perhaps" | "possibly")
}

/// How many of the things are meant.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Share {
    All,
    Most,
    Part,
    None,
}

fn share(word: &str) -> Option<Share> {
    Some(match word {
        "all" | "every" | "each" | "any" | "both" | "whole" | "entire" => Share::All,
        "most" | "many" => Share::Most,
        "some" | "several" | "few" | "certain" => Share::Part,
        "no" | "none" => Share::None,
        _ => return None,
    })
}

/// Prepositions with a sense of their own; others, such as `of` and `in`, stand for each other.
const MARKED: [&str; 31] = [
    "above", "after", "against", "away", "before", "behind", "below", "beneath", "between", "beyond", "despite",
    "down", "except", "from", "inside", "like", "off", "on", "onto", "opposite", "outside", "over", "since", "to",
    "towards", "under", "until", "up", "while", "with", "without",
];

/// Prepositions that can say the same, by sense.
const SENSES: [&[&str]; 29] = [
    &["and", "to", "until", "till"],
    &["at", "from"],
    &["and", "to", "with"],
    &[
        "in",
        "into",
        "inside",
        "within",
        "at",
        "on",
        "onto",
        "during",
        "throughout",
        "through",
        "across",
        "over",
        "along",
        "around",
        "round",
        "by",
    ],
    &["of", "in", "for", "on", "at", "about", "with"],
    &["of", "from"],
    &["of", "to", "for"],
    &["to", "into", "towards", "toward", "onto", "until", "till", "for", "up"],
    &["from", "off", "away", "out", "by", "since"],
    &["with", "by", "using", "through", "via", "in", "from", "and", "having", "alongside"],
    &["above", "over", "on", "upon", "beyond", "past"],
    &["below", "under", "beneath", "underneath"],
    &["beside", "near", "by", "next", "at", "along", "alongside", "close", "on", "around"],
    &["before", "until", "till", "by"],
    &["after", "following", "from", "since", "upon", "when"],
    &["before", "ahead"],
    &["between", "among", "from", "amid", "joining", "and"],
    &["against", "on", "from"],
    &["as", "like"],
    &["outside", "beyond", "off"],
    &["per", "a", "an", "each", "every", "in"],
    &["behind", "after"],
    &["opposite", "against", "facing"],
    &["since", "because", "as", "for"],
    &["without", "minus"],
    &["despite", "notwithstanding", "although", "though", "even"],
    &["up", "upwards", "upward", "above"],
    &["while", "whilst", "during", "when", "as"],
    &["while", "whereas", "but", "although", "though", "and"],
];

/// Whether two groups of prepositions, such as `away from` and `towards`, have no sense in common.
fn prepositions_differ(mine: &[&str], theirs: &[&str]) -> bool {
    let is_one = |word: &&str| SENSES.iter().any(|sense| sense.contains(word)) || MARKED.contains(word);
    let share = |one: &str, other: &str| SENSES.iter().any(|sense| sense.contains(&one) && sense.contains(&other));
    let any = mine.iter().any(|one| theirs.iter().any(|other| one == other || share(one, other)));
    let marked = || mine.iter().chain(theirs).any(|word| MARKED.contains(word));
    !mine.is_empty() && !theirs.is_empty() && mine.iter().chain(theirs).all(is_one) && !any && marked()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prepositions_of_one_sense_stand_for_each_other() {
        for (one, other) in [("in", "during"), ("from", "of"), ("towards", "to"), ("under", "below"), ("with", "using")]
        {
            assert!(!prepositions_differ(&[one], &[other]), "{one} {other}");
        }
        for (one, other) in [
            ("of", "after"),
            ("with", "against"),
            ("in", "outside"),
            ("during", "before"),
            ("on", "off"),
            ("to", "from"),
            ("before", "while"),
        ] {
            assert!(prepositions_differ(&[one], &[other]), "{one} {other}");
        }
    }
}
