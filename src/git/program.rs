//! Running the `git` program.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::snapshot::step::{FAULT, step};

/// Why a git command did not work.
#[derive(Debug, thiserror::Error)]
pub enum GitError {
    /// There is no `git` to run.
    #[error("git cannot be run ({0}); is it installed?")]
    Missing(std::io::Error),
    /// Git said no.
    #[error("`git {command}` did not work: {message}")]
    Refused {
        /// What was run.
        command: String,
        /// What git said.
        message: String,
    },
}

/// Runs `git` in `folder` and gives what it printed, without the last line end.
///
/// # Errors
///
/// When git is not there, or says no; with what it said.
pub fn git(folder: &Path, arguments: &[&str]) -> Result<String, GitError> {
    run(folder, arguments, "", &[])
}

/// The same with variables of the environment set for it.
///
/// # Errors
///
/// When git is not there, or says no; with what it said.
pub fn git_in(folder: &Path, arguments: &[&str], variables: &[(&str, &Path)]) -> Result<String, GitError> {
    run(folder, arguments, "", variables)
}

/// The same with a text on its standard input.
///
/// # Errors
///
/// When git is not there, or says no; with what it said.
pub fn git_with(folder: &Path, arguments: &[&str], input: &str) -> Result<String, GitError> {
    run(folder, arguments, input, &[])
}

/// Runs `git` with the terminal of this program, so that the person sees and answers what hooks,
/// editors and signing ask, and says whether it did what it should.
///
/// # Errors
///
/// When git is not there.
pub fn git_seen(folder: &Path, arguments: &[&str]) -> Result<bool, GitError> {
    step().map_err(GitError::Missing)?;
    let mut command = Command::new("git");
    command.env_remove(FAULT).arg("-C").arg(folder).args(arguments);
    Ok(command.status().map_err(GitError::Missing)?.success())
}

fn run(folder: &Path, arguments: &[&str], input: &str, variables: &[(&str, &Path)]) -> Result<String, GitError> {
    step().map_err(GitError::Missing)?;
    let mut command = Command::new("git");
    // A fault that a test planned is this process's own.
    command.env_remove(FAULT);
    command.arg("-C").arg(folder).args(arguments).envs(variables.iter().copied());
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().map_err(GitError::Missing)?;
    if let Some(mut stdin) = child.stdin.take() {
        // A git that stops reading says why by its exit status.
        _ = stdin.write_all(input.as_bytes());
    }
    let output = child.wait_with_output().map_err(GitError::Missing)?;
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim_end().to_owned();
    if output.status.success() {
        return Ok(text(&output.stdout));
    }
    let message =
        [text(&output.stderr), text(&output.stdout)].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>();
    Err(GitError::Refused { command: arguments.join(" "), message: message.join("\n") })
}
