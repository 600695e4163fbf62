//! All measures, in tenths of a millimetre.

/// The width of a card.
pub const CARD: i64 = 296;
/// The room between a card's edge and its text.
pub const PADDING: i64 = 9;
/// The size of the text: 6 points.
pub const TEXT: i64 = 21;
/// From one line of text to the next.
pub const LINE: i64 = 25;
/// The most lines on a card.
pub const LINES: usize = 4;
/// Between two cards of a column.
pub const GAP: i64 = 14;
/// The height that a line takes up where it passes between cards.
pub const PASS: i64 = 10;
/// The room between two columns.
pub const CHANNEL: i64 = 58;
/// The room at the left edge of a region, where arrows come in, and at its right one.
pub const EDGE: i64 = 30;
/// Between two tracks.
pub const TRACK: i64 = 8;
/// The room between regions.
pub const GUTTER: i64 = 36;
/// The title of a region.
pub const BAND: i64 = 52;
/// Around everything.
pub const MARGIN: i64 = 40;
/// The heading of the sheet.
pub const HEADING: i64 = 90;
/// The explanation at its foot.
pub const LEGEND: i64 = 50;

/// How high a card with so many lines is.
pub fn card_height(lines: usize) -> i64 {
    2 * PADDING + LINE * lines.max(1) as i64
}
