//! The state of a card against the notes: what became of its quotes, and whether they hold its answers.
mod answer;
#[cfg(test)]
mod examples;
mod focus;
#[cfg(test)]
mod laws;
mod taken_back;

use self::answer::{judge_answer, leave_out_followed};
use self::focus::focus;
use self::taken_back::taken_back;
use super::all_notes::AllNotes;
use super::drift::{Difference, FactKind, Read, spots, weigh};
use super::locate::{Close, KEPT, Place, REWORDED, Wanted, find_close, find_elsewhere, find_exactly};
use super::reading::{Token, read};
use super::supports::Evidence;
use crate::notes::Section;
use crate::text::plain;
use std::ops::Range;

/// A card as far as its source is concerned.
#[derive(Clone, Debug, Default)]
pub struct Cited<'c> {
    /// The file of the notes, as its path in the department.
    pub file: Option<&'c str>,
    /// The anchor of the section.
    pub anchor: Option<&'c str>,
    /// The passages that the card was made from.
    pub quotes: Vec<&'c str>,
    /// The card's questions in order.
    pub asked: Vec<Asked<'c>>,
}

/// One question of a card with its answer.
#[derive(Clone, Debug, Default)]
pub struct Asked<'c> {
    /// The question.
    pub question: &'c str,
    /// The points of the answer; a plain answer is one point.
    pub points: Vec<&'c str>,
    /// Whether the order of the points counts.
    pub ordered: bool,
    /// Other wordings that count as right.
    pub accept: Vec<&'c str>,
    /// Passages of this question's own.
    pub quotes: Vec<&'c str>,
}

/// What was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// The quote stands in the cited section and supports the answer.
    Supported,
    /// It stands, in another section or file.
    Moved,
    /// A close passage supports the answer as well as the quote did.
    Reworded,
    /// A close passage says it in ordinary words that may mean the same or not.
    Doubtful,
    /// A close passage no longer supports it.
    Contradicted,
    /// No passage comes close.
    Lost,
    /// The quote does not say what the answer says.
    Unsupported,
    /// The card has no source or no quote.
    Uncited,
}

impl State {
    /// The word that people read.
    pub fn word(self) -> &'static str {
        match self {
            State::Supported => "supported",
            State::Moved => "moved",
            State::Reworded => "reworded",
            State::Doubtful => "doubtful",
            State::Contradicted => "contradicted",
            State::Lost => "lost",
            State::Unsupported => "unsupported",
            State::Uncited => "uncited",
        }
    }

    /// How bad it is, beside the other states.
    pub fn gravity(self) -> u8 {
        match self {
            State::Supported => 0,
            State::Uncited => 1,
            State::Moved => 2,
            State::Reworded => 3,
            State::Doubtful => 4,
            State::Unsupported => 5,
            State::Lost => 6,
            State::Contradicted => 7,
        }
    }
}

/// The state of one quote, or of one answer against its quotes.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// What was found.
    pub state: State,
    /// Which question it is about; `None` for a quote of the whole card.
    pub question: Option<usize>,
    /// Which of the card's, or of the question's own, quotes.
    pub quote: Option<usize>,
    /// The passage that was found, to show and to cite.
    pub place: Option<Place>,
    /// For a contradiction or a doubt: what the notes say otherwise; what is certain first, then what touches
    /// an answer.
    pub differences: Vec<Difference>,
    /// For an unsupported answer: what the quote has of it and what not.
    pub evidence: Option<Evidence>,
}

impl Judgement {
    fn new(state: State) -> Judgement {
        Judgement { state, question: None, quote: None, place: None, differences: Vec::new(), evidence: None }
    }

    /// Whether it is an error and not only worth a look.
    pub fn is_error(&self) -> bool {
        match self.state {
            State::Contradicted | State::Lost => true,
            State::Unsupported => self.evidence.as_ref().is_some_and(Evidence::is_grave),
            State::Supported | State::Moved | State::Reworded | State::Doubtful | State::Uncited => false,
        }
    }
}

