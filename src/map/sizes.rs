//! All measures, in tenths of a millimetre but for the size of the text.

/// How wide cards may be; the sheet takes what fits best.
pub const CARDS: [i64; 5] = [244, 250, 256, 268, 296];
/// The room between a card's edge and its text.
pub const PADDING: i64 = 7;
/// The size of the text, in hundredths of a millimetre: 6 points.
pub const TEXT: i64 = 212;
/// From one line of text to the next.
pub const LINE: i64 = 24;
/// The most lines on a card.
pub const LINES: usize = 5;
/// Between two cards of a column.
pub const GAP: i64 = 10;
/// The height that a line takes up where it passes between cards.
pub const PASS: i64 = 9;
/// The least room between two columns.
pub const CHANNEL: i64 = 46;
/// The least room at the left edge of a region, where arrows come in, and at its right one.
pub const EDGE: i64 = 26;
/// Between two tracks.
pub const TRACK: i64 = 7;
/// The least room between regions.
pub const GUTTER: i64 = 28;
/// The title of a region.
pub const BAND: i64 = 42;
/// Around everything: what printers leave white.
pub const MARGIN: i64 = 50;
/// The heading of the sheet.
pub const HEADING: i64 = 56;
/// The explanation at its foot.
pub const LEGEND: i64 = 40;

/// How high a card with so many lines is.
pub fn card_height(lines: usize) -> i64 {
    2 * PADDING + LINE * lines.max(1) as i64
}
