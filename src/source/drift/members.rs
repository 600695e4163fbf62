//! Members that a list has now.

use super::{Difference, FactKind, Focus, Touch, View};
use crate::source::reading::Token;
use crate::text::{classes, words};
use std::ops::Range;

/// `and so does Coria`: so many words that open a clause may stand before what is added at the end.
const AFTERTHOUGHT: usize = 2;
/// A member of a list has no more words than this.
const LONGEST: usize = 3;

impl View<'_> {
    /// A member that the notes' list has now and the answer's has not.
    pub(super) fn added_members(&self, focus: &Focus, out: &mut Vec<Difference>) {
        let members = members_of(&focus.points);
        let mut places: Vec<(usize, usize)> = members.iter().filter_map(|point| self.place_of(point)).collect();
        if places.len() < 2 || places.len() < members.len() {
            return;
        }
        places.sort_unstable_by_key(|place| place.1);
        let clauses = || places.iter().map(|place| self.passage.tokens[place.1].clause);
        let (Some(first), Some(last)) = (clauses().min(), clauses().max()) else { return };
        for clause in first..=last + 1 + AFTERTHOUGHT {
            let Some(begin) = self.passage.tokens.iter().position(|token| token.clause == clause) else { continue };
            let end = begin + self.passage.tokens[begin..].iter().take_while(|token| token.clause == clause).count();
            let new = (begin..end).all(|at| self.free(at)) && end - begin <= LONGEST;
            if new && self.stands_in_list(begin, end) && (clause <= last + 1 || self.is_afterthought(begin)) {
                out.push(self.added(&places, begin..end, true));
            }
        }
        let (top, tail) = (places[0], places[places.len() - 1]);
        if let Some(new) = self.member_before(&places, top) {
            // `Coria, Tavania and Lume`; but a common word may stand there as no member: `Today, wind and rain …`
            let certain = new.clone().any(|at| self.is_alike(at, top.0, true));
            out.push(self.added(&places, new, certain));
        }
        if let Some(new) = self.member_after(&places, tail) {
            out.push(self.added(&places, new, true));
        }
    }

    fn added(&self, places: &[(usize, usize)], new: Range<usize>, certain: bool) -> Difference {
        let last = places.iter().map(|place| place.0).max().unwrap_or(0);
        let tokens = self.passage.tokens;
        let whole = tokens[new.start].span.start..tokens[new.end - 1].span.end;
        Difference {
            card: String::new(),
            notes: Some(self.passage.text[whole.clone()].to_string()),
            notes_at: Some(whole),
            answers: true,
            certain,
            ..self.difference(FactKind::Member, last, Some(new.start))
        }
    }

    /// What stands before the list's first member now, and joined to it: `Coria, Tavania and Lume border Orrland`.
    fn member_before(&self, places: &[(usize, usize)], (mine, top): (usize, usize)) -> Option<Range<usize>> {
        let tokens = self.passage.tokens;
        let begin = tokens.iter().position(|token| token.clause == tokens[top].clause)?;
        let lead = (begin..top).all(|at| self.pairing.from[at].is_some_and(|at| self.touch[at] == Touch::Answers));
        let ends = begin.checked_sub(1).filter(|ends| tokens[*ends].sentence == tokens[begin].sentence)?;
        let gap = &self.passage.text[tokens[ends].span.end..tokens[begin].span.start];
        if !lead || !is_joint(gap) {
            return None;
        }
        let in_clause = |at: &usize| tokens[*at].clause == tokens[ends].clause && self.free(*at);
        let start = (0..begin).rev().take_while(in_clause).last()?;
        let word = word_before(self.passage.text, tokens[start].span.start);
        let first = places.iter().map(|place| place.0).min()?;
        let led = word_before(self.quote.text, self.quote.tokens[first].span.start);
        let opens = word.is_empty() || matches!(word.as_str(), "by" | "is" | "are" | "was" | "were") || word == led;
        (opens && begin - start <= LONGEST && (start..begin).all(|at| self.is_alike(at, mine, false)))
            .then_some(start..begin)
    }

    /// What is joined to the list's last member now, and has after it what stood before the list:
    /// `Tavania, Lume and Coria border Orrland`.
    fn member_after(&self, places: &[(usize, usize)], (mine, last): (usize, usize)) -> Option<Range<usize>> {
        let tokens = self.passage.tokens;
        let begin = (last..tokens.len()).find(|at| tokens[*at].clause != tokens[last].clause)?;
        let gap = &self.passage.text[tokens[begin - 1].span.end..tokens[begin].span.start];
        let end = (begin..tokens.len()).find(|at| !self.free(*at))?;
        let one_clause =
            tokens[begin - 1].sentence == tokens[end].sentence && tokens[begin].clause == tokens[end].clause;
        let first = places.iter().map(|place| place.0).min()?;
        let turned = self.pairing.from[end].is_some_and(|at| at < first && self.touch[at] != Touch::Answers);
        let verb = classes(&self.passage.text[tokens[end].span.clone()]).is_some_and(|used| used.verb);
        let new = begin..end;
        (one_clause && turned && verb && is_joint(gap) && !new.is_empty() && new.len() <= LONGEST)
            .then_some(new)
            .filter(|new| new.clone().all(|at| self.is_alike(at, mine, false)))
    }

    /// Whether a new word can stand beside a member of the list: a name beside names, a number beside numbers, a
    /// noun beside other words. `surely` leaves only the first two.
    fn is_alike(&self, at: usize, member: usize, surely: bool) -> bool {
        let (token, member) = (&self.passage.tokens[at], &self.quote.tokens[member]);
        let word = &self.passage.text[token.span.clone()];
        if member.value().is_some() || token.value().is_some() {
            return member.value().is_some() && token.value().is_some() && token.same_kind(member);
        }
        if member.is_name() {
            return word.starts_with(char::is_uppercase);
        }
        let when = matches!(word.to_lowercase().as_str(), "today" | "nowadays" | "yesterday" | "tomorrow");
        !surely && !when && !word.ends_with("ly") && classes(word).is_none_or(|used| used.noun || used.describes)
    }

    /// Whether `so does` leads to a token.
    fn is_afterthought(&self, at: usize) -> bool {
        let before = at.checked_sub(1).map_or(0, |before| self.passage.tokens[before].span.end);
        words(&self.passage.text[before..self.passage.tokens[at].span.start]).any(|word| word == "so")
    }

    /// Whether the tokens are joined to what is before by a comma or `and` alone, and end likewise.
    fn stands_in_list(&self, begin: usize, end: usize) -> bool {
        let Some(before) = begin.checked_sub(1) else { return false };
        let tokens = self.passage.tokens;
        let gap = &self.passage.text[tokens[before].span.end..tokens[begin].span.start];
        let inside = &self.passage.text[tokens[begin].span.start..tokens[end - 1].span.end];
        let after =
            tokens.get(end).map_or("", |next| &self.passage.text[tokens[end - 1].span.end..next.span.start]).trim();
        let same_sentence = tokens[before].sentence == tokens[begin].sentence;
        let plain =
            inside.split_whitespace().all(|word| matches!(word, "of" | "the") || !crate::text::is_stop_word(word));
        let closes = after.is_empty()
            || after.starts_with([',', ';', '.'])
            || after.starts_with("and")
            || after.starts_with("or");
        same_sentence && plain && closes && is_joint(gap)
    }
}

