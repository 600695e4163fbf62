//! Cards from the open data, each with edits of its own mould.

use super::facts::{Country, Element, countries, elements, grouped, in_words};
use super::{Case, Edit, changed, kept};

pub(super) fn cases() -> Vec<Case> {
    let (countries, elements) = (countries(), elements());
    let mut out = Vec::new();
    for at in 0..countries.len() {
        let other = |step: usize| &countries[(at + step * 17) % countries.len()];
        let (one, two) = (&countries[at], other(1));
        for make in [capital, area, people, continent, larger, surveyed, journey, money, temperature] {
            let mut case = make(one, two, at);
            case.siblings = (2..6).map(|step| make(other(step), other(step + 1), at + step).sentence).collect();
            out.push(case);
        }
        out.push(neighbours([one, two, other(2), other(3)]));
    }
    for at in 0..elements.len() {
        let other = |step: usize| &elements[(at + step * 7) % elements.len()];
        for make in [symbol, protons, density, mass] {
            let mut case = make(&elements[at], other(1), at);
            case.siblings = (2..6).map(|step| make(other(step), other(step + 1), at + step).sentence).collect();
            out.push(case);
        }
    }
    out
}

fn case(question: String, answer: String, sentence: String, edits: Vec<Edit>) -> Case {
    // An edit that leaves the sentence as it was, or has nothing to say here, is none.
    let edits = edits.into_iter().filter(|edit| !edit.kind.is_empty() && edit.text != sentence).collect();
    Case {
        question,
        points: vec![answer],
        ordered: false,
        sentence,
        around: None,
        heading: "The facts".into(),
        siblings: Vec::new(),
        edits,
    }
}

fn capital(one: &Country, two: &Country, at: usize) -> Case {
    let (x, c, y, d) = (one.name, one.capital, two.name, two.capital);
    let sentence = match at % 3 {
        0 => format!("The capital of {x} is {c}, where the parliament meets."),
        1 => format!("{c} is the capital of {x}, and the parliament meets there."),
        _ => format!("{x}'s capital is {c}, where the parliament meets."),
    };
    let mut edits = vec![
        kept("active and passive", format!("{c} is called the capital of {x}, where the parliament meets.")),
        kept("clause order", format!("Where the parliament meets is {c}, the capital of {x}.")),
        kept("genitive", format!("{x}'s capital is {c}, where the parliament meets.")),
        kept("synonym outside the answer", sentence.replace("where", "in which").replace("meets", "gathers")),
        kept("split sentence", format!("The capital of {x} is {c}. The parliament meets there.")),
        changed("name", sentence.replace(c, d)),
        changed("name in the question", sentence.replace(x, y)),
        changed("negation", sentence.replace(" is ", " is not ")),
        changed("negation, short form", sentence.replace(" is ", " isn't ")),
    ];
    // A country and capital of one name cannot be told apart by swapping.
    if !c.contains(x) && !x.contains(c) {
        edits.push(changed("swapped names", format!("The capital of {c} is {x}, where the parliament meets.")));
        edits.push(changed("swapped pairs", format!("The capital of {x} is {d} and the capital of {y} is {c}.")));
        edits.push(kept(
            "joined with another fact",
            format!("The capital of {x} is {c} and the capital of {y} is {d}."),
        ));
    }
    case(format!("What is the capital of {x}?"), c.into(), sentence, edits)
}

fn area(one: &Country, two: &Country, at: usize) -> Case {
    let (x, a) = (one.name, grouped(one.area, ","));
    let others = if one.continent == "Asia" { "Africa" } else { "Asia" };
    let sentence = match at % 2 {
        0 => format!("{x} covers {a} square kilometres and lies in {}.", one.continent),
        _ => format!("The area of {x}, which lies in {}, is {a} km².", one.continent),
    };
    let with = |number: &str| sentence.replace(&a, number);
    let unit = |unit: &str| sentence.replace("square kilometres", unit).replace("km²", unit);
    let digit = if one.area.to_string().contains('3') {
        one.area.to_string().replacen('3', "8", 1)
    } else {
        (one.area + 10).to_string()
    };
    let edits = vec![
        kept("thousands separators", with(&grouped(one.area, " "))),
        kept("thousands separators", with(&one.area.to_string())),
        kept(
            "exact unit conversion",
            sentence
                .replace(&a, &grouped(one.area * 100, ","))
                .replace("square kilometres", "hectares")
                .replace("km²", "hectares"),
        ),
        kept("spelling of a unit", unit("square kilometers")),
        kept("unit symbol", unit("km^2")),
        kept("unrelated name", sentence.replace(one.continent, others)).only_if(!x.contains(&one.continent[..4])),
        kept("approximation", with(&format!("about {a}"))),
        changed("digit", with(&digit)),
        changed("number of another", with(&grouped(if two.area == one.area { one.area * 3 } else { two.area }, ","))),
        changed("ten times", with(&grouped(one.area * 10, ","))),
        changed("unit", unit("square miles")),
        changed("unit of another dimension", unit("kilometres")),
        changed("comparison", with(&format!("more than {a}"))),
        changed("comparison", with(&format!("less than {a}"))),
    ];
    case(format!("How large is {x}?"), format!("{a} square kilometres"), sentence, edits)
}

