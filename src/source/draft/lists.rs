//! Questions from sentences that list several things.

use std::ops::Range;

use super::forms::{Form, Proposed, Sentence, strip_article};
use super::grammar::{
    bare, bare_words, body, count, describes, is_auxiliary, is_be, is_modal, is_only_verb, is_subject, subordinates,
};
use crate::source::keys::{points, spans};

/// Whether a sentence lists three or more things, as far as its signs tell.
pub(super) fn lists_things(text: &str) -> bool {
    members(body(text)).is_some()
}

/// Several strong parts that stand together: `The processes are **a**, **b** and **c**.`
pub(super) fn strong_list(sentence: &Sentence<'_>) -> Option<Proposed> {
    let strong = &sentence.strong;
    let (first, last) = (strong.first()?, strong.last()?);
    let between: Vec<&str> = strong.windows(2).map(|two| &sentence.text[two[0].end..two[1].start]).collect();
    if strong.len() < 2 || !between.iter().all(|joint| joins(joint)) {
        return None;
    }
    let ordered = between.iter().any(|joint| joint.contains("then") || joint.contains("at last"));
    let form = if ordered { Form::Sequence } else { Form::List };
    let (before, after) = (sentence.text[..first.start].trim_end(), &sentence.text[last.end..]);
    let before = strip_article(before);
    let answer: Vec<String> = strong.iter().map(|strong| sentence.text[strong.clone()].to_owned()).collect();
    let whole = after.trim_end_matches(['.', ' ']).is_empty() && !ordered;
    let question = Some(before).filter(|_| whole).and_then(|before| asked_by_verb(sentence, before));
    let question = question.unwrap_or_else(|| {
        let gap = format!("{before} …{}", after.trim_end_matches('.'));
        let asked = if ordered { "What comes in the gap, in order" } else { "Which words go into the gap" };
        sentence.in_place(&format!("{asked}: “{}”?", gap.trim()))
    });
    Some(Proposed::listed(form, question, answer, ordered))
}

/// What may stand between the members of a list.
fn joins(joint: &str) -> bool {
    let words = joint.split([' ', ',', ';']).filter(|word| !word.is_empty());
    let small = ["and", "or", "a", "an", "the", "then", "at", "last", "finally", "to", "by"];
    joint.len() < 20 && words.into_iter().all(|word| small.contains(&word))
}

/// `The benefits include a, b and c.` → `What do the benefits include?`
pub(super) fn lists(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let found = members(text)?;
    let lead = found.lead(text)?;
    let strong_behind = sentence.strong.iter().any(|strong| strong.end > lead.len());
    if strong_behind {
        return None;
    }
    let answer = found.ranges(lead.len() + 1).map(|at| text[at].to_owned()).collect::<Vec<_>>();
    let (lead, after) = (lead.trim_end(), &text[found.end..]);
    let adjectives = answer.iter().all(|member| count(member) == 1 && describes(&bare(member)));
    let question = match lead.rsplit_once(' ') {
        _ if !after.is_empty() => None,
        Some((subject, verb)) if is_be(verb) && adjectives && !sentence.points_back() && is_subject(subject) => {
            Some(format!("What {verb} {} like?", sentence.lowered(subject)))
        }
        // `are sorted, washed and dried` names nothing.
        Some((_, verb)) if is_be(verb) && answer.iter().any(|member| is_done(member)) => None,
        _ => asked_by_verb(sentence, lead),
    };
    let examples = lead.ends_with(" such as");
    let question = question.unwrap_or_else(|| {
        let asked = if examples { "Which examples go into the gap" } else { "Which words go into the gap" };
        sentence.in_place(&format!("{asked}: “{lead} …{after}”?"))
    });
    Some(Proposed::listed(Form::List, question, answer, false))
}

/// Whether a member says what is done or how something is, and names nothing.
fn is_done(member: &str) -> bool {
    let first = bare_words(member).into_iter().next().unwrap_or_default();
    first.ends_with("ed") || (first.ends_with("ing") || describes(&first)) && count(member) == 1
}