/// The members of the list that a card answers with: its points, or what a comma or `and` parts in the only one.
fn members_of(points: &[Vec<Token>]) -> Vec<Vec<Token>> {
    let [one] = points else { return points.to_vec() };
    let members: Vec<Vec<Token>> =
        one.chunk_by(|first, second| first.clause == second.clause).map(<[Token]>::to_vec).collect();
    // A longer answer says more than a list does.
    if members.iter().all(|member| member.len() <= 2) { members } else { points.to_vec() }
}

/// Whether nothing but a comma or `and`, and an article, stands between two members; or `and so does`.
fn is_joint(gap: &str) -> bool {
    let article = |word: &&str| matches!(*word, "a" | "an" | "the" | "The");
    let joint: Vec<&str> =
        gap.split_whitespace().map(|word| word.trim_start_matches(',')).filter(|word| !article(word)).collect();
    match joint.as_slice() {
        [.., "so", "is" | "are" | "was" | "were" | "does" | "do" | "did" | "has" | "have" | "can"] => true,
        [] => false,
        all => all.iter().all(|word| matches!(*word, "" | "and" | "or" | "&" | ";")),
    }
}

/// The word before a place in its sentence, articles aside, in lower case; none at its beginning or after a colon.
fn word_before(text: &str, at: usize) -> String {
    let before = text[..at].trim_end();
    let clause = before.rfind(['.', ':', '!', '?', ';']).map_or(before, |stop| &before[stop + 1..]);
    let mut all: Vec<&str> = words(clause).collect();
    while all.last().is_some_and(|word| matches!(word.to_lowercase().as_str(), "a" | "an" | "the")) {
        all.pop();
    }
    all.last().map_or(String::new(), |word| word.to_lowercase())
}
