//! Looking at a laid-out document: does everything stand on its card, in letters that there are?

use std::collections::{BTreeMap, BTreeSet};

use typst::foundations::{Dict, NativeElement, Value};
use typst::introspection::{Introspector, MetadataElem};
use typst::layout::{Abs, Frame, FrameItem, Point, Transform};
use typst_layout::PagedDocument;

use crate::pack::model::Side;

/// A side as it was laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidOut {
    /// The card's number.
    pub number: usize,
    /// Which of its sides.
    pub side: Side,
    /// The page, from 1.
    pub page: usize,
    /// Its left upper corner and its size, in millimetres.
    pub area: Area,
    /// The size of its text, in points.
    pub size: f64,
    /// Whether the text fits at that size.
    pub fits: bool,
    /// Text that leaves the card.
    pub outside: Vec<String>,
    /// Letters that no font has.
    pub missing: BTreeSet<String>,
}

/// A rectangle on a page, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Its left edge.
    pub x: f64,
    /// Its upper edge.
    pub y: f64,
    /// How wide it is.
    pub wide: f64,
    /// How high it is.
    pub high: f64,
}

/// How far text may stand over its own edge without harm, in millimetres: slanted letters do.
const TOLERANCE: f64 = 0.2;

impl Area {
    fn holds(&self, x: f64, y: f64) -> bool {
        let within = |at: f64, from: f64, long: f64| at >= from - TOLERANCE && at <= from + long + TOLERANCE;
        within(x, self.x, self.wide) && within(y, self.y, self.high)
    }
}

/// All sides of a document in reading order, each card `wide` and `high` millimetres.
pub fn sides(document: &PagedDocument, (wide, high): (f64, f64)) -> Vec<LaidOut> {
    let introspector = document.introspector();
    let mut found: Vec<LaidOut> = Vec::new();
    for content in introspector.query(&MetadataElem::ELEM.select()) {
        let Some(metadata) = content.to_packed::<MetadataElem>() else { continue };
        let place = content.location().and_then(|location| introspector.position(location));
        if let (Value::Dict(value), Some(place)) = (&metadata.value, place) {
            found.extend(side(value, place.page.get(), (wide, high)));
        }
    }
    let mut by_page: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (at, side) in found.iter().enumerate() {
        by_page.entry(side.page).or_default().push(at);
    }
    for (page, sides) in by_page {
        if let Some(page) = document.pages().get(page - 1) {
            look(&page.frame, Transform::identity(), &mut |word| note(&mut found, &sides, word));
        }
    }
    found
}

/// What the template says of a side.
fn side(value: &Dict, page: usize, (wide, high): (f64, f64)) -> Option<LaidOut> {
    let number = |key: &str| match value.get(key).ok()? {
        Value::Int(number) => Some(*number as f64),
        Value::Float(number) => Some(*number),
        _ => None,
    };
    let answer = matches!(value.get("side").ok()?, Value::Str(side) if side.as_str() == "answer");
    Some(LaidOut {
        number: number("number")? as usize,
        side: if answer { Side::Answer } else { Side::Question },
        page,
        area: Area { x: number("x")?, y: number("y")?, wide, high },
        size: number("size")?,
        fits: matches!(value.get("fits").ok()?, Value::Bool(true)),
        outside: Vec::new(),
        missing: BTreeSet::new(),
    })
}

/// Something that stands on a page.
struct Word {
    text: String,
    /// Where it begins and ends, in millimetres.
    from: (f64, f64),
    to: (f64, f64),
    missing: BTreeSet<String>,
}

fn look(frame: &Frame, transform: Transform, seen: &mut dyn FnMut(Word)) {
    for (place, item) in frame.items() {
        let at = transform.pre_concat(Transform::translate(place.x, place.y));
        match item {
            FrameItem::Group(group) => look(&group.frame, at.pre_concat(group.transform), seen),
            FrameItem::Text(text) => {
                let missing = text.glyphs.iter().filter(|glyph| glyph.id == 0);
                seen(Word {
                    text: text.text.to_string(),
                    from: millimetres(Point::zero().transform(at)),
                    to: millimetres(Point::new(text.width(), Abs::zero()).transform(at)),
                    missing: missing.filter_map(|glyph| Some(text.text.get(glyph.range())?.to_owned())).collect(),
                });
            }
            FrameItem::Image(_, size, _) => seen(Word {
                text: "a picture".to_owned(),
                from: millimetres(Point::zero().transform(at)),
                to: millimetres(size.to_point().transform(at)),
                missing: BTreeSet::new(),
            }),
            FrameItem::Shape(..) | FrameItem::Link(..) | FrameItem::Tag(_) => {}
        }
    }
}

fn millimetres(point: Point) -> (f64, f64) {
    (point.x.to_mm(), point.y.to_mm())
}

/// Notes what is wrong with it on the side on which it begins; text beside the cards belongs to none.
fn note(found: &mut [LaidOut], sides: &[usize], word: Word) {
    let Some(&at) = sides.iter().find(|&&at| found[at].area.holds(word.from.0, word.from.1)) else { return };
    if !found[at].area.holds(word.to.0, word.to.1) {
        found[at].outside.push(word.text);
    }
    found[at].missing.extend(word.missing);
}
