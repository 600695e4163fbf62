//! `unsafe-picture`: a picture that is more than a picture, or none.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::check::context::Context;
use crate::check::picture::{Fault, faults};
use crate::check::rule::{Rule, Scope};
use crate::deck::department::{join, with_slashes};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "unsafe-picture",
    level: Level::Error,
    summary: "a picture holds scripts or points outside of itself, leaves the department, is too large, or is no picture",
    why: "Pictures are put into pages that pupils open on their own devices. A drawing can hold a script, or fetch something from the network behind their backs; a path can lead to a file that is nobody's business.",
    wrong: "pictures:\n  - file: ../../../private.png",
    right: "pictures:\n  - file: pictures/contours.svg",
    waivable: false,
    repairable: false,
    scope: Scope::Department(check),
};

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let faults = faults_by_path(context);
    for view in context.cards() {
        for (at, picture) in view.card.pictures.iter().enumerate().filter(|(_, picture)| !picture.file.is_empty()) {
            let file = picture.file.value.as_str();
            let field = format!("pictures[{at}].file");
            let Some(path) = join(&view.deck.folder(), file) else {
                let (message, help) = match with_slashes(&view.deck.folder(), file) {
                    Some(path) => (
                        format!("the path of the picture `{file}` is written as only some computers read it"),
                        format!("write `/` between folders: `{path}`"),
                    ),
                    None => (
                        format!("the picture `{file}` lies outside of the department"),
                        "put it into the deck's own folder, and write the path from there, as in `pictures/hill.svg`"
                            .to_owned(),
                    ),
                };
                found.push(view.finding(&RULE, picture.file.span, field, message).help(help).about(file));
                continue;
            };
            for fault in faults.get(&path).into_iter().flatten() {
                let message = format!("the picture `{file}` {}", fault.message());
                let finding = view.finding(&RULE, picture.file.span, field.clone(), message);
                found.push(finding.help(fault.help()).about(format!("{file} {}", fault.about())));
            }
        }
    }
}

/// What is wrong with the pictures that cards show; each is looked into once.
fn faults_by_path(context: &Context<'_>) -> BTreeMap<String, Vec<Fault>> {
    let shown = context.cards().flat_map(|view| {
        let folder = view.deck.folder();
        view.card.pictures.iter().filter_map(move |picture| join(&folder, &picture.file))
    });
    let paths: BTreeMap<String, ()> = shown.map(|path| (path, ())).collect();
    paths
        .into_par_iter()
        .map(|(path, ())| (faults(context.department, &path), path))
        .map(|(faults, path)| (path, faults))
        .collect()
}
