//! Names that are longer than they were.

use super::{Difference, FactKind, Touch, View};

impl View<'_> {
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
