//! `deckle explain`.

use clap::{Args, ValueEnum};
use serde::Serialize;

use super::error::CliError;
use super::{Outcome, output};
use crate::check::{Rule, all, find};
use crate::deck::fields::nearest;
use crate::report::{capital, json};

/// Explain a rule: what it means, a wrong and a right example, how to waive it
#[derive(Debug, Args)]
pub struct Arguments {
    /// The rule's name, as findings show it in brackets; without it, all rules, a line each.
    rule: Option<String>,
    /// Explain all rules.
    #[arg(long, conflicts_with = "rule")]
    all: bool,
    /// How to write it.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people.
    Text,
    /// As a page.
    Markdown,
    /// For programs, by schema/explain.schema.json.
    Json,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, CliError> {
    let rules: Vec<&Rule> = match &arguments.rule {
        Some(name) => vec![find(name).ok_or_else(|| unknown(name))?],
        None => all().iter().collect(),
    };
    let listed = arguments.rule.is_none() && !arguments.all;
    output::result(&match arguments.format {
        Format::Json => json::pretty(&rules.iter().map(|rule| RuleJson::from(*rule)).collect::<Vec<_>>()),
        Format::Text if listed => list(&rules),
        Format::Text => rules.iter().map(|rule| text(rule)).collect::<Vec<_>>().join("\n\n"),
        Format::Markdown if listed => table(&rules),
        Format::Markdown => rules.iter().map(|rule| markdown(rule)).collect::<Vec<_>>().join("\n"),
    })?;
    Ok(Outcome::Fine)
}

fn unknown(name: &str) -> CliError {
    let error = CliError::new(format!("there is no rule `{name}`"));
    match nearest(name, all().iter().map(|rule| rule.name)) {
        Some(near) => error.help(format!("did you mean `{near}`?")),
        None => error.help("`deckle explain` lists all rules"),
    }
}

fn list(rules: &[&Rule]) -> String {
    let width = rules.iter().map(|rule| rule.name.len()).max().unwrap_or(0);
    rules.iter().map(|rule| format!("{:width$}  {:7}  {}\n", rule.name, rule.level.word(), rule.summary)).collect()
}

fn text(rule: &Rule) -> String {
    let waive = if rule.waivable {
        format!(
            "To waive it on one card, with your reason:\n\n    allow:\n      {}: why this card is an exception",
            rule.name
        )
    } else {
        "It cannot be waived.".to_owned()
    };
    let repair = if rule.repairable { "\n`deckle check --fix` repairs it where it can.\n" } else { "" };
    format!(
        "{} ({})\n{}.\n\n{}\n\nWrong:\n\n{}\n\nRight:\n\n{}\n\n{waive}\n{repair}",
        rule.name,
        rule.level.word(),
        capital(rule.summary),
        rule.why,
        indented(rule.wrong),
        indented(rule.right),
    )
}

/// The table in the README is this one.
fn table(rules: &[&Rule]) -> String {
    let rows = rules.iter().map(|rule| {
        let yes = |yes: bool| if yes { "yes" } else { "" };
        format!(
            "| `{}` | {} | {} | {} | {} |\n",
            rule.name,
            rule.level.word(),
            rule.summary,
            yes(rule.waivable),
            yes(rule.repairable)
        )
    });
    format!(
        "| rule | level | what it finds | can be waived | `--fix` |\n| --- | --- | --- | --- | --- |\n{}",
        rows.collect::<String>()
    )
}

fn markdown(rule: &Rule) -> String {
    let waive =
        if rule.waivable { "It can be waived on a card under `allow`, with a reason." } else { "It cannot be waived." };
    let repair = if rule.repairable { " `deckle check --fix` repairs it where it can." } else { "" };
    format!(
        "## {}\n\n**{}**: {}.\n\n{}\n\nWrong:\n\n```yaml\n{}\n```\n\nRight:\n\n```yaml\n{}\n```\n\n{waive}{repair}\n",
        rule.name,
        rule.level.word(),
        rule.summary,
        rule.why,
        rule.wrong,
        rule.right
    )
}

fn indented(text: &str) -> String {
    text.lines().map(|line| format!("    {line}")).collect::<Vec<_>>().join("\n")
}

#[derive(Serialize)]
struct RuleJson {
    name: &'static str,
    level: crate::finding::Level,
    summary: &'static str,
    why: &'static str,
    wrong: &'static str,
    right: &'static str,
    waivable: bool,
    repairable: bool,
}

impl From<&Rule> for RuleJson {
    fn from(rule: &Rule) -> Self {
        let Rule { name, level, summary, why, wrong, right, waivable, repairable, .. } = *rule;
        Self { name, level, summary, why, wrong, right, waivable, repairable }
    }
}
