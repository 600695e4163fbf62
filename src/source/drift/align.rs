//! Two readings laid beside each other: which fact of one is which fact of the other.

use crate::source::reading::Token;

/// How the tokens of a quote stand in a passage.
#[derive(Clone, Debug, Default)]
pub(crate) struct Pairing {
    /// For each token of the quote, the one of the passage that says the same.
    pub(crate) to: Vec<Option<usize>>,
    /// For each token of the passage, the one of the quote.
    pub(crate) from: Vec<Option<usize>>,
    /// For each token of the quote, the one that stands in its place but says something else.
    pub(crate) slot: Vec<Option<usize>>,
    /// How much of the quote's weight the passage has, from 0 to 1, with a little off for what it adds.
    pub(crate) closeness: f64,
}

/// Aligns by weight, in order first; then what has moved is paired up too.
pub(crate) fn pair(quote: &[Token], passage: &[Token]) -> Pairing {
    let mut out = Pairing {
        to: vec![None; quote.len()],
        from: vec![None; passage.len()],
        slot: vec![None; quote.len()],
        closeness: 0.0,
    };
    let mut credit = vec![0.0; quote.len()];
    for (i, j) in in_order(quote, passage) {
        if quote[i].is_said_by(&passage[j]) {
            (out.to[i], out.from[j]) = (Some(j), Some(i));
            credit[i] = 1.0;
        } else {
            out.slot[i] = Some(j);
            credit[i] = if quote[i].value().is_some() || quote[i].opposes(&passage[j]) { 0.3 } else { 0.1 };
        }
    }
    moved(quote, passage, &mut out, &mut credit);
    dated(quote, passage, &mut out, &mut credit);
    out.closeness = closeness(quote, passage, &out, &credit);
    out
}

/// Pairs what stands elsewhere: the same first, then what says the same in another word.
fn moved(quote: &[Token], passage: &[Token], out: &mut Pairing, credit: &mut [f64]) {
    for same_word in [true, false] {
        for i in 0..quote.len() {
            if out.to[i].is_some() {
                continue;
            }
            let fits = |j: &usize| {
                let (mine, other) = (&quote[i], &passage[*j]);
                if same_word { mine.is_same(other) } else { mine.is_said_by(other) }
            };
            if let Some(j) = (0..passage.len()).filter(|j| out.from[*j].is_none()).find(fits) {
                (out.to[i], out.from[j]) = (Some(j), Some(i));
                credit[i] = 0.9;
            }
        }
    }
}

/// Pairs dates that were taken apart or put together.
fn dated(quote: &[Token], passage: &[Token], out: &mut Pairing, credit: &mut [f64]) {
    for i in 0..quote.len() {
        if out.to[i].is_some() {
            continue;
        }
        if let Some(parts) = quote[i].dated_in_parts(passage).filter(|parts| out.from[parts[0]].is_none()) {
            (out.to[i], out.slot[i], credit[i]) = (Some(parts[0]), None, 0.9);
            parts.into_iter().for_each(|j| out.from[j] = out.from[j].or(Some(i)));
        } else if quote[i].is_part_of_a_date(passage) {
            credit[i] = 0.9;
        }
    }
}

fn closeness(quote: &[Token], passage: &[Token], pairing: &Pairing, credit: &[f64]) -> f64 {
    let all: f64 = quote.iter().map(|token| token.weight).sum();
    let had: f64 = quote.iter().zip(credit).map(|(token, credit)| token.weight * credit).sum();
    let whole: f64 = passage.iter().map(|token| token.weight).sum();
    let added: f64 =
        passage.iter().zip(&pairing.from).filter(|(_, from)| from.is_none()).map(|(token, _)| token.weight).sum();
    if all == 0.0 || whole == 0.0 {
        return 0.0;
    }
    had / all - 0.15 * added / whole
}

/// The best alignment in order: pairs that say the same, and pairs that stand in one place.
fn in_order(quote: &[Token], passage: &[Token]) -> Vec<(usize, usize)> {
    let width = passage.len() + 1;
    let mut best = vec![0.0f64; (quote.len() + 1) * width];
    for i in (0..quote.len()).rev() {
        for j in (0..passage.len()).rev() {
            let skip = best[(i + 1) * width + j].max(best[i * width + j + 1]);
            best[i * width + j] = skip.max(best[(i + 1) * width + j + 1] + score(&quote[i], &passage[j]));
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut out = Vec::new();
    while i < quote.len() && j < passage.len() {
        let here = best[i * width + j];
        let score = score(&quote[i], &passage[j]);
        if score > 0.0 && here == best[(i + 1) * width + j + 1] + score {
            out.push((i, j));
            (i, j) = (i + 1, j + 1);
        } else if here == best[(i + 1) * width + j] {
            i += 1;
        } else {
            j += 1;
        }
    }
    out
}

fn score(mine: &Token, other: &Token) -> f64 {
    if mine.is_same(other) {
        return mine.weight;
    }
    if mine.is_said_by(other) {
        return 0.9 * mine.weight;
    }
    if mine.opposes(other) || (mine.value().is_some() && mine.same_kind(other)) {
        return 0.25 * mine.weight;
    }
    match mine.value().is_some() == other.value().is_some() {
        true if mine.is_name() == other.is_name() => 0.08,
        true => 0.05,
        false => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::reading::read;
    use crate::source::weights::Weights;

    #[test]
    fn tokens_are_paired_in_order_then_by_moves() {
        let weights = Weights::even();
        let quote = read("Force 8, a gale, begins at 34 knots.", &weights);
        let passage = read("A gale, force 8, starts at 32 knots.", &weights);
        let pairing = pair(&quote, &passage);
        assert_eq!(pairing.to, [Some(1), Some(2), Some(0), Some(3), None]);
        assert_eq!(pairing.slot[4], Some(4));
        assert!(pairing.closeness > 0.6 && pairing.closeness < 1.0);
        assert_eq!(pair(&quote, &quote).closeness, 1.0);
        assert_eq!(pair(&quote, &[]).closeness, 0.0);
    }
}
