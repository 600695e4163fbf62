//! Printing: results to stdout, messages to stderr, colour only on a terminal.

use std::io::Write;

use super::error::CliError;

/// Prints a result.
pub fn result(text: &str) -> Result<(), CliError> {
    let mut stdout = anstream::stdout().lock();
    stdout.write_all(text.as_bytes())?;
    stdout.flush()?;
    Ok(())
}

/// Prints a message of one or more lines; a message that nobody can hear is not worth failing for.
pub fn note(text: &str) {
    let mut stderr = anstream::stderr().lock();
    _ = stderr.write_all(text.as_bytes()).and_then(|()| stderr.write_all(b"\n"));
}
