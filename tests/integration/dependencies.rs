//! What the program stands on: licences, sources and bans as `.deny.toml` says, a reason above each
//! dependency, and none that nothing uses.

use std::collections::BTreeSet;
use std::process::Command;

use super::support::root;

fn file(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).expect("readable")
}

/// The texts in quotes of a list in `.deny.toml`, without comments.
fn listed(name: &str) -> Vec<String> {
    let text = file(".deny.toml");
    let list = text.split(&format!("\n{name} = [\n")).nth(1).expect("the list").split("\n]").next().expect("its end");
    let lines = list.lines().map(str::trim).filter(|line| !line.starts_with('#'));
    lines.filter_map(|line| line.split('"').nth(1)).map(str::to_owned).collect()
}

/// Every package that is built here, with its licence.
fn packages() -> Vec<(String, String)> {
    let output = Command::new(option_env!("CARGO").unwrap_or("cargo"))
        .args(["tree", "--workspace", "--locked", "--offline", "--prefix", "none"])
        .args(["--edges", "normal,build,dev", "--format", "{p}\t{l}"])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let lines: BTreeSet<String> = String::from_utf8_lossy(&output.stdout).lines().map(str::to_owned).collect();
    let named = lines.iter().filter_map(|line| line.trim_end_matches(" (*)").split_once('\t'));
    named.map(|(name, licence)| (name.to_owned(), licence.to_owned())).collect()
}

/// Whether what an SPDX expression asks for is among `allowed`: of alternatives one, of joined licences all.
fn allows(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let parts = |word: &str| {
        let (mut depth, mut parts, mut part) = (0_i32, Vec::new(), Vec::new());
        for token in expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ").split_whitespace() {
            depth += i32::from(token == "(") - i32::from(token == ")");
            if depth == 0 && token == word {
                parts.push(std::mem::take(&mut part).join(" "));
            } else {
                part.push(token.to_owned());
            }
        }
        parts.push(part.join(" "));
        parts
    };
    let (any, all) = (parts("OR"), parts("AND"));
    match expression.trim().strip_prefix("( ").and_then(|inner| inner.strip_suffix(" )")) {
        _ if any.len() > 1 => any.iter().any(|part| allows(part, allowed)),
        _ if all.len() > 1 => all.iter().all(|part| allows(part, allowed)),
        Some(inner) => allows(inner, allowed),
        None => allowed.contains(expression.trim()),
    }
}

#[test]
fn licence_expressions_are_read() {
    let allowed: BTreeSet<String> = ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].map(str::to_owned).into();
    for expression in
        ["MIT", "GPL-3.0 OR MIT", "MIT/Apache-2.0", "(MIT OR GPL-3.0) AND Zlib", "Apache-2.0 WITH LLVM-exception OR X"]
    {
        assert!(allows(expression, &allowed), "{expression}");
    }
    for expression in ["", "GPL-3.0", "MIT AND GPL-3.0", "(MIT OR Zlib) AND GPL-3.0", "Apache-2.0"] {
        assert!(!allows(expression, &allowed), "{expression}");
    }
}

#[test]
fn every_licence_is_an_allowed_one_and_every_allowed_one_is_met() {
    let allowed: BTreeSet<String> = listed("allow").into_iter().collect();
    let packages = packages();
    assert!(packages.len() > 200, "{}", packages.len());
    let refused: Vec<_> = packages.iter().filter(|(_, licence)| !allows(licence, &allowed)).collect();
    assert!(refused.is_empty(), "{refused:?}");
    for licence in &allowed {
        assert!(packages.iter().any(|(_, expression)| expression.contains(licence)), "nothing is under {licence}");
    }
}

#[test]
fn every_package_is_of_one_registry_and_none_is_banned() {
    let lock = file("Cargo.lock");
    let sources: BTreeSet<&str> = lock.lines().filter_map(|line| line.strip_prefix("source = ")).collect();
    assert_eq!(sources.len(), 1, "{sources:?}");
    assert!(sources.iter().all(|source| source.starts_with("\"registry+")), "{sources:?}");
    let banned = listed("deny");
    assert!(banned.len() > 3, "{banned:?}");
    for name in banned {
        assert!(!lock.contains(&format!("\nname = \"{name}\"\n")), "{name} is banned in .deny.toml");
    }
}

/// The dependencies of a manifest: the line above, the name, and what is said of it.
fn dependencies(manifest: &str) -> Vec<(String, String, String)> {
    let (text, mut before, mut inside, mut found) = (file(manifest), String::new(), false, Vec::new());
    for line in text.lines() {
        if line.starts_with('[') {
            inside = line.ends_with("dependencies]");
            // What stands above a section of one dependency is said of that one.
            if before.starts_with("# ") {
                continue;
            }
        } else if let Some((name, said)) = line.split_once(" = ").filter(|_| inside) {
            found.push((before.clone(), name.to_owned(), said.to_owned()));
        }
        before = line.to_owned();
    }
    found
}

#[test]
fn every_dependency_has_its_reason_above_it() {
    for manifest in ["Cargo.toml", "fuzz/Cargo.toml"] {
        let all = dependencies(manifest);
        assert!(all.len() > 4, "{manifest}");
        for (above, name, said) in all {
            assert!(above.starts_with("# ") && above.len() > 15, "{manifest}: {name} says no reason: {above:?}");
            assert!(!said.contains('*') && !said.contains("git ="), "{manifest}: {name} = {said}");
        }
    }
}

#[test]
fn every_dependency_is_used() {
    let sources = |top: &str| {
        let files = walkdir::WalkDir::new(root().join(top)).into_iter().filter_map(Result::ok);
        let rust = files.filter(|entry| entry.path().extension().is_some_and(|ending| ending == "rs"));
        rust.map(|entry| std::fs::read_to_string(entry.path()).expect("readable")).collect::<String>()
    };
    let (own, tests) = (sources("src"), sources("tests") + &sources("benches"));
    for (_, name, _) in dependencies("Cargo.toml") {
        let path = name.replace('-', "_");
        let used = |text: &str| {
            [format!("{path}::"), format!("use {path}"), format!("{path}!")].iter().any(|way| text.contains(way))
        };
        assert!(used(&own) || used(&tests), "{name} is used nowhere");
    }
}

/// Features beyond what is needed cost time to build and code to trust. What takes the defaults of a crate
/// stands here, looked through; anything else switches them off.
#[test]
fn features_are_the_least_that_do() {
    let whole = [
        "anstyle",
        "assert_cmd",
        "clap",
        "clap_complete",
        "clap_mangen",
        "csv",
        "include_dir",
        "indexmap",
        "rayon",
        "rust-stemmers",
        "serde",
        "serde_json",
        "serde_yaml",
        "sha2",
        "similar",
        "strsim",
        "tempfile",
        "thiserror",
        "unicode-normalization",
        "unicode-segmentation",
        "unicode-width",
        "walkdir",
    ];
    let defaults =
        dependencies("Cargo.toml").into_iter().filter(|(_, _, said)| !said.contains("default-features = false"));
    let mut names: Vec<String> = defaults.map(|(_, name, _)| name).collect();
    names.sort();
    assert_eq!(names, whole, "switch the default features off, or look them through and list the crate here");
}
