//! Questions from statements of cause, purpose and effect.

use super::forms::{Form, Proposed, Sentence};
use super::grammar::{
    bare, bare_words, body, commands, count, is_adverb, is_auxiliary, is_be, is_clause, is_modal, is_only_verb,
    is_subject, leans, may_be_verb, parted, range_in, refers, refers_back, subordinates, without_opener,
};
use crate::source::keys::{points, spans};

/// Whether a sentence gives a cause, a purpose or an effect, as far as its words tell.
pub(super) fn gives_cause(text: &str) -> bool {
    let lower = text.to_lowercase();
    let said = lower.trim_end_matches(['.', '!']);
    let signs = [
        " because ",
        " so that ",
        " due to ",
        " owing to ",
        " as a result",
        " caused by ",
        " therefore ",
        " thus ",
        " hence ",
        " consequently ",
    ];
    let openers = ["because ", "since ", "due to ", "owing to ", "as a result", "that is why ", "this is why "];
    signs.iter().any(|sign| said.contains(sign))
        || openers.iter().any(|opener| said.starts_with(opener)) && !said.starts_with("since then")
        || CONNECTIVES.iter().any(|opener| without_opener(said, opener).is_some_and(|rest| follows(opener, rest)))
        || so_joint(body(text)).is_some()
        || effect_verb(text).is_some()
}

/// The questions about causes, the most telling first.
pub(super) fn causes(sentence: &Sentence<'_>) -> Option<Proposed> {
    let because = sentence.body().contains(" because ");
    if because {
        return why(sentence);
    }
    let ways = [because_first, purpose, so, owing, caused_by, has_effect, from_before];
    ways.into_iter().find_map(|way| way(sentence)).filter(|proposed| asks_for_strong(sentence, proposed))
}

/// Strong text is what the notes want to be known: a question that does not ask for it is no better than a gap.
fn asks_for_strong(sentence: &Sentence<'_>, proposed: &Proposed) -> bool {
    let answer = proposed.answer.join(" ");
    sentence.strong.iter().all(|strong| answer.contains(&sentence.text[strong.clone()]))
}

/// `… because …` → `Why is this so: “…”?`
fn why(sentence: &Sentence<'_>) -> Option<Proposed> {
    let (effect, cause) = parted(sentence.body(), " because ")?;
    let mut effect = effect;
    while let Some((rest, last)) = effect.rsplit_once(' ')
        && matches!(last, "mainly" | "mostly" | "partly" | "largely" | "chiefly" | "simply" | "only" | "just")
    {
        effect = rest;
    }
    // `…, so …` behind the cause is the next step.
    let cause = so_joint(cause).map_or(cause, |(cause, _)| cause);
    let cause = cause.strip_prefix("of ").unwrap_or(cause);
    if effect.ends_with(" not") || leans(cause) && count(cause) == 1 {
        return None;
    }
    if says_nothing(effect) {
        let before = sentence.before_itself()?;
        return Some(of_before(asked_why(sentence, before), cause));
    }
    let asked = sentence.in_place(&asked_why(sentence, effect));
    Some(Proposed::plain(Form::Cause, asked, cause))
}

/// `This is because …`: what is explained stands in the sentence before.
fn says_nothing(effect: &str) -> bool {
    let words = bare_words(effect);
    let verb = words.get(1).map(String::as_str).unwrap_or_default();
    leans(effect) && words.len() <= 3 && (is_be(verb) || matches!(verb, "happens" | "happened" | "occurs"))
}

/// `Why …?` of a statement.
fn asked_why(sentence: &Sentence<'_>, effect: &str) -> String {
    if commands(effect) {
        return format!("Why should you do this: “{effect}”?");
    }
    inverted(sentence, effect).unwrap_or_else(|| format!("Why is this so: “{effect}”?"))
}

/// `Rivers are deep` → `Why are rivers deep?`, where the subject is plain to see.
fn inverted(sentence: &Sentence<'_>, effect: &str) -> Option<String> {
    let words = spans(effect);
    let word = |at: usize| &effect[words[at].clone()];
    let helps = |at: usize| {
        let negated = words.get(at + 1).is_some_and(|next| &effect[next.clone()] == "not");
        is_be(word(at)) || is_modal(word(at)) || matches!(word(at), "do" | "does" | "did") && negated
    };
    let at = (1..words.len().min(8)).find(|&at| helps(at))?;
    let subject = &effect[..words[at - 1].end];
    let clear = (0..at).all(|at| !points(&bare(word(at)))) && is_subject(subject);
    let rest = words.get(at + 1)?.start;
    // A second clause behind the first would be asked about as well.
    let single = !effect.contains([',', ';', ':']);
    (clear && single).then(|| format!("Why {} {} {}?", word(at), sentence.lowered(subject), &effect[rest..]))
}

