//! `too-many-points`: a list answer that is too long to be remembered.

use crate::check::context::CardView;
use crate::check::limit::is_near;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "too-many-points",
    level: Level::Error,
    summary: "a list answer has more points than the limit (5 unless the department sets it)",
    why: "All points of a list are asked for at once. A long list is hardly ever known in full, so the card comes back for ever, and nobody sees which point is missing.",
    wrong: "answer: [crust, upper mantle, lower mantle, outer core, inner core, plates]",
    right: "answer: [crust, mantle, outer core, inner core]",
    waivable: true,
    repairable: false,
    scope: Scope::Card(check),
};

/// Fewer points than this are never close to a limit.
const FEW: usize = 4;

fn check(view: &CardView<'_>, found: &mut Vec<Finding>) {
    let limit = view.context.settings().limits.points_in_an_answer;
    for question in view.card.questions.iter().filter(|question| question.answer.listed) {
        let points = &question.answer.points;
        let count = points.len();
        let help = "ask for the ones that belong together, and make a second card of the rest";
        if let Some(point) = points.get(limit) {
            let message = format!("this answer lists {count} points, more than {limit}");
            found.push(view.finding(&RULE, point.span, question.field("answer"), message).help(help));
        } else if let Some(point) = points.last().filter(|_| count >= FEW && is_near(count, limit)) {
            let message = format!("this answer lists {count} points, close to the limit of {limit}");
            let mut finding = view.finding(&RULE, point.span, question.field("answer"), message).help(help);
            finding.level = Level::Advice;
            found.push(finding);
        }
    }
}
