//! Why a command could not do its work, in words for the person at the keyboard.

use std::process::ExitCode;

use super::output;
use crate::git::GitError;
use crate::git::site::SiteError;
use crate::report::harmless;
use crate::snapshot::SnapshotError;

/// A sentence, and what to do about it.
#[derive(Debug)]
pub struct CliError {
    message: String,
    help: Option<String>,
}

impl CliError {
    pub fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), help: None }
    }

    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Whether it says what to do.
    pub fn has_help(&self) -> bool {
        self.help.is_some()
    }

    /// Tells what was done to other files before, if anything was, and that the command can be run again.
    #[must_use]
    pub fn after(self, done: Option<String>) -> Self {
        match done {
            Some(done) => self.help(format!("{done} before; run the command again for the rest")),
            None => self,
        }
    }

    /// Says it on stderr and gives exit status 2.
    pub fn report(self) -> ExitCode {
        output::note(&format!("deckle: {}", harmless_lines(&self.message)));
        if let Some(help) = &self.help {
            output::note(&format!("  help: {}", harmless_lines(help)));
        }
        ExitCode::from(2)
    }
}

fn harmless_lines(text: &str) -> String {
    text.lines().map(harmless).collect::<Vec<_>>().join("\n")
}

impl From<SiteError> for CliError {
    fn from(error: SiteError) -> Self {
        let help = match &error {
            SiteError::NoDepartment(_) => {
                Some("go to a folder that holds `decks/`, or make a department with `deckle start`")
            }
            SiteError::NoRepository(_) => {
                Some("make it a repository with `git init`, or start a department with `deckle start`")
            }
            SiteError::Snapshot(_) | SiteError::Git(_) => None,
        };
        Self { help: help.map(str::to_owned), ..Self::new(error.to_string()) }
    }
}

impl From<SnapshotError> for CliError {
    fn from(error: SnapshotError) -> Self {
        Self::new(error.to_string())
    }
}

impl From<GitError> for CliError {
    fn from(error: GitError) -> Self {
        Self::new(error.to_string())
    }
}

impl From<std::io::Error> for CliError {
    fn from(error: std::io::Error) -> Self {
        Self::new(format!("the output cannot be written: {error}"))
    }
}