/// `Because A, B.` → `Why …?` of B; where B leans on A, what follows from A.
fn because_first(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let openers = ["Because of", "Because", "As a result of", "Owing to", "Due to", "Since"];
    let (opener, rest) = openers.iter().find_map(|opener| Some((*opener, without_opener(text, opener)?)))?;
    let (cause, effect) = parted(rest, ", ")?;
    let dated = cause.contains(|c: char| c.is_ascii_digit())
        || bare_words(effect).iter().take(6).any(|word| matches!(word.as_str(), "has" | "have" | "had" | "been"));
    if leans(cause) || refers_back(cause) || opener == "Since" && (dated || !is_clause(cause)) || !is_clause(effect) {
        return None;
    }
    if leans(effect) || refers(effect) {
        return is_clause(cause).then(|| follows_from(cause, effect));
    }
    Some(Proposed::plain(Form::Cause, asked_why(sentence, effect), cause))
}

fn follows_from(cause: &str, effect: &str) -> Proposed {
    Proposed::plain(Form::Cause, format!("What follows from this: “{cause}”?"), effect)
}

/// `… so that …` → `Why is this so: “…”?`, with the purpose.
fn purpose(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let (said, purpose) = parted(text, " so that ")?;
    let purpose = range_in(text, purpose);
    let whole = &text[purpose.start - "so that ".len()..purpose.end];
    if count(said) < 3 {
        return None;
    }
    Some(Proposed::plain(Form::Cause, sentence.in_place(&asked_why(sentence, said)), whole))
}

/// `A, so B.` → `Why …?` of B; where B leans on A, what follows from A.
fn so(sentence: &Sentence<'_>) -> Option<Proposed> {
    let (cause, effect) = so_joint(sentence.body())?;
    if sentence.points_back() || leans(cause) || refers_back(cause) {
        return None;
    }
    if leans(effect) || refers(effect) || commands(effect) {
        return Some(follows_from(cause, effect));
    }
    Some(Proposed::plain(Form::Cause, asked_why(sentence, effect), cause))
}

/// The two clauses of `A, so B`.
fn so_joint(body: &str) -> Option<(&str, &str)> {
    let joints = [
        ", and so ",
        ", so ",
        "; so ",
        ", and therefore ",
        ", therefore ",
        ", and thus ",
        ", and hence ",
        ", and this is why ",
        ", which is why ",
        ", and for this reason ",
    ];
    let loose = || parted(body, " and so ").filter(|(_, effect)| is_determined(effect));
    let (cause, effect) = joints.iter().find_map(|joint| parted(body, joint)).or_else(loose)?;
    let first = bare_words(effect).into_iter().next().unwrap_or_default();
    let phrase = matches!(first.as_str(), "on" | "forth" | "far" | "long" | "much" | "many" | "called" | "that" | "as");
    // `Rain falls, so does snow.`
    (!phrase && !is_auxiliary(&first) && is_clause(effect) && is_clause(cause)).then_some((cause, effect))
}

/// Whether a clause begins with an article or a pronoun, so that it has a subject of its own.
fn is_determined(clause: &str) -> bool {
    let first = bare_words(clause).into_iter().next().unwrap_or_default();
    leans(clause) || matches!(first.as_str(), "the" | "a" | "an" | "we" | "you" | "there" | "most" | "many" | "some")
}

/// `… due to …`, `… as a result of …`
fn owing(sentence: &Sentence<'_>) -> Option<Proposed> {
    let joints = [" due to ", " owing to ", " as a result of ", " on account of "];
    let (joint, (effect, cause)) = joints.iter().find_map(|at| Some((*at, parted(sentence.body(), at)?)))?;
    let first = bare_words(cause).into_iter().next().unwrap_or_default();
    // `The train is due to leave.`
    if is_only_verb(&first) || ["arrive", "start", "end", "open", "close", "return"].contains(&first.as_str()) {
        return None;
    }
    let (subject, last) = effect.rsplit_once(' ')?;
    if is_be(last) {
        let asked = format!("What {last} {} due to?", sentence.lowered(subject));
        return (joint == " due to " && is_subject(subject)).then(|| Proposed::plain(Form::Cause, asked, cause));
    }
    let asked = sentence.in_place(&asked_why(sentence, effect));
    (is_clause(effect) && !cause.contains(',')).then(|| Proposed::plain(Form::Cause, asked, cause))
}

