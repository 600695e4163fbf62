//! Edits that any sentence can have.

use super::{AFTER, BEFORE, Case, Edit, changed, kept, notes};

/// Edits that any sentence can have.
pub(super) fn general(case: &Case) -> Vec<(Edit, String)> {
    let sentence = &case.sentence;
    let whole = notes(case, sentence);
    let wrapped = sentence
        .split(' ')
        .enumerate()
        .map(|(at, word)| {
            format!(
                "{}{word}",
                if at == 0 {
                    ""
                } else if at % 4 == 0 {
                    "\n"
                } else {
                    " "
                }
            )
        })
        .collect::<String>();
    let longest = sentence
        .split(' ')
        .filter(|word| word.chars().all(char::is_alphabetic))
        .max_by_key(|word| word.len())
        .unwrap_or("");
    let strong =
        if longest.is_empty() { sentence.clone() } else { sentence.replacen(longest, &format!("**{longest}**"), 1) };
    let fancy = sentence.replace('\'', "’").replace(" a ", "\u{a0}\u{61}\u{a0}").replace("tion", "ti\u{ad}on");
    let open = sentence.trim_end_matches('.');
    let here = format!("{BEFORE} {sentence} {AFTER}");
    vec![
        (kept("re-wrapping", ""), notes(case, &wrapped)),
        (kept("markup", ""), notes(case, &strong)),
        (kept("quotes, spaces, soft hyphens", ""), notes(case, &fancy)),
        (
            kept("neighbouring edit", ""),
            whole
                .replace(BEFORE, "The whole department agreed on 3 pages.")
                .replace(AFTER, "There is no test on 12 May."),
        ),
        (kept("moved section", ""), whole.replace(&here, BEFORE) + &format!("\n## New place\n\n{sentence}\n")),
        (kept("renamed section", ""), whole.replacen(&format!("## {}", case.heading), "## Another name", 1)),
        (
            kept("merged with the next sentence", ""),
            whole.replace(
                &here,
                &format!("{BEFORE} {open}, and pupils copy it into their books and learn it by heart."),
            ),
        ),
        (kept("as a list item", ""), whole.replace(&here, &format!("{BEFORE}\n\n- {sentence}\n- {AFTER}"))),
        (changed("deleted", ""), whole.replace(&here, &format!("{BEFORE} {AFTER}"))),
        (changed("taken back", ""), notes(case, &format!("It is not true that {sentence}"))),
    ]
}
