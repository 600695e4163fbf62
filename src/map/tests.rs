//! What a map promises: nothing lies on anything else, whatever the cards.

use proptest::prelude::*;

use super::block::Kind;
use super::content::{Map, MapCard, MapTopic};
use super::sheet::{Area, Course, Point, Sheet, sheet};
use super::sizes::*;
use super::svg;
use crate::deck::Department;
use crate::snapshot::FolderSnapshot;

/// The demonstration department, or one of its year groups.
pub fn demonstration(year: Option<u8>) -> Map {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let department = Department::read(&FolderSnapshot::new(root)).expect("it can be read");
    Map::of_department(&department, year)
}

fn made(cards: Vec<(usize, Vec<usize>, Vec<usize>, &str)>) -> Map {
    let topics = cards.iter().map(|card| card.0 + 1).max().unwrap_or(0);
    let mut order: Vec<usize> = (0..cards.len()).collect();
    order.sort_by_key(|&at| cards[at].0);
    let card = |at: usize| {
        let (topic, needs, see, label) = &cards[at];
        let others = |list: &[usize]| {
            list.iter().copied().filter(|&other| other != at && other < cards.len()).collect::<Vec<_>>()
        };
        let see = others(see).into_iter().filter(|&other| other < at).collect();
        MapCard { label: (*label).to_owned(), number: None, topic: *topic, extension: false, needs: others(needs), see }
    };
    let titled = |at| MapTopic { title: format!("Topic {at}"), colour: None };
    Map {
        title: "Cards".to_owned(),
        topics: (0..topics).map(titled).collect(),
        cards: (0..cards.len()).map(card).collect(),
    }
}

fn overlap(one: &Area, other: &Area) -> bool {
    one.x < other.x + other.width
        && other.x < one.x + one.width
        && one.y < other.y + other.height
        && other.y < one.y + one.height
}

fn within(one: &Area, whole: &Area) -> bool {
    one.x >= whole.x
        && one.y >= whole.y
        && one.x + one.width <= whole.x + whole.width
        && one.y + one.height <= whole.y + whole.height
}

fn stretch(from: Point, to: Point) -> Area {
    Area { x: from.0.min(to.0), y: from.1.min(to.1), width: (from.0 - to.0).abs(), height: (from.1 - to.1).abs() }
}

/// The boxes that a line does not leave: of a curve between two columns, the rectangle around it.
fn stretches(course: &Course) -> Vec<Area> {
    match course {
        Course::Bow(from, to) => {
            vec![Area { x: from.0, y: from.1.min(to.1), width: CHANNEL - 4, height: (from.1 - to.1).abs() }]
        }
        Course::Curved(points) | Course::Angled(points) => {
            points.windows(2).map(|pair| stretch(pair[0], pair[1])).collect()
        }
    }
}

/// What is wrong with a sheet.
fn faults(map: &Map, sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    let paper = Area { x: 0, y: 0, width: sheet.width, height: sheet.height };
    for (at, card) in sheet.cards.iter().enumerate() {
        let region = sheet.regions[map.cards[at].topic];
        let below_title = Area { y: region.y + BAND, height: region.height - BAND, ..region };
        if !within(card, &below_title) {
            faults.push(format!("card {at} {card:?} leaves its region {below_title:?}"));
        }
        for (other, area) in sheet.cards.iter().enumerate().skip(at + 1) {
            if overlap(card, area) {
                faults.push(format!("cards {at} and {other} overlap"));
            }
        }
    }
    for (at, region) in sheet.regions.iter().enumerate() {
        if !within(region, &paper) || sheet.regions[at + 1..].iter().any(|other| overlap(region, other)) {
            faults.push(format!("region {at} overlaps another, or the edge"));
        }
    }
    for line in &sheet.lines {
        for part in stretches(&line.course) {
            let over = sheet.cards.iter().position(|card| overlap(&part, card));
            faults.extend(over.map(|card| format!("{:?} runs over card {card}: {part:?}", line.link)));
            if !within(&part, &paper) {
                faults.push(format!("{:?} leaves the paper", line.link));
            }
        }
    }
    faults
}

#[test]
fn the_demonstration_has_no_overlaps_and_all_its_links() {
    for year in [None, Some(7), Some(8), Some(9)] {
        let map = demonstration(year);
        let sheet = sheet(&map);
        assert_eq!(faults(&map, &sheet), Vec::<String>::new());
        let links: usize = map.cards.iter().map(|card| card.needs.len() + card.see.len()).sum();
        assert_eq!(sheet.lines.len(), links);
        assert!(links > 20);
    }
}

