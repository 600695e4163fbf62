//! Coverage as people read it: a bar for each topic, its sections, and the statements without a card.

use unicode_width::UnicodeWidthStr;

use super::words::{counted, cut, harmless};
use crate::source::{Counted, Coverage, SectionCoverage, TopicCoverage};

/// How many blocks a full bar has.
const BAR: usize = 20;

/// The whole coverage in lines of at most `width` columns.
pub fn text(coverage: &Coverage, width: usize) -> String {
    let mut text = String::new();
    for topic in &coverage.topics {
        text.push_str(&self::topic(topic, width));
        text.push('\n');
    }
    let total = &coverage.total;
    text.push_str(&format!("{} in all, {}\n", share(total), counted(total.cards, "card", "cards")));
    if total.covered < total.key_statements {
        let open = counted(total.key_statements - total.covered, "key statement has", "key statements have");
        text.push_str(&format!("{open} no card; `deckle draft FILE#SECTION` proposes some for a section\n"));
    }
    text
}

fn topic(topic: &TopicCoverage, width: usize) -> String {
    let name = topic.deck.as_deref().unwrap_or(&topic.path);
    let mut text = format!("{}: {}\n  {}\n", harmless(name), harmless(&topic.topic), share(&topic.counted));
    let shown = |section: &&SectionCoverage| section.counted.key_statements > 0 || section.counted.cards > 0;
    for section in topic.sections.iter().filter(shown) {
        text.push_str(&self::section(&topic.path, section, width));
    }
    text
}

fn section(path: &str, section: &SectionCoverage, width: usize) -> String {
    let Counted { key_statements, covered, cards } = section.counted;
    let heading = if section.heading.is_empty() { "(before the first heading)" } else { &section.heading };
    let of = format!("{covered} of {key_statements}");
    let mut text = format!("  {of:>8}  {}, {}\n", harmless(heading), counted(cards, "card", "cards"));
    for statement in section.statements.iter().filter(|statement| statement.cards.is_empty()) {
        let place = format!("{}:{}", harmless(path), statement.line);
        let room = width.saturating_sub(20).max(30);
        text.push_str(&format!("            no card: {}\n", cut(&harmless(&statement.text), room)));
        text.push_str(&format!("                     {place}\n"));
    }
    text
}

/// A bar with the numbers beside it: `█████████████████▌··  88 %, 7 of 8 key statements`.
fn share(counted: &Counted) -> String {
    // Full only when nothing is missing, empty only when nothing is there.
    let exact = counted.share() * BAR as f64;
    let full = match exact.round() as usize {
        BAR if counted.covered < counted.key_statements => BAR - 1,
        0 if counted.covered > 0 => 1,
        full => full,
    };
    let bar = format!("{}{}", "█".repeat(full), "░".repeat(BAR - full));
    debug_assert_eq!(bar.width(), BAR);
    let percent = (counted.share() * 100.0).floor();
    let statements = if counted.key_statements == 1 { "key statement" } else { "key statements" };
    format!("{bar} {percent:>3} %  {} of {} {statements}", counted.covered, counted.key_statements)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_say_with_blocks_what_the_numbers_say() {
        let counted = |covered, key_statements| Counted { key_statements, covered, cards: 0 };
        assert_eq!(share(&counted(0, 4)), format!("{}   0 %  0 of 4 key statements", "░".repeat(20)));
        assert_eq!(share(&counted(1, 2)), format!("{}{}  50 %  1 of 2 key statements", "█".repeat(10), "░".repeat(10)));
        assert_eq!(share(&counted(999, 1000)), format!("{}░  99 %  999 of 1000 key statements", "█".repeat(19)));
        assert_eq!(share(&counted(1, 1)), format!("{} 100 %  1 of 1 key statement", "█".repeat(20)));
        assert!(share(&counted(1, 1000)).starts_with("█░") && share(&counted(0, 0)).contains("100 %"));
    }
}
