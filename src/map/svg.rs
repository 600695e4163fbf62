//! The map as SVG: the sheet drawn, with names and descriptions for those who cannot see it.

use std::io;

use quick_xml::Writer;
use quick_xml::events::BytesText;

use super::block::Kind;
use super::content::{Map, MapCard};
use super::sheet::{Area, Course, Line, Point, Sheet, sheet};
use super::sizes::*;
use super::words::wrapped;
use crate::report::counted;

type Xml = Writer<Vec<u8>>;

const INK: &str = "#1a2228";
const QUIET: &str = "#5d676d";
const GROUND: &str = "#f3f4f1";
/// The band of a topic that the settings give no colour.
const BAND_COLOURS: (&str, &str) = ("#3d4a52", "#ffffff");
const FONT: &str = "'Liberation Sans', Arial, Helvetica, 'Noto Sans', sans-serif";

/// The map as an SVG picture whose sides are in millimetres; its text can be selected. The same map gives
/// the same text.
pub fn svg(map: &Map) -> String {
    let mut xml = Writer::new(Vec::new());
    // Writing into memory does not fail.
    _ = draw(&mut xml, map, &sheet(map));
    let mut text = String::from_utf8(xml.into_inner()).unwrap_or_default();
    text.push('\n');
    text
}

fn draw(xml: &mut Xml, map: &Map, sheet: &Sheet) -> io::Result<()> {
    let millimetres = |tenths: i64| format!("{}.{}mm", tenths / 10, tenths % 10);
    let root = xml.create_element("svg").with_attributes([
        ("xmlns", "http://www.w3.org/2000/svg"),
        ("width", &*millimetres(sheet.width)),
        ("height", &*millimetres(sheet.height)),
        ("viewBox", &*format!("0 0 {} {}", sheet.width, sheet.height)),
        ("role", "graphics-document document"),
        ("aria-labelledby", "map-title map-description"),
        ("font-family", FONT),
        ("font-size", &*format!("{}.{}", TEXT / 10, TEXT % 10)),
        ("fill", INK),
    ]);
    root.write_inner_content(|xml| {
        xml.create_element("title")
            .with_attribute(("id", "map-title"))
            .write_text_content(BytesText::new(&map.title))?;
        let description = xml.create_element("desc").with_attribute(("id", "map-description"));
        description.write_text_content(BytesText::new(&described(map)))?;
        markers(xml)?;
        rectangle(xml, Area { x: 0, y: 0, width: sheet.width, height: sheet.height }, &[("fill", "#ffffff")])?;
        heading(xml, map, sheet)?;
        grounds(xml, map, sheet)?;
        lines(xml, map, sheet)?;
        for topic in 0..map.topics.len() {
            region(xml, map, sheet, topic)?;
        }
        legend(xml, map, sheet)
    })?;
    Ok(())
}

/// The whole in a few sentences.
fn described(map: &Map) -> String {
    let needs: usize = map.cards.iter().map(|card| card.needs.len()).sum();
    let see: usize = map.cards.iter().map(|card| card.see.len()).sum();
    let topics: Vec<&str> = map.topics.iter().map(|topic| topic.title.as_str()).collect();
    format!(
        "{} in {}: {}. An arrow leads from a card to one that builds on it ({needs} of them); a plain line joins \
         connected cards ({see}).",
        counted(map.cards.len(), "card", "cards"),
        counted(map.topics.len(), "topic", "topics"),
        topics.join(", ")
    )
}

/// The heads of arrows.
fn markers(xml: &mut Xml) -> io::Result<()> {
    xml.create_element("defs").write_inner_content(|xml| {
        let marker = xml.create_element("marker").with_attributes([
            ("id", "arrow"),
            ("viewBox", "0 0 10 10"),
            ("refX", "9.5"),
            ("refY", "5"),
            ("markerWidth", "15"),
            ("markerHeight", "15"),
            ("markerUnits", "userSpaceOnUse"),
            ("orient", "auto"),
        ]);
        marker.write_inner_content(|xml| {
            let head =
                xml.create_element("path").with_attributes([("d", "M0 1 10 5 0 9z"), ("fill", "context-stroke")]);
            head.write_empty().map(drop)
        })?;
        Ok(())
    })?;
    Ok(())
}

fn heading(xml: &mut Xml, map: &Map, sheet: &Sheet) -> io::Result<()> {
    let size = 40;
    let room = (sheet.width - 2 * MARGIN) * 1000 / size;
    let title = wrapped(&map.title, room, 1).concat();
    text(xml, (MARGIN, MARGIN + 32), &title, &[("font-size", "40"), ("font-weight", "bold"), ("aria-hidden", "true")])
}

/// The boxes of the topics.
fn grounds(xml: &mut Xml, map: &Map, sheet: &Sheet) -> io::Result<()> {
    group(xml, &[("aria-hidden", "true")], |xml| {
        for (at, area) in sheet.regions.iter().enumerate() {
            let (band, _) = colours(map, at);
            rectangle(xml, *area, &[("fill", GROUND), ("stroke", band), ("stroke-width", "4")])?;
        }
        Ok(())
    })
}

