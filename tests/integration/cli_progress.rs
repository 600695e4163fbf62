//! Progress of long work: a line at a terminal that is gone when the work is done, and nothing where nobody looks.

use super::releasing::department;

const PREVIEW: [&str; 7] = ["release", "--year", "8", "--term", "autumn", "--preview", "--out=out"];
const AT_ONCE: (&str, &str) = ("DECKLE_PROGRESS_AT_ONCE", "1");

#[cfg(unix)]
#[test]
fn a_line_says_what_is_being_done_and_goes_again() {
    use super::support::terminal::Terminal;

    let env = department();
    let mut at = Terminal::deckle_with(&env, &[AT_ONCE, ("TERM", "dumb"), ("NO_COLOR", "1")], &PREVIEW);
    at.sees("building the pack … ");
    let shown = at.ends(0);
    assert!(!shown.contains('\u{1b}'), "no signs that only some terminals know: {shown:?}");
    let last = shown.split("\r\n").map(|line| line.rsplit('\r').next().unwrap_or_default());
    let last: Vec<&str> = last.filter(|line| !line.trim().is_empty()).collect();
    assert!(last.iter().all(|line| !line.contains('…')) && last[0].contains("preview"), "{shown:?}");
    // What stood there is overwritten to its end.
    let line = shown.split("\r\n").next().unwrap_or_default();
    let drawn: Vec<&str> = line.split('\r').collect();
    let blank = drawn.iter().rposition(|part| part.trim().is_empty() && !part.is_empty()).expect("wiped");
    let width = |part: &str| part.chars().count();
    assert!(drawn[..blank].iter().all(|part| width(part) <= width(drawn[blank])), "{shown:?}");
}

#[test]
fn where_stderr_is_no_terminal_nothing_is_shown() {
    let env = department();
    let said = env.deckle_with(&[AT_ONCE], &PREVIEW);
    assert_eq!((said.status, said.stderr.as_str()), (Some(0), ""), "{}", said.text());
    assert!(!said.stdout.contains('…'), "{}", said.text());
    let said = env.deckle_with(&[AT_ONCE], &["check"]);
    assert_eq!((said.status, said.stderr.as_str()), (Some(0), ""), "{}", said.text());
}