fn people(one: &Country, two: &Country, _: usize) -> Case {
    let (x, n) = (one.name, grouped(one.people, ","));
    let sentence = format!("When they were last counted, {n} people lived in {x}.");
    let millions = format!("{}.{:06} million", one.people / 1_000_000, one.people % 1_000_000);
    let edits = vec![
        kept("scale word", sentence.replace(&n, &millions)),
        kept("clause order", format!("{x} had {n} people living there when they were last counted.")),
        kept("synonym outside the answer", sentence.replace("people lived", "inhabitants dwelt")),
        changed("number of another", sentence.replace(&n, &grouped(two.people + 1, ","))),
        changed("digit", sentence.replace(&n, &grouped(one.people + 100_000, ","))),
        changed("scale word", sentence.replace(&n, &millions.replace("million", "billion"))),
        changed("name in the question", sentence.replace(x, two.name)),
        changed("deletion in the sentence", format!("When they were last counted, many people lived in {x}.")),
    ];
    case(format!("How many people lived in {x} when they were last counted?"), n, sentence, edits)
}

fn continent(one: &Country, two: &Country, at: usize) -> Case {
    let (x, k) = (one.name, one.continent);
    let others =
        ["Africa", "Asia", "Europe", "Oceania"].into_iter().filter(|other| !k.contains(other)).collect::<Vec<_>>()
            [at % 3];
    let sentence = format!("The country of {x} lies on the continent of {k}.");
    let edits = vec![
        kept("clause order", format!("On the continent of {k} lies the country of {x}.")),
        kept("synonym outside the answer", format!("The nation of {x} is situated on the continent of {k}.")),
        changed("name", sentence.replace(k, others)),
        changed("name in the question", sentence.replace(x, two.name)),
        changed("negation", sentence.replace("lies", "does not lie")),
    ];
    case(format!("On which continent does {x} lie?"), k.into(), sentence, edits)
}

fn larger(one: &Country, two: &Country, at: usize) -> Case {
    let (big, small) = if one.area >= two.area { (one.name, two.name) } else { (two.name, one.name) };
    let (more, less) = [
        ("larger", "smaller"),
        ("longer", "shorter"),
        ("warmer", "colder"),
        ("older", "younger"),
        ("higher", "lower"),
        ("wetter", "drier"),
    ][at % 6];
    let sentence = format!("On the whole {big} is {more} than {small}.");
    let edits = vec![
        kept("converse", format!("On the whole {small} is {less} than {big}.")),
        kept("clause order", format!("{big}, on the whole, is {more} than {small}.")),
        changed("opposite", sentence.replace(more, less)),
        changed("swapped names", format!("On the whole {small} is {more} than {big}.")),
        changed("negation", sentence.replace(" is ", " is not ")),
        changed("negation, never", sentence.replace(" is ", " is never ")),
    ];
    case(format!("Which is {more}, {big} or {small}?"), big.into(), sentence, edits)
}

fn surveyed(one: &Country, _: &Country, at: usize) -> Case {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let (day, month, year) = (at % 28 + 1, at * 7 % 12, 1850 + at);
    let (m, next) = (MONTHS[month], MONTHS[(month + 5) % 12]);
    let sentence =
        format!("The first survey of {} was finished on {day} {m} {year} by {} surveyors.", one.name, at % 9 + 40);
    let written = format!("{day} {m} {year}");
    let with = |date: String| sentence.replace(&written, &date);
    let edits = vec![
        kept("date form", with(format!("{m} {day}, {year}"))),
        kept("date form", with(format!("{year}-{:02}-{day:02}", month + 1))),
        kept("date form", with(format!("{day:02}/{:02}/{year}", month + 1))),
        kept("unrelated number", sentence.replace(&format!("{} surveyors", at % 9 + 40), "37 surveyors")),
        kept(
            "active and passive",
            format!("In all {} surveyors finished the first survey of {} on {written}.", at % 9 + 40, one.name),
        ),
        changed("date: year", with(format!("{day} {m} {}", year + 1))),
        changed("date: month", with(format!("{day} {next} {year}"))),
        changed("date: day", with(format!("{} {m} {year}", day % 28 + 1))),
        changed("date gone", sentence.replace(&format!(" on {written}"), "")),
        changed("ordinal", sentence.replace("first", "second")),
    ];
    case(format!("When was the first survey of {} finished?", one.name), written, sentence, edits)
}

