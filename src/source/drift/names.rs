//! Names that are longer than they were.

use super::{Difference, FactKind, Touch, View};

impl View<'_> {
    /// `Richard II` for `Richard I`.
    fn other_number_of_name(&self, at: usize, other: usize) -> Option<Difference> {
        let (mine, theirs) = (&self.quote.tokens[at].span, &self.passage.tokens[other].span);
        let (one, two) = (regnal(self.quote.text, mine.end)?, regnal(self.passage.text, theirs.end)?);
        (one != two).then(|| {
            let (card_at, notes_at) = (mine.start..mine.end + 1 + one.len(), theirs.start..theirs.end + 1 + two.len());
            Difference {
                card: self.quote.text[card_at.clone()].to_string(),
                notes: Some(self.passage.text[notes_at.clone()].to_string()),
                card_at,
                notes_at: Some(notes_at),
                ..self.difference(FactKind::Name, at, Some(other))
            }
        })
    }

    /// `South Korea` for `Korea`, `Guinea-Bissau` for `Bissau`.
    pub(super) fn longer_names(&self, out: &mut Vec<Difference>) {
        let tokens = self.passage.tokens;
        for (at, other) in
            self.pairs().filter(|(at, _)| self.touch[*at] != Touch::Nothing && self.quote.tokens[*at].is_name())
        {
            let added = |first: usize, second: usize, new: usize| {
                let gap = &self.passage.text[tokens[first].span.end..tokens[second].span.start];
                let capital = self.passage.text[tokens[new].span.clone()].starts_with(char::is_uppercase);
                let leads = gap == " "
                    && new == first
                    && (tokens[new].stem == "new" || crate::text::has_opposite(&tokens[new].stem));
                (capital && self.free(new) && tokens[new].value().is_none() && (gap == "-" || leads))
                    .then_some(first..second)
            };
            if let Some(difference) = self.other_number_of_name(at, other) {
                return out.push(difference);
            }
            let before = other.checked_sub(1).and_then(|before| added(before, other, before));
            let longer = before.or_else(|| (other + 1 < tokens.len()).then(|| added(other, other + 1, other + 1))?);
            if let Some(longer) = longer {
                let mut difference = self.difference(FactKind::Name, at, Some(other));
                let whole = tokens[longer.start].span.start..tokens[longer.end].span.end;
                difference.notes = Some(self.passage.text[whole.clone()].to_string());
                difference.notes_at = Some(whole);
                return out.push(difference);
            }
        }
    }
}

/// The Roman number right after a name.
fn regnal(text: &str, end: usize) -> Option<&str> {
    let number = text.get(end..)?.strip_prefix(' ')?.split(|c: char| !c.is_alphanumeric()).next()?;
    (!number.is_empty() && number.chars().all(|c| matches!(c, 'I' | 'V' | 'X'))).then_some(number)
}
