//! Cards that state published tables, held against the tables.

use deckle::deck::{Department, Question};

use crate::support::{demonstration, root};

/// The rows of a table under `tests/data`, each with its fields by name.
fn rows(name: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let mut table = csv::Reader::from_path(root().join("tests/data").join(name)).expect("the table is there");
    table.deserialize().map(|row| row.expect("a row")).collect()
}

/// The questions of a card of the demonstration.
fn questions<'d>(department: &'d Department, id: &str) -> &'d [Question] {
    let (_, card) = department.card(id).unwrap_or_else(|| panic!("the card {id} is there"));
    &card.questions
}

/// `from` to `to` as cards write it; open upwards without `to`.
fn range(from: &str, to: &str, unit: &str) -> String {
    if to.is_empty() { format!("{from} {unit} or more") } else { format!("{from} to {to} {unit}") }
}

/// World Meteorological Organization, Manual on Codes (WMO-No. 306), code table 1100.
#[test]
fn the_beaufort_scale_is_as_published() {
    let department = demonstration();
    let rows = rows("beaufort.csv");
    assert_eq!(rows.len(), 13);
    for row in &rows {
        let force = &row["force"];
        let description = row["description"].to_lowercase();
        if force == "0" {
            let calm = &questions(&department, "beaufort-calm")[0];
            assert_eq!(calm.answer.text().to_lowercase(), description);
            continue;
        }
        let own = &questions(&department, &format!("beaufort-force-{force}"))[0];
        assert!(own.question.contains(&format!("in knots, at force {force}, {description}?")), "{:?}", own.question);
        assert_eq!(own.answer.text(), range(&row["knots_min"], &row["knots_max"], "knots"), "force {force}");
    }
}

/// US National Hurricane Center, Saffir-Simpson Hurricane Wind Scale, limits in force since 2012.
#[test]
fn the_saffir_simpson_scale_is_as_published() {
    let department = demonstration();
    let rows = rows("saffir-simpson.csv");
    assert_eq!(rows.len(), 5);
    for row in &rows {
        let category = &row["category"];
        let [knots, kmh] = questions(&department, &format!("saffir-simpson-{category}")) else {
            panic!("two questions")
        };
        for (question, unit) in [(knots, "knots"), (kmh, "km/h")] {
            let words = [format!("category {category}"), unit.to_owned()];
            assert!(words.iter().all(|words| question.question.contains(words)), "{:?}", question.question);
        }
        assert_eq!(knots.answer.text(), range(&row["knots_min"], &row["knots_max"], "knots"), "category {category}");
        assert_eq!(kmh.answer.text(), range(&row["kmh_min"], &row["kmh_max"], "km/h"), "category {category}");
    }
}

/// C. G. Newhall and S. Self (1982), The volcanic explosivity index (VEI), Journal of Geophysical
/// Research 87 (C2), 1231-1238: bulk volume of tephra.
#[test]
fn the_volcanic_explosivity_index_is_as_published() {
    let department = demonstration();
    let rows = rows("vei.csv");
    assert_eq!(rows.len(), 9);
    let mut held = 0;
    for row in &rows {
        let index = &row["vei"];
        let volume = |field: &str| row[field].parse::<f64>().ok();
        let limits = (volume("tephra_m3_min").expect("a volume"), volume("tephra_m3_max"));
        let own = match index.as_str() {
            "0" | "1" => continue,
            index => &questions(&department, &format!("vei-{index}"))[0],
        };
        assert!(own.question.contains(&format!("Volcanic Explosivity Index {index} ")), "{:?}", own.question);
        assert_eq!(volumes(&own.answer.text()), limits, "index {index}");
        held += 1;
    }
    assert_eq!(held, 7);
    let [lowest, next] = questions(&department, "smallest-eruptions") else { panic!("two questions") };
    let upper = rows[0]["tephra_m3_max"].parse::<f64>().expect("a volume");
    assert_eq!(lowest.answer.text(), "less than 10,000 cubic metres");
    assert_eq!(upper, 1e4);
    let limits = (rows[1]["tephra_m3_min"].parse().expect("a volume"), rows[1]["tephra_m3_max"].parse().ok());
    assert_eq!(volumes(&next.answer.text()), limits);
}

/// The limits that an answer such as `100 million cubic metres to 1 cubic kilometre` states, in cubic metres.
fn volumes(answer: &str) -> (f64, Option<f64>) {
    let open = answer.strip_suffix(" or more");
    let (from, to) = match open {
        Some(from) => (from, None),
        None => answer.split_once(" to ").map(|(from, to)| (from, Some(to))).expect("two limits"),
    };
    let unit = |text: &str| match text {
        text if text.contains("cubic kilometre") => Some(1e9),
        text if text.contains("cubic metre") => Some(1.0),
        _ => None,
    };
    let number = |text: &str| {
        let digits = text.split(' ').next().expect("a number").replace(',', "");
        digits.parse::<f64>().expect("a number") * if text.contains("million") { 1e6 } else { 1.0 }
    };
    let last = to.unwrap_or(from);
    let size = unit(from).or(unit(last)).expect("a unit");
    (number(from) * size, to.map(|to| number(to) * unit(to).expect("a unit")))
}

/// F. Mohs's ten reference minerals (1812).
#[test]
fn the_mohs_scale_is_as_published() {
    let department = demonstration();
    let minerals: Vec<_> =
        rows("mohs.csv").into_iter().map(|row| (row["hardness"].clone(), row["mineral"].clone())).collect();
    let numbers: Vec<_> = minerals.iter().map(|(hardness, _)| hardness.parse::<usize>().expect("a number")).collect();
    assert_eq!(numbers, (1..=10).collect::<Vec<_>>());
    let mut stated = Vec::new();
    for id in ["mohs-one-to-five", "mohs-six-to-ten"] {
        let own = &questions(&department, id)[0];
        assert!(own.answer.ordered, "{id}");
        stated.extend(own.answer.points.iter().map(|point| point.value.clone()));
    }
    assert_eq!(stated, minerals.into_iter().map(|(_, mineral)| mineral).collect::<Vec<_>>());
}
