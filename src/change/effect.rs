//! What an edit means to those who learn from the card.

use serde::{Deserialize, Serialize};

use super::fact::fact_differs;
use crate::deck::Value;

/// What an edit means to those who learn from the card; what matters most comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Effect {
    /// A quantity, name, negation or word that carries the meaning of a question or an answer.
    Fact,
    /// Another wording of the same.
    Wording,
    /// Which cards to know first or to look at as well.
    Links,
    /// Where it was taken from.
    Source,
    /// What is to be seen.
    Picture,
    /// Anything else.
    Other,
}

impl Effect {
    /// The word that people read.
    pub fn word(self) -> &'static str {
        match self {
            Effect::Fact => "fact",
            Effect::Wording => "wording",
            Effect::Links => "links",
            Effect::Source => "source",
            Effect::Picture => "picture",
            Effect::Other => "other",
        }
    }
}

/// The effect of an edit of `field`, such as `answer` or `also[0].answer`; `ordered` says whether the
/// order of a list answer counts, before or after.
pub(super) fn effect_of(field: &str, before: Option<&Value>, after: Option<&Value>, ordered: bool) -> Effect {
    let name = field.rsplit('.').next().unwrap_or(field);
    match name {
        "question" | "answer" if points_differ(&points(before), &points(after), ordered) => Effect::Fact,
        "question" | "answer" | "accept" => Effect::Wording,
        "needs" | "see" => Effect::Links,
        "source" | "quote" => Effect::Source,
        "pictures" => Effect::Picture,
        // A whole further question that came or went.
        name if name.starts_with("also") => Effect::Fact,
        _ => Effect::Other,
    }
}

fn points(value: Option<&Value>) -> Vec<String> {
    match value {
        None => Vec::new(),
        Some(Value::List(items)) => items.iter().map(Value::line).collect(),
        Some(value) => vec![value.line()],
    }
}

fn points_differ(before: &[String], after: &[String], ordered: bool) -> bool {
    if before.len() != after.len() {
        return true;
    }
    if ordered {
        return before.iter().zip(after).any(|(before, after)| fact_differs(before, after));
    }
    let mut left: Vec<&String> = after.iter().collect();
    for point in before {
        let Some(at) = left.iter().position(|other| !fact_differs(point, other)) else { return true };
        left.swap_remove(at);
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(points: &[&str]) -> Value {
        Value::List(points.iter().map(|point| Value::from(*point)).collect())
    }

    #[test]
    fn the_order_of_points_is_a_fact_where_it_counts() {
        let (before, after) = (list(&["erosion", "transport"]), list(&["transport", "erosion"]));
        assert_eq!(effect_of("answer", Some(&before), Some(&after), true), Effect::Fact);
        assert_eq!(effect_of("answer", Some(&before), Some(&after), false), Effect::Wording);
        let fewer = list(&["erosion"]);
        assert_eq!(effect_of("answer", Some(&before), Some(&fewer), false), Effect::Fact);
        assert_eq!(effect_of("answer", Some(&fewer), Some(&Value::from("Erosion")), false), Effect::Wording);
    }

    #[test]
    fn each_field_has_its_effect() {
        let (one, two) = (Value::from("one thing"), Value::from("another thing"));
        for (field, effect) in [
            ("question", Effect::Fact),
            ("also[1].answer", Effect::Fact),
            ("also[1]", Effect::Fact),
            ("accept", Effect::Wording),
            ("also[0].accept", Effect::Wording),
            ("needs", Effect::Links),
            ("see", Effect::Links),
            ("source", Effect::Source),
            ("also[0].quote", Effect::Source),
            ("pictures", Effect::Picture),
            ("caution", Effect::Other),
            ("weight", Effect::Other),
        ] {
            assert_eq!(effect_of(field, Some(&one), Some(&two), false), effect, "{field}");
        }
        assert_eq!(effect_of("answer", None, Some(&one), false), Effect::Fact);
    }
}