fn colours(map: &Map, topic: usize) -> (&str, &str) {
    map.topics[topic].colour.as_ref().map_or(BAND_COLOURS, |(band, text)| (band, text))
}

fn lines(xml: &mut Xml, map: &Map, sheet: &Sheet) -> io::Result<()> {
    for kind in [Kind::See, Kind::Needs] {
        let width = if kind == Kind::See { "2" } else { "3" };
        group(xml, &[("aria-hidden", "true"), ("fill", "none"), ("stroke-width", width)], |xml| {
            sheet.lines.iter().filter(|line| line.link.kind == kind).try_for_each(|line| draw_line(xml, map, line))
        })?;
    }
    Ok(())
}

fn draw_line(xml: &mut Xml, map: &Map, line: &Line) -> io::Result<()> {
    let path = course(&line.course);
    // Lines that leave their block have the colour of the topic that they come from.
    let stroke = match line.course {
        Course::Angled(_) => colours(map, map.cards[line.link.from].topic).0,
        _ if line.link.kind == Kind::See => QUIET,
        _ => INK,
    };
    let mut attributes = vec![("d", path.as_str()), ("stroke", stroke)];
    if line.link.kind == Kind::Needs {
        attributes.push(("marker-end", "url(#arrow)"));
    }
    xml.create_element("path").with_attributes(attributes).write_empty().map(drop)
}

/// The course of a line as path data.
fn course(course: &Course) -> String {
    match course {
        Course::Bow(from, to) => {
            let out = from.0 + 20 + (from.1 - to.1).abs().min(240) / 16;
            format!("M{} {}C{out} {} {out} {} {} {}", from.0, from.1, from.1, to.1, to.0, to.1)
        }
        Course::Curved(points) => {
            let mut path = format!("M{} {}", points[0].0, points[0].1);
            for (at, pair) in points.windows(2).enumerate() {
                let ((x, y), (to_x, to_y)) = (pair[0], pair[1]);
                if at % 2 == 0 && y != to_y {
                    let half = x + (to_x - x) / 2;
                    path.push_str(&format!("C{half} {y} {half} {to_y} {to_x} {to_y}"));
                } else {
                    path.push_str(&format!("L{to_x} {to_y}"));
                }
            }
            path
        }
        Course::Angled(points) => rounded(points),
    }
}

/// Straight lines with rounded corners.
fn rounded(points: &[Point]) -> String {
    const RADIUS: i64 = 8;
    let mut path = format!("M{} {}", points[0].0, points[0].1);
    for three in points.windows(3) {
        let (before, corner, after) = (three[0], three[1], three[2]);
        let (enter, leave) = (towards(corner, before, RADIUS), towards(corner, after, RADIUS));
        path.push_str(&format!("L{} {}Q{} {} {} {}", enter.0, enter.1, corner.0, corner.1, leave.0, leave.1));
    }
    let last = points[points.len() - 1];
    path + &format!("L{} {}", last.0, last.1)
}

/// The point that lies at most `far` from one towards the other, and no further than half way.
fn towards(one: Point, other: Point, far: i64) -> Point {
    let step = |one: i64, other: i64| one + ((other - one) / 2).clamp(-far, far);
    (step(one.0, other.0), step(one.1, other.1))
}

fn region(xml: &mut Xml, map: &Map, sheet: &Sheet, topic: usize) -> io::Result<()> {
    let cards: Vec<usize> = (0..map.cards.len()).filter(|&at| map.cards[at].topic == topic).collect();
    let area = sheet.regions[topic];
    let (band, on_band) = colours(map, topic);
    group(xml, &[("role", "group")], |xml| {
        let title = &map.topics[topic].title;
        let count = if cards.len() == 1 { "1 card".to_owned() } else { format!("{} cards", cards.len()) };
        name(xml, &format!("{title}, {count}"))?;
        rectangle(xml, Area { height: BAND, ..area }, &[("fill", band)])?;
        let room = (area.width - 4 * PADDING) * 1000 / 28;
        let shown = wrapped(title, room, 1).concat();
        text(
            xml,
            (area.x + 2 * PADDING, area.y + 32),
            &shown,
            &[("font-size", "28"), ("font-weight", "bold"), ("fill", on_band)],
        )?;
        cards.iter().try_for_each(|&at| card(xml, map, sheet, at))
    })
}

fn card(xml: &mut Xml, map: &Map, sheet: &Sheet, at: usize) -> io::Result<()> {
    let (one, area, lines) = (&map.cards[at], sheet.cards[at], &sheet.labels[at]);
    group(xml, &[("role", "group")], |xml| {
        name(xml, &spoken(map, one))?;
        let mut attributes =
            vec![("rx", "4"), ("fill", "#ffffff"), ("stroke", colours(map, one.topic).0), ("stroke-width", "3")];
        if one.extension {
            attributes.push(("stroke-dasharray", "12 7"));
        }
        rectangle(xml, area, &attributes)?;
        let middle = area.x + area.width / 2;
        let element = xml.create_element("text").with_attribute(("text-anchor", "middle"));
        element.write_inner_content(|xml| {
            for (at, line) in lines.iter().enumerate() {
                let y = area.y + PADDING + LINE * at as i64 + TEXT * 9 / 100;
                label_line(xml, (middle, y), line, one.number.filter(|_| at == 0))?;
            }
            Ok(())
        })?;
        Ok(())
    })
}