/// `The processes of river erosion are` → `What are the processes of river erosion?`
pub(super) fn asked_by_verb(sentence: &Sentence<'_>, lead: &str) -> Option<String> {
    if sentence.points_back() {
        return None;
    }
    let lead = lead.trim_end_matches(':');
    let words = spans(lead);
    let word = |at: usize| &lead[words[at].clone()];
    let plain = |subject: &str| !subject.contains([',', ';', ':']) && count(subject) <= 9;
    let (subject, verb) = lead.rsplit_once(' ')?;
    let asked = match verb {
        "are" | "were" if plain(subject) => format!("What {verb} {}?", sentence.lowered(subject)),
        "include" | "contain" | "need" if is_subject(subject) => {
            format!("What do {} {verb}?", sentence.lowered(subject))
        }
        "includes" | "contains" | "needs" if is_subject(subject) => {
            format!("What does {} {}?", sentence.lowered(subject), verb.trim_end_matches('s'))
        }
        "include" if plain(subject) => format!("What do {} include?", sentence.lowered(subject)),
        modal if is_modal(modal) && modal != "cannot" && is_subject(subject) => {
            format!("What {modal} {} do?", sentence.lowered(subject))
        }
        // `Granite is made of …`
        "of" | "from" | "on" | "in" | "by" | "into" => {
            let verb = (1..words.len().min(8))
                .find(|&at| is_be(word(at)) || CONSIST.iter().any(|(says, _)| *says == word(at)))?;
            let subject = &lead[..words[verb - 1].end];
            let rest = &lead[words[verb].end..];
            if !is_subject(subject) || count(rest) > 4 {
                return None;
            }
            let named = CONSIST.iter().find(|(says, _)| *says == word(verb));
            match named {
                Some((says, base)) => {
                    let does = if says == base { "do" } else { "does" };
                    format!("What {does} {} {base}{rest}?", sentence.lowered(subject))
                }
                None => format!("What {} {}{rest}?", word(verb), sentence.lowered(subject)),
            }
        }
        _ => return None,
    };
    Some(asked)
}

/// Verbs that a list follows by a preposition, with what they are asked with.
const CONSIST: [(&str, &str); 6] = [
    ("consist", "consist"),
    ("consists", "consist"),
    ("depend", "depend"),
    ("depends", "depend"),
    ("come", "come"),
    ("comes", "come"),
];

/// A plain answer, or its points where it lists three or more things.
pub(super) fn points_of(form: Form, question: String, answer: &str) -> Proposed {
    let found = members(answer).filter(|found| found.end == answer.len() && found.first_words(answer) <= 4);
    match found {
        Some(found) => {
            let answer = found.ranges(0).map(|at| answer[at].to_owned()).collect();
            Proposed::listed(form, question, answer, false)
        }
        None => Proposed::plain(form, question, answer),
    }
}

/// The members of a list in a sentence: `…, b and c`; where the first begins, its signs do not tell.
struct Members {
    /// The end of the first.
    first: usize,
    /// The others.
    others: Vec<Range<usize>>,
    end: usize,
}

const MOST_WORDS_OF_A_MEMBER: usize = 5;

fn members(text: &str) -> Option<Members> {
    let mut parts: Vec<Range<usize>> = Vec::new();
    let mut at = 0;
    for part in text.split(", ") {
        parts.push(at..at + part.len());
        at += part.len() + 2;
    }
    let last = (1..parts.len()).find(|&at| last_two(text, &parts[at]).is_some())?;
    let (before, behind) = last_two(text, &parts[last])?;
    let mut others: Vec<Range<usize>> = parts[1..last].to_vec();
    others.extend(before);
    others.push(behind.clone());
    let fits = |at: &Range<usize>| is_member(&text[at.clone()]);
    // `In the north, rivers rise and fall.`
    let phrase = parts.len() == 2 && bare_words(&text[parts[0].clone()]).first().is_some_and(|word| subordinates(word));
    (others.len() > 1 && others.iter().all(fits) && !phrase).then_some(Members {
        first: parts[0].end,
        others,
        end: behind.end,
    })
}