/// Judges one card against the notes: one judgement for each quote, and one for each answer that its
/// quotes do not support. Cards are judged independently of each other, in any order.
pub fn judge(card: &Cited<'_>, all_notes: &AllNotes) -> Vec<Judgement> {
    let any = !card.quotes.is_empty() || card.asked.iter().any(|asked| !asked.quotes.is_empty());
    if !any {
        return vec![Judgement::new(State::Uncited)];
    }
    let section = card.file.and_then(|file| {
        let section = all_notes.notes(file)?.section(card.anchor.unwrap_or(""))?;
        Some((file, section))
    });
    let mut out = Vec::new();
    for (number, quote) in card.quotes.iter().enumerate() {
        let found = judge_quote(card, section, all_notes, quote, None);
        out.push(Judgement { quote: Some(number), ..found });
    }
    for (question, asked) in card.asked.iter().enumerate() {
        for (number, quote) in asked.quotes.iter().enumerate() {
            let found = judge_quote(card, section, all_notes, quote, Some(question));
            out.push(Judgement { quote: Some(number), question: Some(question), ..found });
        }
    }
    let renewed = renewed(&out);
    let answers: Vec<Judgement> =
        (0..card.asked.len()).filter_map(|question| judge_answer(card, question, &renewed, all_notes)).collect();
    out.extend(answers);
    out
}

/// What the notes say now in the place of quotes that may be renewed: an answer that follows it is right,
/// though the old quote does not say it.
fn renewed(judged: &[Judgement]) -> Vec<&Place> {
    judged.iter().filter(|judged| judged.state == State::Reworded).filter_map(|judged| judged.place.as_ref()).collect()
}

fn judge_quote(
    card: &Cited<'_>,
    section: Option<(&str, &Section)>,
    all_notes: &AllNotes,
    quote: &str,
    question: Option<usize>,
) -> Judgement {
    let quote = plain(quote);
    if let Some((file, section)) = section
        && let Some(range) = find_exactly(section, &quote)
    {
        return stands(State::Supported, file, section, range);
    }
    if let Some(place) = find_elsewhere(all_notes, card.file, &quote) {
        return Judgement { place: Some(place), ..Judgement::new(State::Moved) };
    }
    let weights = all_notes.weights();
    let tokens = read(&quote, weights);
    let focus = focus(card, question, weights);
    let wanted = Wanted { text: &quote, tokens: &tokens, focus: &focus, weights };
    let Some(mut close) = find_close(all_notes, section, &wanted) else { return Judgement::new(State::Lost) };
    excuse_accepted(card, question, &wanted, &mut close);
    let near = close.comparison.closeness >= REWORDED || close.comparison.kept >= KEPT;
    if close.comparison.differences.is_empty() && !near {
        return Judgement { place: Some(close.place), ..Judgement::new(State::Lost) };
    }
    let passage = read(&close.place.text, weights);
    let (said, now) = (Read { text: &quote, tokens: &tokens }, close.place.text.clone());
    let now = Read { text: &now, tokens: &passage };
    if close.comparison.differences.is_empty() {
        close.comparison.differences = spots(said, now, &focus, weights);
        excuse_accepted(card, question, &wanted, &mut close);
    }
    let mut differences = close.comparison.differences;
    leave_out_followed(card, question, &close.place.text, &mut differences, weights);
    weigh(&mut differences, said, now, focus.points.len() > 1, weights);
    let state = match differences.first() {
        None => State::Reworded,
        Some(first) if first.certain => State::Contradicted,
        // Too far off to ask whether it says the same.
        Some(_) if !near || is_about_another(&tokens, &passage) => {
            return Judgement { place: Some(close.place), ..Judgement::new(State::Lost) };
        }
        Some(_) => State::Doubtful,
    };
    Judgement { place: Some(close.place), differences, ..Judgement::new(state) }
}

/// Whether what a passage has in common with a quote is less than a third of what it says.
fn is_about_another(quote: &[Token], passage: &[Token]) -> bool {
    let shared = passage.iter().filter(|token| quote.iter().any(|other| token.is_same(other))).count();
    3 * shared < passage.len()
}

/// The quote stands word for word; unless its sentence now takes it back.
fn stands(state: State, file: &str, section: &Section, range: Range<usize>) -> Judgement {
    let place = Place::new(file, section, range.clone());
    let Some(taken_back) = taken_back(section.as_text(), &range) else {
        return Judgement { place: Some(place), ..Judgement::new(state) };
    };
    let difference = Difference {
        kind: FactKind::Negation,
        card: place.text.clone(),
        notes: Some(taken_back),
        card_at: 0..place.text.len(),
        notes_at: None,
        answers: true,
        certain: true,
    };
    Judgement { place: Some(place), differences: vec![difference], ..Judgement::new(State::Contradicted) }
}

