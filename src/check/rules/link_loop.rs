//! `link-loop`: cards that need each other in a circle.

use std::collections::{BTreeMap, HashMap, VecDeque};

use foldhash::fast::RandomState;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::check::context::CardView;
use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};
use crate::place::Span;

pub const RULE: Rule = Rule {
    name: "link-loop",
    level: Level::Error,
    summary: "cards need each other in a circle",
    why: "`needs` names what to know first. In a circle there is no first card: the pack cannot be put in order, and a pupil has nowhere to begin.",
    wrong: "- id: isobar\n  needs: [air-pressure]\n- id: air-pressure\n  needs: [isobar]",
    right: "- id: isobar\n  needs: [air-pressure]\n- id: air-pressure\n  see: [isobar]",
    waivable: false,
    repairable: false,
    scope: Scope::Department(check),
};

/// Which card needs which, by their numbers in the order of the department; on each link its place.
type Needs = DiGraph<(), Span>;

/// A longer way round is cut short.
const SHOWN: usize = 12;

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let cards: Vec<CardView<'_>> = context.cards().collect();
    let needs = needs(&cards);
    let mut loops: Vec<_> = kosaraju_scc(&needs).into_iter().filter(|group| group.len() > 1).collect();
    loops.iter_mut().for_each(|group| group.sort_unstable());
    loops.sort_unstable();
    for group in loops {
        found.push(finding(&cards, &shortest(&needs, &group)));
    }
}

fn needs(cards: &[CardView<'_>]) -> Needs {
    let mut by_id: HashMap<&str, usize, RandomState> = HashMap::default();
    for (at, view) in cards.iter().enumerate().filter(|(_, view)| !view.card.id.is_empty()) {
        by_id.entry(&view.card.id.value).or_insert(at);
    }
    let mut needs = Needs::with_capacity(cards.len(), cards.len());
    cards.iter().for_each(|_| _ = needs.add_node(()));
    for (at, view) in cards.iter().enumerate() {
        for entry in &view.card.needs {
            match by_id.get(entry.value.as_str()) {
                Some(&other) if other != at => {
                    _ = needs.add_edge(NodeIndex::new(at), NodeIndex::new(other), entry.span)
                }
                _ => {}
            }
        }
    }
    needs
}

/// A shortest way from the first card of the group back to itself: each card with the place where it
/// names the next one.
fn shortest(needs: &Needs, group: &[NodeIndex]) -> Vec<(NodeIndex, Span)> {
    let start = group[0];
    let mut from: BTreeMap<NodeIndex, (NodeIndex, Span)> = BTreeMap::new();
    let mut queue = VecDeque::from([start]);
    while let Some(at) = queue.pop_front().filter(|_| !from.contains_key(&start)) {
        let mut next: Vec<_> = needs.edges(at).map(|edge| (edge.target(), *edge.weight())).collect();
        next.sort_unstable();
        for (card, span) in next {
            if group.binary_search(&card).is_ok() && !from.contains_key(&card) {
                from.insert(card, (at, span));
                queue.push_back(card);
            }
        }
    }
    let mut way = Vec::new();
    let mut at = start;
    while let Some(&step) = from.get(&at) {
        way.push(step);
        at = step.0;
        if at == start {
            break;
        }
    }
    way.reverse();
    way
}

fn finding(cards: &[CardView<'_>], way: &[(NodeIndex, Span)]) -> Finding {
    let view = |at: NodeIndex| cards[at.index()];
    let id = |at: NodeIndex| view(at).card.id.value.as_str();
    let (first, span) = way[0];
    let between = if way.len() > SHOWN { " → …" } else { "" };
    let shown = way.iter().take(SHOWN).map(|(at, _)| id(*at)).collect::<Vec<_>>().join(" → ");
    let shown = format!("{shown}{between} → {}", id(first));
    let message = format!("these cards need each other in a circle: {shown}");
    let help = "decide which of them comes first and take its `needs` out, or make a `see` of it";
    let finding = view(first).finding(&RULE, span, "needs", message).help(help).about(&shown);
    way.iter().take(SHOWN).skip(1).fold(finding, |finding, (at, span)| {
        finding.related(view(*at).related(*span, format!("`{}` needs the next one at", id(*at))))
    })
}
