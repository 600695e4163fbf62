//! What an edit means to those who learn from the card.

use serde::{Deserialize, Serialize};

use super::fact::fact_differs;
use crate::deck::Value;
use crate::source::{asks_the_same, says_the_same};

/// What an edit means to those who learn from the card; what matters most comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Effect {
    /// A quantity, name, date, negation or word that carries the meaning of an answer; or the question
    /// asks for something else.
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
        "question" if asks_another(&points(before), &points(after)) => Effect::Fact,
        "answer" if points_differ(&points(before), &points(after), ordered) => Effect::Fact,
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

/// Whether the question is about something else now, and not only put in another way.
fn asks_another(before: &[String], after: &[String]) -> bool {
    let (before, after) = (before.join(" "), after.join(" "));
    fact_differs(&before, &after) && !asks_the_same(&before, &after)
}

/// Whether a point of the answer has another fact in it.
fn point_differs(before: &str, after: &str) -> bool {
    let formula = |text: &str| text.contains(['$', '='] as [char; 2]);
    fact_differs(before, after) && (formula(before) || formula(after) || !says_the_same(before, after))
}

fn points_differ(before: &[String], after: &[String], ordered: bool) -> bool {
    if before.len() != after.len() {
        return true;
    }
    if ordered {
        return before.iter().zip(after).any(|(before, after)| point_differs(before, after));
    }
    let mut left: Vec<&String> = after.iter().collect();
    for point in before {
        let Some(at) = left.iter().position(|other| !point_differs(point, other)) else { return true };
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
    fn a_question_put_in_another_way_is_wording() {
        let effect = |field: &str, before: &str, after: &str| {
            effect_of(field, Some(&Value::from(before)), Some(&Value::from(after)), false)
        };
        for field in ["question", "also[0].question"] {
            let (plain, longer) = ("What is a drainage basin?", "What do geographers mean by a drainage basin?");
            assert_eq!(effect(field, plain, longer), Effect::Wording);
            assert_eq!(effect(field, longer, plain), Effect::Wording);
            assert_eq!(effect(field, plain, "What is a watershed?"), Effect::Fact);
            assert_eq!(effect(field, "When did it erupt in 2010?", "When did it erupt in 2011?"), Effect::Fact);
        }
        assert_eq!(effect("answer", "a basin", "a basin by geographers"), Effect::Fact);
        assert_eq!(effect("answer", "1 March 2005", "March 1st, 2005"), Effect::Wording);
        assert_eq!(effect("answer", "$v = a$", "$v = b$"), Effect::Fact);
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