/// How large the text is when the sheet is printed on A3 (ISO 216: 420 by 297 mm), in points. Its own white
/// margin is what printers leave out.
fn points_on_a3(map: &Map) -> f64 {
    let sheet = sheet(map);
    let shrunk = (sheet.width as f64 / 4200.0).max(sheet.height as f64 / 2970.0).max(1.0);
    TEXT as f64 / 100.0 / shrunk / 25.4 * 72.0
}

#[test]
fn two_hundred_cards_can_be_read_on_a3() {
    // Common practice of map makers: no type under 5 points; this is better.
    let mut all = demonstration(None);
    // As in a pack, where each card has its number.
    all.cards.iter_mut().enumerate().for_each(|(at, card)| card.number = Some(at + 1));
    assert!(all.cards.len() > 200 && points_on_a3(&all) >= 6.0, "all: {} points", points_on_a3(&all));
    for year in [7, 8, 9] {
        let map = demonstration(Some(year));
        assert!(map.cards.len() > 60 && points_on_a3(&map) >= 6.0, "year {year}: {} points", points_on_a3(&map));
    }
}

#[test]
fn arrows_lead_from_what_to_know_first_rightwards() {
    let map = made(vec![(0, vec![], vec![], "a"), (0, vec![0], vec![], "b"), (0, vec![1], vec![0], "c")]);
    let sheet = sheet(&map);
    assert!(sheet.cards[0].x < sheet.cards[1].x && sheet.cards[1].x < sheet.cards[2].x);
    let kinds: Vec<Kind> = sheet.lines.iter().map(|line| line.link.kind).collect();
    assert_eq!(kinds.iter().filter(|kind| **kind == Kind::Needs).count(), 2);
}

#[test]
fn cards_without_links_stand_in_columns_in_their_order() {
    let map = made((0..12).map(|_| (0, vec![], vec![], "What is it?")).collect());
    let sheet = sheet(&map);
    let places: Vec<Point> = sheet.cards.iter().map(|card| (card.y, card.x)).collect();
    let mut sorted = places.clone();
    sorted.sort_unstable();
    assert_eq!(places, sorted);
}

#[test]
fn hostile_text_is_text() {
    let nasty = "</text><script>alert(1)</script> <a href='javascript:1'>&amp; ]]> \"";
    let mut map = made(vec![(0, vec![], vec![], nasty)]);
    map.title = nasty.to_owned();
    map.topics[0].title = nasty.to_owned();
    let svg = svg(&map);
    let parsed = roxmltree::Document::parse(&svg).expect("XML");
    assert!(parsed.descendants().all(|node| !["script", "a", "style"].contains(&node.tag_name().name())));
    let title =
        parsed.descendants().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "title"))).expect("a title");
    assert_eq!(title.text(), Some(nasty));
}

#[test]
fn the_picture_says_all_that_it_shows() {
    let map = demonstration(Some(8));
    let svg = svg(&map);
    let parsed = roxmltree::Document::parse(&svg).expect("XML");
    let titles: Vec<&str> =
        parsed.descendants().filter(|node| node.tag_name().name() == "title").filter_map(|node| node.text()).collect();
    assert_eq!(titles.len(), 1 + map.topics.len() + map.cards.len());
    for card in &map.cards {
        assert!(titles.iter().any(|title| title.contains(&card.label)), "{}", card.label);
    }
    assert_eq!(svg, super::svg(&map));
    let ids: Vec<&str> = parsed.descendants().filter_map(|node| node.attribute("id")).collect();
    assert_eq!(ids, ["map-title", "map-description", "arrow"]);
}

#[test]
fn long_chains_loops_and_crowds_are_drawn() {
    let chain = made((0..400).map(|at: usize| (0, at.checked_sub(1).into_iter().collect(), vec![], "Link")).collect());
    let loops = made((0..60).map(|at| (at % 2, vec![(at + 1) % 60, (at + 7) % 60], vec![at / 2], "Loop")).collect());
    let star = made((0..300).map(|at| (0, if at == 0 { vec![] } else { vec![0] }, vec![], "Star")).collect());
    for map in [chain, loops, star, made(vec![])] {
        assert_eq!(faults(&map, &sheet(&map)), Vec::<String>::new());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_ever_overlaps(cards in prop::collection::vec(
        (0..4usize, prop::collection::vec(0..40usize, 0..4), prop::collection::vec(0..40usize, 0..3), "[a-zW ]{0,90}"), 0..40)) {
        let cards: Vec<_> = cards.iter().map(|(topic, needs, see, label)| (*topic, needs.clone(), see.clone(), label.as_str())).collect();
        let map = made(cards);
        prop_assert_eq!(faults(&map, &sheet(&map)), Vec::<String>::new());
    }
}