/// `b and c`, or `and c`, as the members that stand there.
fn last_two(text: &str, part: &Range<usize>) -> Option<(Option<Range<usize>>, Range<usize>)> {
    let said = &text[part.clone()];
    let opened = ["and ", "or "].iter().find(|joint| said.starts_with(*joint));
    if let Some(joint) = opened {
        return Some((None, part.start + joint.len()..part.end));
    }
    let (joint, at) =
        [" and ", " or "].iter().filter_map(|joint| Some((joint, said.find(joint)?))).min_by_key(|(_, at)| *at)?;
    Some((Some(part.start..part.start + at), part.start + at + joint.len()..part.end))
}

/// Whether a text can be a member of a list: a few words that are no clause.
fn is_member(text: &str) -> bool {
    let words = bare_words(text);
    let clause = |word: &String| {
        is_auxiliary(word)
            || points(word) && !matches!(word.as_str(), "many" | "most" | "some" | "all")
            || matches!(
                word.as_str(),
                "then" | "so" | "but" | "because" | "if" | "when" | "where" | "we" | "you" | "not" | "them" | "others"
            )
    };
    let hangs = |word: &String| subordinates(word) || matches!(word.as_str(), "too" | "however" | "sometimes");
    (1..=MOST_WORDS_OF_A_MEMBER).contains(&words.len())
        && !words.iter().any(clause)
        && !words.first().is_some_and(hangs)
        && !text.contains([';', ':', '(', ')', '"'])
        && !text.starts_with("and ")
}

impl Members {
    /// All members, where the first begins at byte `from`.
    fn ranges(&self, from: usize) -> impl Iterator<Item = Range<usize>> {
        std::iter::once(from..self.first).chain(self.others.iter().cloned())
    }

    fn first_words(&self, text: &str) -> usize {
        count(&text[..self.first])
    }

    /// What stands before the list, where it is plain to see.
    fn lead<'t>(&self, text: &'t str) -> Option<&'t str> {
        let before = &text[..self.first];
        let words = spans(before);
        let word = |at: usize| bare(&before[words[at].clone()]);
        let others: Vec<&str> = self.others.iter().map(|at| &text[at.clone()]).collect();
        let single = others.iter().all(|member| count(member) == 1);
        let longest = others.iter().map(|member| count(member)).max()?;
        let from = words.len().saturating_sub(MOST_WORDS_OF_A_MEMBER + 1);
        let opens = |at: &usize| {
            let colon = before[words[*at].clone()].ends_with(':');
            let next = word(*at + 1);
            let joined = at.checked_sub(1).is_some_and(|before| takes_preposition(&word(before)));
            colon
                || opens_list(&word(*at), &next)
                || joined && is_preposition(&word(*at))
                || single && *at + 2 == words.len() && is_preposition(&word(*at))
        };
        let opener = (from..words.len().checked_sub(1)?).rfind(opens)?;
        let first = &before[words[opener + 1].start..];
        let lead = &before[..words[opener].end];
        let (last, middle) = others.split_last()?;
        let longest_before = middle.iter().map(|member| count(member)).max()?.max(count(first));
        // A last member that is much longer may be no member to its end.
        let whole = named(last) <= longest_before + 1 || is_article_first(first) && is_article_first(last);
        let repeated = others.iter().any(|member| bare_words(member).contains(&word(opener)));
        let even =
            count(first) <= longest + 1 && begins_alike(first, &others) && is_member(first) && whole && !repeated;
        // The end of the list has to be plain as well: the sentence's, or a comma.
        let ends = self.end == text.len() || text[self.end..].starts_with(',') && count(&text[self.end..]) > 1;
        let telling = count(lead) > 1 && spans(lead).iter().any(|at| !crate::text::is_stop_word(&lead[at.clone()]));
        (even && ends && telling).then_some(lead)
    }
}

fn opens_list(word: &str, next: &str) -> bool {
    let preposition = is_preposition(next) || next == "of";
    !preposition
        && (matches!(
            word,
            "are" | "include" | "includes" | "contain" | "contains" | "called" | "need" | "needs" | "be"
        ) || word == "as"
            || is_modal(word)
            || is_only_verb(word) && !matches!(word, "been" | "do" | "does" | "did" | "is" | "was" | "were"))
}

