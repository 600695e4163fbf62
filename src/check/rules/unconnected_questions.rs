//! `unconnected-questions`: questions on one card that have nothing to do with each other.

use std::collections::BTreeMap;

use petgraph::unionfind::UnionFind;

use crate::check::cited::section_of;
use crate::check::context::CardView;
use crate::check::refers::refers_back;
use crate::check::rule::{Rule, Scope};
use crate::deck::Question;
use crate::finding::{Finding, Level};
use crate::text::meaning_stems;

pub const RULE: Rule = Rule {
    name: "unconnected-questions",
    level: Level::Warning,
    summary: "questions on one card share neither a section of the notes nor any word that carries meaning",
    why: "A second question belongs on a card only when it is connected with the first. Unconnected ones are two cards: each has its own pace in the pile.",
    wrong: "question: What is an isobar?\nalso:\n  - question: Who put forward the idea of continental drift?",
    right: "question: What is an isobar?\nalso:\n  - question: What do isobars close together show?",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    let asked: Vec<_> = view.asked().collect();
    if asked.len() < 2 {
        return;
    }
    let groups = groups(view, &asked);
    let mut seen = vec![groups[0]];
    for (question, group) in asked.iter().zip(groups).skip(1) {
        if seen.contains(&group) {
            continue;
        }
        seen.push(group);
        let message = format!("`{}` has nothing to do with `{}`", question.question.value, asked[0].question.value);
        let finding = view.finding(&RULE, question.question.span, question.field("question"), message);
        let help = "make a card of its own of it; if the two do belong together, say so in the words of the question";
        found.push(finding.help(help).related(view.related(asked[0].question.span, "the question before is at")));
    }
}

/// For each question the number of its group of connected ones.
fn groups(view: &CardView<'_>, asked: &[&Question]) -> Vec<usize> {
    let mut groups = UnionFind::<usize>::new(asked.len());
    let mut holders: BTreeMap<Shared, usize> = BTreeMap::new();
    for (at, question) in asked.iter().enumerate() {
        if refers_back(question) {
            groups.union(0, at);
        }
        for shared in shared(view, question) {
            let holder = *holders.entry(shared).or_insert(at);
            groups.union(holder, at);
        }
    }
    groups.into_labeling()
}

/// What may connect two questions.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Shared {
    Section(String, String),
    Word(String),
}

fn shared(view: &CardView<'_>, question: &Question) -> Vec<Shared> {
    let texts = std::iter::once(&question.question).chain(&question.answer.points);
    let words = texts.flat_map(|text| meaning_stems(text)).map(Shared::Word);
    let section = section_of(view.deck, view.card, question).map(|(path, section)| Shared::Section(path, section));
    words.chain(section).collect()
}
