//! Printing: results to stdout, messages to stderr, colour only on a terminal.

use std::io::Write;

use super::error::CliError;
use super::progress;

/// Prints a result.
///
/// A reader that goes away has seen enough: the command goes on to its end, and its exit status is that
/// of the work.
pub fn result(text: &str) -> Result<(), CliError> {
    progress::wipe();
    let mut stdout = anstream::stdout().lock();
    match stdout.write_all(text.as_bytes()).and_then(|()| stdout.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        written => Ok(written?),
    }
}

/// Prints a message of one or more lines; a message that nobody can hear is not worth failing for.
pub fn note(text: &str) {
    progress::wipe();
    let mut stderr = anstream::stderr().lock();
    _ = stderr.write_all(text.as_bytes()).and_then(|()| stderr.write_all(b"\n"));
}