/// A line of text on a card; the first begins with the card's number.
fn label_line(xml: &mut Xml, (x, y): Point, line: &str, number: Option<usize>) -> io::Result<()> {
    let (x, y) = (x.to_string(), y.to_string());
    let element = xml.create_element("tspan").with_attributes([("x", &*x), ("y", &*y)]);
    let number = number.map(|number| number.to_string()).filter(|number| line.starts_with(number.as_str()));
    match number {
        Some(number) => element.write_inner_content(|xml| {
            let bold = xml.create_element("tspan").with_attribute(("font-weight", "bold"));
            bold.write_text_content(BytesText::new(&number))?;
            xml.write_event(quick_xml::events::Event::Text(BytesText::new(&line[number.len()..])))
        })?,
        None => element.write_text_content(BytesText::new(line))?,
    };
    // What is selected and copied keeps its words apart.
    xml.write_event(quick_xml::events::Event::Text(BytesText::new(" ")))
}

/// A card and its connections in a sentence.
fn spoken(map: &Map, card: &MapCard) -> String {
    let called = |at: &usize| {
        let other = &map.cards[*at];
        other.number.map_or_else(|| other.label.clone(), |number| format!("card {number}, {}", other.label))
    };
    let mut said = card.number.map_or_else(String::new, |number| format!("Card {number}: "));
    said.push_str(&card.label);
    if card.extension {
        said.push_str(" (extension)");
    }
    for (what, others) in [("To know first", &card.needs), ("Connected", &card.see)] {
        if !others.is_empty() {
            said.push_str(&format!(" – {what}: {}", others.iter().map(called).collect::<Vec<_>>().join("; ")));
        }
    }
    said
}

/// What the lines mean.
fn legend(xml: &mut Xml, map: &Map, sheet: &Sheet) -> io::Result<()> {
    let y = sheet.height - MARGIN - 4;
    let line = |from: i64| format!("M{from} {}L{} {}", y - 7, from + 90, y - 7);
    group(xml, &[("aria-hidden", "true"), ("font-size", "24")], |xml| {
        let arrow = line(MARGIN);
        let attributes =
            [("d", &*arrow), ("fill", "none"), ("stroke", INK), ("stroke-width", "3"), ("marker-end", "url(#arrow)")];
        xml.create_element("path").with_attributes(attributes).write_empty()?;
        text(xml, (MARGIN + 105, y), "from what to know first to what builds on it", &[])?;
        let plain = line(MARGIN + 640);
        xml.create_element("path")
            .with_attributes([("d", &*plain), ("stroke", QUIET), ("stroke-width", "2")])
            .write_empty()?;
        text(xml, (MARGIN + 745, y), "connected", &[])?;
        if map.cards.iter().any(|card| card.extension) {
            let area = Area { x: MARGIN + 920, y: y - 22, width: 90, height: 28 };
            rectangle(
                xml,
                area,
                &[
                    ("rx", "4"),
                    ("fill", "#ffffff"),
                    ("stroke", INK),
                    ("stroke-width", "3"),
                    ("stroke-dasharray", "12 7"),
                ],
            )?;
            text(xml, (MARGIN + 1025, y), "extension", &[])?;
        }
        Ok(())
    })
}

fn group(xml: &mut Xml, attributes: &[(&str, &str)], inner: impl FnOnce(&mut Xml) -> io::Result<()>) -> io::Result<()> {
    xml.create_element("g").with_attributes(attributes.iter().copied()).write_inner_content(inner)?;
    Ok(())
}

fn name(xml: &mut Xml, name: &str) -> io::Result<()> {
    xml.create_element("title").write_text_content(BytesText::new(name))?;
    Ok(())
}

fn text(xml: &mut Xml, (x, y): Point, text: &str, attributes: &[(&str, &str)]) -> io::Result<()> {
    let (x, y) = (x.to_string(), y.to_string());
    let element = xml.create_element("text").with_attributes([("x", &*x), ("y", &*y)]);
    element.with_attributes(attributes.iter().copied()).write_text_content(BytesText::new(text))?;
    Ok(())
}

fn rectangle(xml: &mut Xml, area: Area, attributes: &[(&str, &str)]) -> io::Result<()> {
    let [x, y, width, height] = [area.x, area.y, area.width, area.height].map(|number| number.to_string());
    let element =
        xml.create_element("rect").with_attributes([("x", &*x), ("y", &*y), ("width", &*width), ("height", &*height)]);
    element.with_attributes(attributes.iter().copied()).write_empty()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::map::words::measured;

    #[test]
    fn every_line_of_text_fits_its_card() {
        let map = crate::map::tests::demonstration(None);
        for (area, lines) in sheet(&map).cards.iter().zip(&sheet(&map).labels) {
            for line in lines {
                assert!(measured(line) * TEXT / 10_000 <= area.width - 2 * PADDING, "{line}");
            }
        }
    }
}