/// The notes may have taken up another wording that the card accepts.
fn excuse_accepted(card: &Cited<'_>, question: Option<usize>, wanted: &Wanted<'_>, close: &mut Close) {
    let excusable =
        |difference: &Difference| difference.answers && matches!(difference.kind, FactKind::Term | FactKind::Name);
    if !close.comparison.differences.iter().any(excusable) {
        return;
    }
    let passage = read(&close.place.text, wanted.weights);
    let said = |token: &Token| passage.iter().any(|other| token.is_same(other) && token.negated == other.negated);
    let new = |token: &Token| !wanted.tokens.iter().any(|other| token.is_same(other));
    let asked = card.asked.iter().enumerate().filter(|(number, _)| question.is_none_or(|question| question == *number));
    let accepted = asked.flat_map(|(_, asked)| &asked.accept).any(|accept| {
        let tokens = read(&plain(accept), wanted.weights);
        tokens.iter().any(new) && tokens.iter().all(said)
    });
    if accepted {
        close.comparison.differences.retain(|difference| !excusable(difference));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notes::Notes;

    const NOTES: &str = "# Weather\n\n## Instruments\n\nWind speed is measured with an anemometer, in knots or metres per second. Rain is caught in a gauge.\n\n## Wind force\n\nForce 8, a **gale**, begins at a mean speed of 34 knots. It lasts about 6 hours.\n";

    fn all_notes(notes: &str) -> AllNotes {
        AllNotes::new([("w.md".to_string(), Notes::read(notes))])
    }

    fn gale() -> Cited<'static> {
        Cited {
            file: Some("w.md"),
            anchor: Some("wind-force"),
            quotes: vec!["Force 8, a gale, begins at a mean speed of 34 knots."],
            asked: vec![
                Asked {
                    question: "Which number on the Beaufort scale is a gale?",
                    points: vec!["8"],
                    ..Asked::default()
                },
                Asked {
                    question: "What mean wind speed does it start at?",
                    points: vec!["34 knots"],
                    ..Asked::default()
                },
            ],
        }
    }

    fn anemometer() -> Cited<'static> {
        Cited {
            file: Some("w.md"),
            anchor: Some("instruments"),
            quotes: vec!["Wind speed is measured with an anemometer, in knots or metres per second."],
            asked: vec![Asked {
                question: "Which instrument measures wind speed?",
                points: vec!["An anemometer"],
                accept: vec!["wind gauge"],
                ..Asked::default()
            }],
        }
    }

    /// A card of one question with one quote.
    fn one<'c>(section: &'c str, quote: &'c str, question: &'c str, answer: &'c str) -> Cited<'c> {
        let asked = vec![Asked { question, points: vec![answer], ..Asked::default() }];
        Cited { file: Some("w.md"), anchor: Some(section), quotes: vec![quote], asked }
    }

    #[track_caller]
    fn state(card: &Cited<'_>, from: &str, to: &str, want: State) -> Judgement {
        assert!(NOTES.contains(from), "{from}");
        let found = judge(card, &all_notes(&NOTES.replace(from, to)));
        assert_eq!(found.iter().map(|judgement| judgement.state).collect::<Vec<_>>(), [want], "{to}: {found:?}");
        found.into_iter().next().unwrap()
    }

    #[test]
    fn what_stands_is_supported() {
        state(&gale(), "gale", "gale", State::Supported);
        state(&anemometer(), "with an\u{20}", "with\nan\u{a0}", State::Supported);
    }

    #[test]
    fn changed_facts_are_contradicted_and_shown() {
        let found = state(&gale(), "34 knots", "32 knots", State::Contradicted);
        assert_eq!(
            (found.differences[0].card.as_str(), found.differences[0].notes.as_deref()),
            ("34 knots", Some("32 knots"))
        );
        for (from, to) in [
            ("34 knots", "34 km/h"),
            ("34 knots", "more than 34 knots"),
            ("Force 8", "Force 9"),
            ("begins at", "does not begin at"),
            ("begins", "ends"),
            ("34 knots", "34 knots or more"),
        ] {
            state(&gale(), from, to, State::Contradicted);
        }
        state(&anemometer(), "an anemometer", "a barometer", State::Contradicted);
        state(&anemometer(), "is measured", "is never measured", State::Contradicted);
    }

    #[test]
    fn kept_facts_are_reworded_or_moved() {
        for (from, to) in [
            ("34 knots", "thirty-four knots"),
            ("begins at", "starts from"),
            ("Force 8, a **gale**, begins", "A gale, force 8, begins"),
            ("a mean speed of 34 knots. It lasts", "a mean speed of 34 knots and lasts"),
            ("a **gale**", "which sailors call a gale"),
        ] {
            state(&gale(), from, to, State::Reworded);
        }
        state(
            &anemometer(),
            "Wind speed is measured with an anemometer",
            "An anemometer measures wind speed",
            State::Reworded,
        );
        state(&anemometer(), "an anemometer", "a wind gauge", State::Reworded);
        let found = state(&gale(), "## Wind force", "## Force of the wind", State::Moved);
        assert_eq!(found.place.unwrap().anchor, "force-of-the-wind");
    }

    #[test]
    fn what_is_gone_is_lost() {
        state(&gale(), "Force 8, a **gale**, begins at a mean speed of 34 knots.", "", State::Lost);
        state(
            &anemometer(),
            "Wind speed is measured with an anemometer, in knots or metres per second.",
            "",
            State::Lost,
        );
    }

    #[test]
    fn unrelated_changes_do_not_matter() {
        state(&gale(), "6 hours", "9 hours", State::Supported);
        state(&anemometer(), "in knots or metres per second", "in km/h", State::Reworded);
    }

    #[test]
    fn a_quote_that_is_taken_back_is_contradicted() {
        state(&anemometer(), "Wind speed is", "It is a myth that Wind speed is", State::Contradicted);
    }

    #[test]
    fn a_sentence_about_something_near_is_not_offered_for_one_that_is_gone() {
        let card = one("bends", "A meander is a bend in a river.", "What is a meander?", "A bend in a river.");
        let bends = "# Bends\n\nThe channel swings from side to side. On the outside of the bend the fastest water cuts \
                     a steep bank called a river cliff. A lake is left behind when a river cuts through a meander.\n";
        let found = judge(&card, &all_notes(bends));
        assert_eq!(found.iter().map(|found| found.state).collect::<Vec<_>>(), [State::Lost], "{found:?}");
    }

    #[test]
    fn a_denial_that_is_softened_is_no_wording() {
        let quote = "Clay does not let water through.";
        let card = one("clay", quote, "What is special about clay?", "It does not let water through");
        let states = |sentence: &str| {
            let notes = all_notes(&format!("# Clay\n\nSoil is deep here. {sentence}\n"));
            judge(&card, &notes).iter().map(|found| found.state).collect::<Vec<_>>()
        };
        for (sentence, want) in [
            ("Clay does not let water through.", State::Supported),
            ("Clay doesn't let water through.", State::Reworded),
            ("Clay never lets water through.", State::Reworded),
            ("Clay rarely lets water through.", State::Contradicted),
            ("Clay hardly lets water through.", State::Contradicted),
            ("Clay sometimes lets water through.", State::Contradicted),
        ] {
            assert_eq!(states(sentence), [want], "{sentence}");
        }
    }

    #[test]
    fn a_date_that_is_put_together_is_reworded() {
        let (apart, whole) = (
            "In 1953 a storm surge flooded the coast on 31 January.",
            "A storm surge flooded the coast on January 31st, 1953.",
        );
        let state = |quote: &str, now: &str| {
            let asked = Asked {
                question: "When did the surge flood the coast?",
                points: vec!["31 January 1953"],
                ..Asked::default()
            };
            let card = Cited { file: Some("w.md"), anchor: Some("sea"), quotes: vec![quote], asked: vec![asked] };
            judge(&card, &all_notes(&format!("# Sea\n\n{now}\n"))).iter().map(|found| found.state).collect::<Vec<_>>()
        };
        assert_eq!(state(apart, apart), [State::Supported]);
        assert_eq!(state(apart, whole), [State::Reworded]);
        assert_eq!(state(whole, &apart.replace("1953", "1954")), [State::Contradicted]);
        assert_eq!(state(apart, &whole.replace("31st", "30th")), [State::Contradicted]);
    }

    /// Both findings would ask for the opposite of each other: copy the quote, follow the notes.
    #[test]
    fn an_answer_that_follows_the_notes_before_its_quote_leaves_a_quote_to_renew() {
        let mut card = gale();
        card.asked[1].points = vec!["32 knots"];
        state(&card, "34 knots", "32 knots", State::Reworded);
        card.asked[1].points = vec!["33 knots"];
        let found = judge(&card, &all_notes(&NOTES.replace("34 knots", "32 knots")));
        assert_eq!(found.iter().map(|found| found.state).collect::<Vec<_>>(), [State::Reworded, State::Unsupported]);
        card.asked[1].points = vec!["32 knots"];
        let notes = NOTES.replace("34 knots", "32 knots").replace("Force 8", "Force 9");
        assert_eq!(judge(&card, &all_notes(&notes))[0].state, State::Contradicted, "the other answer did not follow");
    }

    #[test]
    fn an_answer_that_the_quote_does_not_hold_is_unsupported() {
        let mut card = gale();
        card.asked[1].points = vec!["43 knots"];
        let found = judge(&card, &all_notes(NOTES));
        assert_eq!(found.len(), 2);
        assert!(found[1].is_error() && found[1].question == Some(1));
        card.quotes.clear();
        assert_eq!(judge(&card, &all_notes(NOTES))[0].state, State::Uncited);
    }
}
