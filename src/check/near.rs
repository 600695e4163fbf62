//! Names that were probably meant.

/// How many names a hint offers.
const OFFERED: usize = 3;

/// The names near enough to `name` to be meant, nearest first; the very name in another spelling alone.
///
/// Capitals, blanks and underscores count for nothing. A short name may differ in one letter, a
/// longer one in up to three.
pub fn near<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted = folded(name);
    let length = wanted.chars().count();
    let reach = if length < 3 { 0 } else { (length / 4).clamp(1, 3) };
    let mut near: Vec<(usize, &str)> = Vec::new();
    for name in known {
        let other = folded(name);
        if other.chars().count().abs_diff(length) <= reach {
            near.push((strsim::damerau_levenshtein(&wanted, &other), name));
        }
    }
    near.sort_unstable();
    near.dedup();
    let reach = if near.first().is_some_and(|(distance, _)| *distance == 0) { 0 } else { reach };
    near.into_iter().take_while(|(distance, _)| *distance <= reach).map(|(_, name)| name).collect()
}

/// The question whether one of `near` was meant, for a hint; `None` when there is nothing near.
pub fn did_you_mean(near: &[impl AsRef<str>]) -> Option<String> {
    let mut names = near.iter().take(OFFERED).map(|name| format!("`{}`", name.as_ref())).collect::<Vec<_>>();
    let last = names.pop()?;
    Some(if names.is_empty() {
        format!("did you mean {last}?")
    } else {
        format!("did you mean {} or {last}?", names.join(", "))
    })
}

fn folded(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '_'], "-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_near_depends_on_the_length() {
        let known = ["attrition", "vei-2", "vei-3", "air-pressure", "sea"];
        assert_eq!(near("atrition", known), ["attrition"]);
        assert_eq!(near("Air Pressure", known), ["air-pressure"]);
        assert_eq!(near("vei-9", known), ["vei-2", "vei-3"]);
        assert_eq!(near("vei-2", known), ["vei-2"]);
        assert!(near("ox", known).is_empty() && near("abrasion", known).is_empty());
    }

    #[test]
    fn a_hint_offers_a_few_names() {
        assert_eq!(did_you_mean(&["a"]).as_deref(), Some("did you mean `a`?"));
        assert_eq!(did_you_mean(&["a", "b", "c", "d"]).as_deref(), Some("did you mean `a`, `b` or `c`?"));
        assert_eq!(did_you_mean(&[] as &[&str]), None);
    }
}