/// `X is caused by Y.` → `What is X caused by?`
fn caused_by(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let (before, cause) = parted(text, " caused by ")?;
    let words = spans(before);
    let word = |at: usize| &before[words[at].clone()];
    let mut verb = words.len().checked_sub(1)?;
    while verb > 0 && (is_adverb(word(verb)) || matches!(word(verb), "be" | "been")) {
        verb -= 1;
    }
    let helps = is_be(word(verb)) || is_modal(word(verb)) || matches!(word(verb), "has" | "have");
    let subject = &before[..words.get(verb.checked_sub(1)?)?.end];
    if !helps || !is_subject(subject) {
        return None;
    }
    let between = &before[words[verb].end..];
    let asked = format!("What {} {}{between} caused by?", word(verb), sentence.lowered(subject));
    Some(Proposed::plain(Form::Cause, asked, cause))
}

/// A verb of effect with what it is asked with: `leads to` → `does`, `lead to`.
struct EffectVerb<'t> {
    subject: &'t str,
    helper: String,
    asked: &'static str,
    effect: &'t str,
}

const EFFECT_VERBS: [(&str, &str, &str); 14] = [
    ("causes", "does", "cause"),
    ("leads to", "does", "lead to"),
    ("results in", "does", "result in"),
    ("gives rise to", "does", "give rise to"),
    ("brings about", "does", "bring about"),
    ("cause", "do", "cause"),
    ("lead to", "do", "lead to"),
    ("result in", "do", "result in"),
    ("give rise to", "do", "give rise to"),
    ("bring about", "do", "bring about"),
    ("caused", "did", "cause"),
    ("led to", "did", "lead to"),
    ("resulted in", "did", "result in"),
    ("gave rise to", "did", "give rise to"),
];

fn effect_verb(text: &str) -> Option<EffectVerb<'_>> {
    let body = body(text);
    EFFECT_VERBS.iter().find_map(|(verb, does, asked)| {
        let (mut subject, effect) = parted(body, &format!(" {verb} "))?;
        let mut helper = (*does).to_owned();
        if let Some((rest, last)) = subject.rsplit_once(' ')
            && is_modal(last)
            && *does == "do"
        {
            (subject, helper) = (rest, last.to_owned());
        }
        let last = bare_words(subject).pop().unwrap_or_default();
        // `the cause of`, `damage caused in 1953`
        let noun = matches!(last.as_str(), "the" | "a" | "an" | "this" | "one" | "main" | "no" | "another" | "root");
        let first = bare_words(effect).into_iter().next().unwrap_or_default();
        let hangs = !verb.contains(' ') && (subordinates(&first) || matches!(first.as_str(), "of" | "by" | "and"));
        let plain = !noun && !hangs && !subject.contains([',', ';', ':']);
        plain.then_some(EffectVerb { subject, helper, asked, effect })
    })
}

/// `X leads to Y.` → `What does X lead to?`
fn has_effect(sentence: &Sentence<'_>) -> Option<Proposed> {
    let EffectVerb { subject, helper, asked, effect } = effect_verb(sentence.text)?;
    let (subject, often) = match subject.rsplit_once(' ') {
        Some((rest, last)) if is_adverb(last) => (rest, format!("{last} ")),
        _ => (subject, String::new()),
    };
    let plain = is_subject(subject) && !effect.contains([';', ':']) && !effect.contains(", which ");
    let asked = format!("What {helper} {} {often}{asked}?", sentence.lowered(subject));
    plain.then(|| super::lists::points_of(Form::Cause, asked, effect))
}

/// Words that lead from the sentence before to what follows from it.
const CONNECTIVES: [&str; 9] = [
    "As a result",
    "Therefore",
    "Thus",
    "Hence",
    "Consequently",
    "For this reason",
    "Because of this",
    "This is why",
    "So",
];

/// Whether a clause follows a connective.
fn follows(opener: &str, rest: &str) -> bool {
    let first = bare_words(rest).into_iter().next().unwrap_or_default();
    let phrase = matches!(first.as_str(), "far" | "long" | "much" | "many" | "that" | "of" | "too");
    !phrase && (opener != "So" || is_clause(rest) && !is_auxiliary(&first) && !may_be_adjective(&first))
}

/// `So strong is the wind that …`
fn may_be_adjective(word: &str) -> bool {
    super::grammar::describes(word) && !may_be_verb(word)
}

/// `A. Therefore B.` → `Why …?` of B, with the sentence before.
fn from_before(sentence: &Sentence<'_>) -> Option<Proposed> {
    let text = sentence.body();
    let found = CONNECTIVES.iter().find_map(|opener| Some((*opener, without_opener(text, opener)?)));
    let (_, effect) = found.filter(|(opener, rest)| follows(opener, rest))?;
    let cause = sentence.before_itself()?;
    if !is_clause(effect) || commands(cause) || count(cause) < 3 {
        return None;
    }
    if leans(effect) || refers(effect) || commands(effect) {
        return Some(Proposed { with_before: true, ..follows_from(cause, effect) });
    }
    Some(of_before(asked_why(sentence, effect), cause))
}

