//! The hand-written cases of `tests/data/drift/`.

use super::{Case, changed, kept};

pub(super) fn cases() -> Vec<Case> {
    let mut out = read(include_str!("../../../tests/data/drift/prose.txt"));
    out.extend(read(include_str!("../../../tests/data/drift/prose-2.txt")));
    out.extend(read(include_str!("../../../tests/data/drift/prose-3.txt")));
    out
}

pub(super) fn read(text: &str) -> Vec<Case> {
    let blocks: Vec<&str> = text.split("\n\n").filter(|block| block.contains("\n= ")).collect();
    let sentence = |block: &str| block.lines().find_map(|line| line.strip_prefix("= ")).unwrap_or("").to_string();
    let all: Vec<String> = blocks.iter().map(|block| sentence(block)).collect();
    blocks.iter().enumerate().map(|(at, block)| case(block, at, &all)).collect()
}

fn case(block: &str, at: usize, all: &[String]) -> Case {
    let siblings = all
        .iter()
        .enumerate()
        .filter(|(other, sibling)| *other != at && **sibling != all[at])
        .map(|(_, sibling)| sibling.clone())
        .collect();
    let mut out = Case {
        question: String::new(),
        points: Vec::new(),
        ordered: false,
        sentence: all[at].clone(),
        around: None,
        heading: "The facts".into(),
        siblings,
        edits: Vec::new(),
    };
    for line in block.lines().filter(|line| !line.starts_with('#')) {
        let Some((mark, rest)) = line.split_once(' ') else { continue };
        let edit = || rest.split_once(": ").unwrap_or_else(|| panic!("no kind: {line}"));
        match mark {
            "Q:" => out.question = rest.into(),
            "A:" | "A>" => {
                out.points = rest.split(" | ").map(String::from).collect();
                out.ordered = mark == "A>";
            }
            "=" => {}
            "~" => out.around = Some(rest.into()),
            "+" => out.edits.push(kept(&format!("{} (prose)", edit().0), edit().1)),
            "-" => out.edits.push(changed(&format!("{} (prose)", edit().0), edit().1)),
            other => panic!("unknown mark {other}"),
        }
    }
    out
}
