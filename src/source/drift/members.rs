//! Members that a list has now.

use super::{Difference, FactKind, Focus, View};
use crate::source::reading::Token;

impl View<'_> {
    /// A member that the notes' list has now and the answer's has not.
    pub(super) fn added_members(&self, focus: &Focus, out: &mut Vec<Difference>) {
        let members = |point: &Vec<Token>| self.place_of(point);
        let places: Vec<(usize, usize)> = focus.points.iter().filter_map(members).collect();
        if places.len() < 2 {
            return;
        }
        let clauses = || places.iter().map(|place| self.passage.tokens[place.1].clause);
        let (Some(first), Some(last)) = (clauses().min(), clauses().max()) else { return };
        for clause in first..=last + 1 {
            let Some(begin) = self.passage.tokens.iter().position(|token| token.clause == clause) else { continue };
            let end = begin + self.passage.tokens[begin..].iter().take_while(|token| token.clause == clause).count();
            let new = (begin..end).all(|at| self.free(at)) && end - begin <= 3;
            if new && self.stands_in_list(begin, end) {
                let last = places.iter().map(|place| place.0).max().unwrap_or(0);
                let mut difference = self.difference(FactKind::Member, last, Some(begin));
                let whole = self.passage.tokens[begin].span.start..self.passage.tokens[end - 1].span.end;
                difference.notes = Some(self.passage.text[whole.clone()].to_string());
                difference.notes_at = Some(whole);
                (difference.card, difference.answers) = (String::new(), true);
                out.push(difference);
            }
        }
    }

    /// Whether the tokens are joined to what is before by a comma or `and` alone, and end likewise.
    fn stands_in_list(&self, begin: usize, end: usize) -> bool {
        let Some(before) = begin.checked_sub(1) else { return false };
        let tokens = self.passage.tokens;
        let gap = &self.passage.text[tokens[before].span.end..tokens[begin].span.start];
        let joint: Vec<&str> =
            gap.split_whitespace().filter(|word| !matches!(*word, "a" | "an" | "the" | "The")).collect();
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
        same_sentence
            && plain
            && closes
            && !joint.is_empty()
            && joint.iter().all(|word| matches!(*word, "," | "and" | "or" | "&" | ";"))
    }
}
