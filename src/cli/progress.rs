//! Progress of long work, on a terminal and nowhere else: a line on stderr from the second second on, which
//! goes again before anything else is said.
//!
//! By hand, since it is one line: crates for this bring bars, templates and a terminal layer of their own.

use std::io::{IsTerminal, Write};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use unicode_width::UnicodeWidthChar;

use crate::progress::{Progress, Quiet};
use crate::report::harmless;

/// Work that is over sooner shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);
/// The variable of the environment by which tests of a debug build do without patience.
#[cfg(debug_assertions)]
const AT_ONCE: &str = "DECKLE_PROGRESS_AT_ONCE";
/// How often the line is drawn anew.
const BEAT: Duration = Duration::from_millis(250);

/// The line as it stands.
struct Line {
    /// When the work began.
    start: Option<Instant>,
    /// What is being done; empty while nothing may be shown.
    what: String,
    /// The columns that are drawn on.
    drawn: usize,
    over: bool,
}

static LINE: Mutex<Line> = Mutex::new(Line { start: None, what: String::new(), drawn: 0, over: false });
static CHANGED: Condvar = Condvar::new();

/// Does `work`, which starts with `first`, and shows how it goes.
pub fn shown<T>(first: &str, work: impl FnOnce(&dyn Progress) -> T) -> T {
    if !std::io::stderr().is_terminal() {
        return work(&Quiet);
    }
    *line() = Line { start: Some(Instant::now()), what: String::new(), drawn: 0, over: false };
    Display.step(first);
    std::thread::scope(|scope| {
        scope.spawn(draw_until_over);
        // Also when the work ends in a panic.
        let _end = End;
        work(&Display)
    })
}

/// Takes the line away before something else is said; it comes back with the next beat.
pub fn wipe() {
    wiped(&mut line());
}

struct Display;

impl Progress for Display {
    fn step(&self, what: &str) {
        let mut line = line();
        line.what = harmless(what);
        draw_in_time(&mut line);
    }

    fn rest(&self) {
        let mut line = line();
        wiped(&mut line);
        line.what.clear();
    }
}

struct End;

impl Drop for End {
    fn drop(&mut self) {
        let mut line = line();
        wiped(&mut line);
        line.over = true;
        CHANGED.notify_all();
    }
}

fn draw_until_over() {
    let mut line = line();
    let mut wait = patience();
    while !line.over {
        line = CHANGED.wait_timeout(line, wait).unwrap_or_else(PoisonError::into_inner).0;
        if !line.over {
            wait = BEAT;
            draw_in_time(&mut line);
        }
    }
}

/// Draws the line, unless the work may be over before anybody asks what it does.
fn draw_in_time(line: &mut Line) {
    let since = line.start.map_or(Duration::ZERO, |start| start.elapsed());
    if since >= patience() {
        draw(line, since);
    }
}

fn patience() -> Duration {
    #[cfg(debug_assertions)]
    if std::env::var_os(AT_ONCE).is_some() {
        return Duration::ZERO;
    }
    PATIENCE
}

fn line() -> MutexGuard<'static, Line> {
    LINE.lock().unwrap_or_else(PoisonError::into_inner)
}

fn draw(line: &mut Line, since: Duration) {
    if line.what.is_empty() {
        return;
    }
    let (text, width) = fitted(&line.what, since, columns());
    let rest = " ".repeat(line.drawn.saturating_sub(width));
    line.drawn = width;
    say(&format!("\r{text}{rest}"));
}

fn wiped(line: &mut Line) {
    if line.drawn > 0 {
        say(&format!("\r{}\r", " ".repeat(line.drawn)));
        line.drawn = 0;
    }
}

/// What is shown and how wide it is: never as wide as the terminal, where a full line may start the next one.
fn fitted(what: &str, since: Duration, columns: usize) -> (String, usize) {
    let mut text = String::new();
    let mut width = 0;
    for letter in format!("{what} … {} s", since.as_secs()).chars() {
        let wide = letter.width().unwrap_or(0);
        if width + wide >= columns {
            break;
        }
        width += wide;
        text.push(letter);
    }
    (text, width)
}

fn columns() -> usize {
    terminal_size::terminal_size_of(std::io::stderr()).map_or(80, |(width, _)| usize::from(width.0))
}

/// Plain text without colours or other signs for the terminal; not worth failing for.
fn say(text: &str) {
    let mut stderr = std::io::stderr().lock();
    _ = stderr.write_all(text.as_bytes()).and_then(|()| stderr.flush());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_is_narrower_than_the_terminal() {
        let what = "checking the cards of year 7";
        assert_eq!(fitted(what, Duration::from_millis(2900), 80), (format!("{what} … 2 s"), 34));
        for columns in 0..40 {
            let (text, width) = fitted("山 checking", Duration::from_secs(12), columns);
            assert_eq!(unicode_width::UnicodeWidthStr::width(&*text), width);
            assert!(width < columns.max(1), "{text}");
        }
    }
}
