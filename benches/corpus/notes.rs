//! The notes of a deck: sections that hold its facts, with sentences around them.

use super::facts::Fact;
use super::words::{ADJECTIVES, FEATURES, ROCKS, draw, name, one_of};
use super::{IN_A_SECTION, Size, number};

/// The notes of a deck, as Markdown.
pub fn text(size: Size, deck: usize) -> String {
    let mut text = format!("# The land around {}\n", name(deck));
    for section in 0..size.cards.div_ceil(IN_A_SECTION) {
        text.push_str(&format!("\n## {}\n", heading(deck, section)));
        let cards = section * IN_A_SECTION..size.cards.min((section + 1) * IN_A_SECTION);
        for (at, card) in cards.enumerate() {
            let number = number(size, deck, card);
            text.push_str(match at % 4 {
                0 => "\n",
                _ => " ",
            });
            text.push_str(&Fact::new(number).sentence);
            text.push(' ');
            text.push_str(&around(number));
            if at % 4 == 3 {
                text.push('\n');
            }
        }
        text.push('\n');
    }
    text
}

/// The section's name in links.
pub fn anchor(deck: usize, section: usize) -> String {
    heading(deck, section).to_lowercase().replace(' ', "-")
}

fn heading(deck: usize, section: usize) -> String {
    let place = name(deck * 31 + section);
    let kind = ["The country round", "Walks near", "Work in", "Water at", "The coast by", "Weather over"];
    format!("{} {place} {}", kind[(deck + section) % kind.len()], section + 1)
}

/// A sentence or two that no card asks for.
fn around(seed: usize) -> String {
    let adjective = |salt| one_of(&ADJECTIVES, seed, salt);
    let feature = |salt| one_of(&FEATURES, seed, salt);
    let (a, b, c, d) = (adjective(3), feature(4), adjective(5), feature(6));
    match draw(seed, 7) % 8 {
        0 => format!("A {a} {b} lies beside a {c} {d}, and walkers can see how one grew out of the other."),
        1 => {
            format!("Where the {b} is {a}, water stays longer, and the **{d}** below it is {c} for most of the winter.")
        }
        2 => format!("Maps show the {b} with thin lines; on the ground it is {a}, and the {d} behind it is {c}."),
        3 => format!(
            "The {a} {b} was cut into {} long before people drained the {d} and made it {c}.",
            one_of(&ROCKS, seed, 8)
        ),
        4 => format!("After heavy rain the {b} turns {a}; stones roll, sand settles, and the {d} is left {c}."),
        5 => format!("Sheep graze the {a} {b} in summer, while the {d}, which is {c}, is left to birds."),
        6 => format!("You can sketch the {b} from the road: first its {a} edge, then the {c} {d} in front of it."),
        _ => format!("Few people notice that the {b} is {a} because the {d} hides it and looks {c} from below."),
    }
}