/// Words that a list follows by a preposition: `consists of`, `made from`, `depends on`.
fn takes_preposition(word: &str) -> bool {
    matches!(
        word,
        "consist"
            | "consists"
            | "composed"
            | "made"
            | "up"
            | "built"
            | "formed"
            | "depend"
            | "depends"
            | "divided"
            | "split"
    )
}

fn is_preposition(word: &str) -> bool {
    matches!(word, "of" | "from" | "with" | "by" | "for" | "into" | "between" | "through" | "like" | "on" | "in")
}

/// How many words a member has before its first preposition: `income from visitors` is one thing.
fn named(member: &str) -> usize {
    bare_words(member).iter().take_while(|word| !is_preposition(word)).count()
}

fn is_article_first(text: &str) -> bool {
    matches!(bare_words(text).first().map(String::as_str), Some("a" | "an" | "the"))
}

/// Whether the first member has an article where the others have one, and a preposition only where they have.
fn begins_alike(first: &str, others: &[&str]) -> bool {
    let article = |text: &&str| is_article_first(text);
    let joined = |text: &&str| bare_words(text).iter().any(|word| is_preposition(word));
    others.iter().all(article) == article(&first) && (!joined(&first) || others.iter().any(joined))
}

#[cfg(test)]
mod tests {
    use super::super::support::{ask, ask_nothing};
    use super::*;

    #[test]
    fn lists_are_asked_for() {
        ask(
            Form::List,
            &[
                (
                    "The benefits include soil, heat and income from visitors.",
                    "What do the benefits include?",
                    &["soil", "heat", "income from visitors"],
                ),
                (
                    "The main signs are small earthquakes, swelling ground and more gas.",
                    "What are the main signs?",
                    &["small earthquakes", "swelling ground", "more gas"],
                ),
                ("Deserts are hot, dry and empty.", "What are deserts like?", &["hot", "dry", "empty"]),
                (
                    "Granite is made of quartz, feldspar, and mica.",
                    "What is granite made of?",
                    &["quartz", "feldspar", "mica"],
                ),
                (
                    "The gut consists of the mouth, the stomach and the bowel.",
                    "What does the gut consist of?",
                    &["the mouth", "the stomach", "the bowel"],
                ),
                (
                    "Plants need light, water and carbon dioxide.",
                    "What do plants need?",
                    &["light", "water", "carbon dioxide"],
                ),
                (
                    "Ash can collapse roofs, smother crops and stop aircraft flying.",
                    "What can ash do?",
                    &["collapse roofs", "smother crops", "stop aircraft flying"],
                ),
                (
                    "We burn fuels such as coal, oil and gas.",
                    "Which examples go into the gap: “We burn fuels such as …”?",
                    &["coal", "oil", "gas"],
                ),
                (
                    "The rock has three minerals: quartz, feldspar and mica.",
                    "Which words go into the gap: “The rock has three minerals: …”?",
                    &["quartz", "feldspar", "mica"],
                ),
                (
                    "Each packet has a header, a body and a trailer.",
                    "Which words go into the gap: “Each packet has …”?",
                    &["a header", "a body", "a trailer"],
                ),
                (
                    "The processes are **wear**, **attrition** and **solution**.",
                    "What are the processes?",
                    &["wear", "attrition", "solution"],
                ),
                (
                    "The **benefits** of hills include soil, heat and income.",
                    "What do the benefits of hills include?",
                    &["soil", "heat", "income"],
                ),
            ],
        );
    }

    #[test]
    fn a_list_whose_ends_are_not_plain_is_left_alone() {
        ask_nothing(&[
            "Walls, bridges and roads all fell.",
            "Animals such as cows, sheep and goats eat grass.",
            "Roots help too, by growing into cracks and prising them apart.",
            "Some people blamed air, others blamed strangers, and a few blamed planets.",
            "In the north, rivers rise and fall.",
            "Bread and butter, however.",
        ]);
    }
}
