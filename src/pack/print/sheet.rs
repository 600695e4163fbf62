//! Where cards stand on a sheet of A4, front and back.

use super::options::{CardSize, Flip};

/// A4 of ISO 216, in millimetres.
pub const A4: (f64, f64) = (210.0, 297.0);

/// A sheet with its cards: all lengths in millimetres from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// How wide and high it is.
    pub paper: (f64, f64),
    /// How wide and high a card is.
    pub card: (f64, f64),
    /// Cards beside each other.
    pub columns: usize,
    /// Cards below each other.
    pub rows: usize,
    /// Whether a back stands in the mirrored column of the same row; else in the same column of the
    /// mirrored row.
    sideways: bool,
}

impl Sheet {
    /// The sheet for cards of that size; as many on it as fit.
    pub fn new(size: CardSize, flip: Flip) -> Self {
        let (card, lying) = match size {
            CardSize::Standard => ((95.0, 68.0), false),
            CardSize::A7 => ((105.0, 74.0), false),
            CardSize::A6 => ((105.0, 148.0), false),
            CardSize::Index => ((127.0, 76.0), true),
        };
        let paper = if lying { (A4.1, A4.0) } else { A4 };
        let fit = |paper: f64, card: f64| (paper / card).floor() as usize;
        let (columns, rows) = (fit(paper.0, card.0), fit(paper.1, card.1));
        // The long edge of a sheet that lies is its upper one.
        Self { paper, card, columns, rows, sideways: (flip == Flip::Long) != lying }
    }

    /// How many cards there are on a sheet.
    pub fn cards(&self) -> usize {
        self.columns * self.rows
    }

    /// How much is left at the left and right, and above and below.
    pub fn margin(&self) -> (f64, f64) {
        let margin = |paper: f64, card: f64, count: usize| (paper - card * count as f64) / 2.0;
        (margin(self.paper.0, self.card.0, self.columns), margin(self.paper.1, self.card.1, self.rows))
    }

    /// The top left corner of the question side at `place`, counted from 0 line by line.
    pub fn front(&self, place: usize) -> (f64, f64) {
        self.corner(place % self.columns, place / self.columns)
    }

    /// The top left corner of the answer side of the card whose question side is at `place`.
    pub fn back(&self, place: usize) -> (f64, f64) {
        let (column, row) = (place % self.columns, place / self.columns);
        if self.sideways {
            self.corner(self.columns - 1 - column, row)
        } else {
            self.corner(column, self.rows - 1 - row)
        }
    }

    /// Where it is cut from top to bottom: distances from the left.
    pub fn cuts_down(&self) -> Vec<f64> {
        (0..=self.columns).map(|at| self.margin().0 + self.card.0 * at as f64).collect()
    }

    /// Where it is cut from side to side: distances from the top.
    pub fn cuts_across(&self) -> Vec<f64> {
        (0..=self.rows).map(|at| self.margin().1 + self.card.1 * at as f64).collect()
    }

    fn corner(&self, column: usize, row: usize) -> (f64, f64) {
        let (left, top) = self.margin();
        (left + self.card.0 * column as f64, top + self.card.1 * row as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What common printers leave white at each edge, in millimetres; common practice.
    const UNPRINTED: f64 = 4.5;

    fn sheets() -> impl Iterator<Item = (CardSize, Flip, Sheet)> {
        let flips = [Flip::Long, Flip::Short];
        let both = CardSize::ALL.into_iter().flat_map(move |size| flips.map(|flip| (size, flip)));
        both.map(|(size, flip)| (size, flip, Sheet::new(size, flip)))
    }

    #[test]
    fn as_many_cards_stand_on_a_sheet_as_are_promised() {
        let counts = CardSize::ALL.map(|size| Sheet::new(size, Flip::Long).cards());
        assert_eq!(counts, [8, 8, 4, 4]);
        let (side, above) = Sheet::new(CardSize::Standard, Flip::Long).margin();
        assert!(side > UNPRINTED && above > UNPRINTED, "{side} {above}");
    }

    #[test]
    fn sizes_are_those_of_iso_216() {
        let published = include_str!("../../../tests/data/paper.csv");
        let size = |name: &str| {
            let line = published.lines().find(|line| line.split(',').next() == Some(name)).expect("it is listed");
            let mut numbers = line.split(',').skip(1).map(|number| number.parse::<f64>());
            (numbers.next().unwrap().unwrap(), numbers.next().unwrap().unwrap())
        };
        assert_eq!(A4, size("A4"));
        let (short, long) = size("A7");
        assert_eq!(Sheet::new(CardSize::A7, Flip::Long).card, (long, short));
        assert_eq!(Sheet::new(CardSize::A6, Flip::Long).card, size("A6"));
    }

    #[test]
    fn each_back_lies_behind_its_front() {
        for (size, flip, sheet) in sheets() {
            let upright = sheet.paper.0 < sheet.paper.1;
            for place in 0..sheet.cards() {
                let ((x, y), (back_x, back_y)) = (sheet.front(place), sheet.back(place));
                // Turning the paper on its long edge swaps left and right when it stands, above and
                // below when it lies.
                let behind = if (flip == Flip::Long) == upright {
                    (sheet.paper.0 - x - sheet.card.0, y)
                } else {
                    (x, sheet.paper.1 - y - sheet.card.1)
                };
                let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
                assert!(near(behind.0, back_x) && near(behind.1, back_y), "{size:?} {flip:?} {place}");
            }
        }
    }

    #[test]
    fn cards_lie_on_the_paper_and_cuts_between_them() {
        for (size, _, sheet) in sheets() {
            let mut corners: Vec<_> = (0..sheet.cards()).map(|place| sheet.front(place)).collect();
            for &(x, y) in &corners {
                assert!(x >= 0.0 && y >= 0.0, "{size:?}");
                assert!(x + sheet.card.0 <= sheet.paper.0 && y + sheet.card.1 <= sheet.paper.1, "{size:?}");
                assert!(sheet.cuts_down().contains(&x) && sheet.cuts_across().contains(&y), "{size:?}");
            }
            corners.dedup();
            assert_eq!(corners.len(), sheet.cards());
        }
    }
}