fn journey(one: &Country, two: &Country, at: usize) -> Case {
    let (from, to) = (one.capital, two.capital);
    let way = [("north", "south"), ("east", "west"), ("southwards", "northwards"), ("uphill", "downhill")][at % 4];
    let sentence = format!("The old trade road runs {} from {from} to {to}.", way.0);
    let edits = vec![
        kept("clause order", format!("From {from} to {to} the old trade road runs {}.", way.0)),
        kept("synonym outside the answer", sentence.replace("road runs", "route goes")),
        changed("direction", sentence.replace(way.0, way.1)),
        changed("swapped names", format!("The old trade road runs {} from {to} to {from}.", way.0)),
        changed("name", sentence.replace(from, one.name)).only_if(from != one.name && !from.contains(one.name)),
    ];
    case(format!("Which way does the old trade road run from {from} to {to}?"), way.0.into(), sentence, edits)
}

fn money(one: &Country, two: &Country, at: usize) -> Case {
    let (x, m) = (one.name, one.money);
    let price = at % 50 + 3;
    let other = if two.money == m { "Shilling" } else { two.money };
    let sentence = format!("People in {x} pay with the {m}, and a loaf there costs about {price} coins.");
    let edits = vec![
        kept("unrelated number", sentence.replace(&format!("{price} coins"), &format!("{} coins", price + 9))),
        kept("clause order", format!("A loaf in {x} costs about {price} coins, and people there pay with the {m}.")),
        changed("name", sentence.replace(m, other)).only_if(!other.contains(m) && !m.contains(other)),
        changed("negation", sentence.replace("pay with", "do not pay with")),
        changed("negation", sentence.replace("pay with", "no longer pay with")),
    ];
    case(format!("What do people in {x} pay with?"), format!("The {m}"), sentence, edits)
}

fn temperature(one: &Country, _: &Country, at: usize) -> Case {
    // Not 40: forty below zero is the same in both scales.
    let degrees = at % 39 + 1;
    let minus = at.is_multiple_of(3);
    let written = format!("{}{degrees} °C", if minus { "−" } else { "" });
    let sentence = format!("The mean January temperature at the station in {} is {written}.", one.capital);
    let with = |text: String| sentence.replace(&written, &text);
    let kelvin = if minus { 27315 - 100 * degrees } else { 27315 + 100 * degrees };
    let edits = vec![
        kept(
            "number words",
            with(format!("{}{} degrees Celsius", if minus { "minus " } else { "" }, in_words(degrees as u64))),
        ),
        kept("exact unit conversion", with(format!("{}.{:02} K", kelvin / 100, kelvin % 100))),
        kept("dashes", with(format!("{}{degrees} °C", if minus { "-" } else { "" }))),
        changed("sign", with(format!("{}{degrees} °C", if minus { "" } else { "−" }))),
        changed("digit", with(format!("{}{} °C", if minus { "−" } else { "" }, degrees + 1))),
        changed("unit", with(format!("{}{degrees} °F", if minus { "−" } else { "" }))),
        changed("range", with(format!("{degrees} to {} °C", degrees + 5))).only_if(minus),
        changed("comparison", with(format!("at least {written}"))),
        changed("comparison", with(format!("{written} or less"))),
        changed("opposite", sentence.replace("mean January", "maximum January")),
    ];
    case(format!("What is the mean January temperature at the station in {}?", one.capital), written, sentence, edits)
}

fn neighbours(all: [&Country; 4]) -> Case {
    let [a, b, c, d] = all.map(|country| country.name);
    let sentence = format!("The partner schools of the department are in {a}, {b} and {c}.");
    let edits = vec![
        kept("list order", format!("The partner schools of the department are in {c}, {a} and {b}.")),
        kept("list commas", format!("The partner schools of the department are in {a}, {b}, and {c}.")),
        kept("clause order", format!("In {a}, {b} and {c} are the partner schools of the department.")),
        changed("list member", sentence.replace(b, d)),
        changed("list member gone", format!("The partner schools of the department are in {a} and {c}.")),
        changed("list member added", format!("The partner schools of the department are in {a}, {b}, {d} and {c}.")),
        changed("list member added", format!("The partner schools of the department are in {a}, {b}, {c} and {d}.")),
    ];
    let points = vec![a.to_string(), b.to_string(), c.to_string()];
    let question = "In which countries are the partner schools of the department?".to_string();
    Case { points, ..case(question, String::new(), sentence, edits) }
}

