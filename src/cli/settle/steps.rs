//! Deciding step by step on a terminal.

use std::io::BufRead;

use super::finish::{Answer, Decided, is_last, offer, say_rest, say_value};
use super::show::{described, keys, side_of_key};
use super::take::{Before, take};
use super::{Open, tell};
use crate::cli::error::CliError;
use crate::cli::{Outcome, output};
use crate::git::site::Site;
use crate::report::harmless;

/// What a person types at one field.
enum Word {
    Take(String),
    Skip,
    Undo,
    Quit,
    Nothing,
}

impl Word {
    fn of(open: &Open, answer: &str) -> Self {
        match answer.trim() {
            "" => Self::Nothing,
            "q" => Self::Quit,
            "s" => Self::Skip,
            "u" => Self::Undo,
            "b" => Self::Take("both".to_owned()),
            other => match side_of_key(open, other) {
                Some(side) => Self::Take(side),
                // A single letter is a slip of the finger, not a text.
                None if other.chars().count() == 1 && !other.chars().all(char::is_numeric) => Self::Nothing,
                None => Self::Take(other.to_owned()),
            },
        }
    }
}

/// Asks about each field in turn, and offers the commit when nothing is undecided any more.
pub fn step_by_step(site: &Site, all: Vec<Open>) -> Result<Outcome, CliError> {
    tell(&super::marked::marked(site)?)?;
    output::result(&super::links::told(&super::links::left_behind(site)?))?;
    let mut lines = std::io::stdin().lock().lines();
    let mut done: Vec<(usize, Before)> = Vec::new();
    let mut at = 0;
    loop {
        let Some(open) = all.get(at) else {
            if done.is_empty() || !is_last(site)? {
                break;
            }
            let decided: Vec<Decided<'_>> = done.iter().map(|(at, before)| (&all[*at], before)).collect();
            match offer(site, &decided, &mut lines)? {
                Answer::Ended(outcome) => return Ok(outcome),
                Answer::Undo => at = undo(&mut done)?.unwrap_or(at),
            }
            continue;
        };
        output::note(&format!("{} of {}: {}", at + 1, all.len(), described(site, open).trim_end()));
        let more_keys = keys(open);
        let more = if open.stays_or_goes() { "" } else { ", [b]oth, another text" };
        output::note(&format!("take {more_keys}{more}, [s]kip, [u]ndo the last, [q]uit:"));
        let Some(answer) = lines.next().transpose()? else { break };
        match Word::of(open, &answer) {
            Word::Nothing => output::note(&unknown(&answer, &more_keys)),
            Word::Quit => break,
            Word::Skip => at += 1,
            Word::Undo => at = undo(&mut done)?.unwrap_or(at),
            Word::Take(word) => match take(site, open, &word) {
                Ok(before) => {
                    say_value(site, open)?;
                    done.push((at, before));
                    at += 1;
                }
                Err(error) => _ = error.report(),
            },
        }
    }
    if done.is_empty() { Ok(Outcome::Findings) } else { say_rest(site) }
}

/// Why nothing was decided. A field that says nothing is typed by mistake as well.
fn unknown(answer: &str, keys: &str) -> String {
    let typed = harmless(answer.trim());
    let what = if typed.is_empty() { "nothing was typed".to_owned() } else { format!("`{typed}` is none of these") };
    format!("{what}: type {keys}, another of the letters in brackets, or a whole text of your own\n")
}

/// Takes the last decision back and gives where it was made.
fn undo(done: &mut Vec<(usize, Before)>) -> Result<Option<usize>, CliError> {
    let Some((last, before)) = done.pop() else { return Ok(None) };
    before.put_back()?;
    Ok(Some(last))
}
