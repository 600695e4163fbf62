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
    /// The reader of our output went away; nobody wants to hear about it.
    silent: bool,
}

impl CliError {
    pub fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), help: None, silent: false }
    }

    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Says it on stderr and gives exit status 2.
    pub fn report(self) -> ExitCode {
        if self.silent {
            return ExitCode::SUCCESS;
        }
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
        let silent = error.kind() == std::io::ErrorKind::BrokenPipe;
        Self { silent, ..Self::new(format!("the output cannot be written: {error}")) }
    }
}