fn capitalised(name: &str) -> String {
    name[..1].to_uppercase() + &name[1..]
}

fn symbol(one: &Element, two: &Element, _: usize) -> Case {
    let sentence = format!("The chemical symbol of {} is {}.", one.name, one.symbol);
    let edits = vec![
        kept("clause order", format!("{} is the chemical symbol of {}.", one.symbol, one.name)),
        kept("wording", format!("{} has the chemical symbol {}.", capitalised(one.name), one.symbol)),
        changed("symbol", sentence.replace(&format!("is {}", one.symbol), &format!("is {}", two.symbol))),
        changed("subject", sentence.replace(one.name, two.name)),
        changed("negation", sentence.replace(" is ", " is not ")),
    ];
    case(format!("What is the chemical symbol of {}?", one.name), one.symbol.into(), sentence, edits)
}

fn protons(one: &Element, two: &Element, _: usize) -> Case {
    let n = one.number;
    let sentence = format!("An atom of {} has {n} protons in its nucleus.", one.name);
    let edits = vec![
        kept("number words", sentence.replace(&format!("has {n}"), &format!("has {}", in_words(n)))),
        kept("clause order", format!("In its nucleus an atom of {} has {n} protons.", one.name)),
        kept("inflection", format!("Atoms of {} have {n} protons in their nuclei.", one.name)),
        kept("wording", format!("There are {n} protons in the nucleus of an atom of {}.", one.name)),
        changed("digit", sentence.replace(&format!("has {n}"), &format!("has {}", n + 1))),
        changed("number words", sentence.replace(&format!("has {n}"), &format!("has {}", in_words(n + 10)))),
        changed("opposite", sentence.replace("protons", "electrons")),
        changed("subject", sentence.replace(one.name, two.name)),
        changed("comparison", sentence.replace("has", "has fewer than")),
    ];
    case(format!("How many protons has an atom of {}?", one.name), n.to_string(), sentence, edits)
}

fn density(one: &Element, two: &Element, at: usize) -> Case {
    let d = one.density;
    let value: f64 = d.parse().unwrap();
    let per_cubic_metre = format!("{:.4}", value * 1000.0);
    let sentence = match at % 2 {
        0 => format!("{} has a density of {d} g/cm³.", capitalised(one.name)),
        _ => format!("The density of {} is {d} grams per cubic centimetre.", one.name),
    };
    let convert = |unit: &str| sentence.replace("g/cm³", unit).replace("grams per cubic centimetre", unit);
    let other = if two.density == d { "77.5" } else { two.density };
    let edits = vec![
        kept(
            "exact unit conversion",
            convert("kg/m³").replace(d, per_cubic_metre.trim_end_matches('0').trim_end_matches('.')),
        ),
        kept("unit symbol", convert("g cm^-3")),
        kept("maths", convert("$\\text{g}/\\text{cm}^{3}$")),
        kept("genitive", format!("{}'s density is {d} g/cm³.", capitalised(one.name))),
        changed("number of another", sentence.replace(d, other)),
        changed("unit", convert("kg/m³")),
        changed("unit of another dimension", convert("g/cm²")),
        changed("term", sentence.replace("density", "hardness")),
    ];
    case(format!("What is the density of {}?", one.name), format!("{d} g/cm³"), sentence, edits)
}

fn mass(one: &Element, two: &Element, at: usize) -> Case {
    let m = one.mass;
    let sentence = format!("One mole of {} has a mass of {m} g, and the jar holds {} moles.", one.name, at % 7 + 2);
    let mut tenth = m.to_string();
    tenth.push('7');
    let tenth = if m.contains('.') { tenth } else { format!("{m}.7") };
    let edits = vec![
        kept("unrelated number", sentence.replace(&format!("{} moles", at % 7 + 2), "11 moles")),
        kept(
            "number form",
            sentence.replace(
                &format!("{m} g"),
                &format!("{}0 g", if m.contains('.') { m.to_string() } else { format!("{m}.") }),
            ),
        ),
        kept("unrelated edit", format!("One mole of {} has a mass of {m} g, and the jar is full.", one.name)),
        changed("digit", sentence.replace(&format!("{m} g"), &format!("{tenth} g"))),
        changed("unit", sentence.replace(&format!("{m} g"), &format!("{m} kg"))),
        changed("subject", sentence.replace(one.name, two.name)),
        changed("comparison", sentence.replace("mass of", "mass of at most")),
    ];
    case(format!("What is the mass of one mole of {}?", one.name), format!("{m} g"), sentence, edits)
}

impl Edit {
    /// The edit, or one without text when it would say nothing here.
    fn only_if(mut self, holds: bool) -> Edit {
        if !holds {
            self.kind.clear();
            self.text.clear();
        }
        self
    }
}