fn of_before(asked: String, answer: &str) -> Proposed {
    Proposed { with_before: true, ..Proposed::plain(Form::Cause, asked, answer) }
}

#[cfg(test)]
mod tests {
    use super::super::support::{ask, ask_nothing, proposed};
    use super::*;

    #[test]
    fn causes_are_asked_for() {
        ask(
            Form::Cause,
            &[
                ("Rivers rise mainly because it rains.", "Why is this so: “Rivers rise”?", &["it rains"]),
                (
                    "Colour misleads, because it varies, so we test.",
                    "Why is this so: “Colour misleads”?",
                    &["it varies"],
                ),
                ("Because the air is cold, snow falls.", "Why is this so: “snow falls”?", &["the air is cold"]),
                ("Because the air is cold, it sinks.", "What follows from this: “the air is cold”?", &["it sinks"]),
                ("Because of the cold, the sea was frozen.", "Why was the sea frozen?", &["the cold"]),
                ("Since glass is clear, light can pass.", "Why can light pass?", &["glass is clear"]),
                ("Air is warm, so the ice melts.", "Why is this so: “the ice melts”?", &["Air is warm"]),
                ("Slate splits, so builders use it.", "What follows from this: “Slate splits”?", &["builders use it"]),
                (
                    "Waves bend as they meet land, so they hit it.",
                    "What follows from this: “Waves bend as they meet land”?",
                    &["they hit it"],
                ),
                ("The dough is wet, and this is why bread is soft.", "Why is bread soft?", &["The dough is wet"]),
                (
                    "Doors face north so that rooms stay cool.",
                    "Why is this so: “Doors face north”?",
                    &["so that rooms stay cool"],
                ),
                (
                    "Wash your hands because germs spread.",
                    "Why should you do this: “Wash your hands”?",
                    &["germs spread"],
                ),
                ("The flood was due to heavy rain.", "What was the flood due to?", &["heavy rain"]),
                ("Lords lost income due to the plague.", "Why is this so: “Lords lost income”?", &["the plague"]),
                ("As a result of the plague, wages rose.", "Why is this so: “wages rose”?", &["the plague"]),
            ],
        );
    }

    #[test]
    fn effects_are_asked_for() {
        ask(
            Form::Cause,
            &[
                ("Gales are mainly caused by low pressure.", "What are gales mainly caused by?", &["low pressure"]),
                ("Rain can be caused by hills.", "What can rain be caused by?", &["hills"]),
                ("Heavy rain often leads to floods.", "What does heavy rain often lead to?", &["floods"]),
                ("Storms cause damage.", "What do storms cause?", &["damage"]),
                (
                    "A storm may lead to floods, landslides and fires.",
                    "What may a storm lead to?",
                    &["floods", "landslides", "fires"],
                ),
                ("The law resulted in anger.", "What did the law result in?", &["anger"]),
            ],
        );
    }

    #[test]
    fn the_sentence_before_may_be_the_cause_or_the_effect() {
        let table: [(&str, &str, &[&str]); 3] = [
            ("Soil blew away. As a result, farms were left.", "Why were farms left?", &["Soil blew away"]),
            (
                "The king feared unrest. Therefore he made a law.",
                "What follows from this: “The king feared unrest”?",
                &["he made a law"],
            ),
            ("Towns grew. This is because people came.", "Why is this so: “Towns grew”?", &["people came"]),
        ];
        ask(Form::Cause, &table);
        for (sentences, ..) in table {
            assert!(proposed(sentences).is_some_and(|found| found.with_before), "{sentences}");
        }
    }

    #[test]
    fn what_only_looks_like_a_cause_is_left_alone() {
        ask_nothing(&[
            "The ferry is due to leave.",
            "It stays flat, so the lines tell you nothing.",
            "Nobody saw it, so the town slept.",
            "The cause of floods is unknown.",
            "Rain falls, so does snow.",
            "People fish, farm and so on.",
            "A weak storm can therefore do harm.",
            "Why are rivers deep, because of rain?",
            "Since then, towns have grown.",
            "This is because people came.",
            "Towns grew because of this.",
        ]);
    }

    #[test]
    fn strong_text_is_asked_for_before_a_cause() {
        ask(
            Form::Term,
            &[(
                "It is **cold**, so pipes freeze.",
                "Wind: which word is missing: “It is …, so pipes freeze”?",
                &["cold"],
            )],
        );
    }
}
