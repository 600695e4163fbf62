//! The rows of the table: work, held against other work, in one run.

use std::io;
use std::path::Path;
use std::time::Duration;

use crate::corpus::{self, Size, Written};
use crate::process::{Job, Taken, both, median};
use crate::{Options, repository, say, within};

/// Makes the department, measures all rows and prints them as they come.
pub fn measure(options: &Options) -> io::Result<()> {
    let temporary = tempfile::tempdir()?;
    let folder = options.folder.clone().unwrap_or_else(|| temporary.path().join("department"));
    let written = make(&folder, options.size)?;
    let Size { decks, cards } = options.size;
    let megabytes = |bytes: u64| bytes as f64 / 1e6;
    say(&format!(
        "{decks} decks of {cards} cards: {:.1} MB of decks, {:.1} MB of notes; medians of {} runs\n",
        megabytes(written.decks),
        megabytes(written.notes),
        options.runs
    ))?;
    say("| work | took | held against | took | ratio | at most |\n| --- | ---: | --- | ---: | ---: | ---: |")?;
    Table { options, folder: &folder, written }.rows()
}

fn make(folder: &Path, size: Size) -> io::Result<Written> {
    let written = corpus::write(folder, size)?;
    repository::commit(folder, size.decks)?;
    Ok(written)
}

struct Table<'a> {
    options: &'a Options,
    folder: &'a Path,
    written: Written,
}

impl Table<'_> {
    fn rows(&self) -> io::Result<()> {
        let check = self.deckle(&["check"]);
        let events = Job::new(&std::env::current_exe()?, &["events", &self.folder.display().to_string()], self.folder);
        let status = Job::new(Path::new("git"), &["status", "--short"], self.folder);
        status.run()?;
        let cold = || self.forget();
        let warm = || Ok(());
        self.row("`check`, cold", &check, "files read, bare YAML events, one thread", &events, &cold, "2.5")?;
        self.row(
            "`check`, cold, one thread",
            &check.threads(1),
            "`check`, cold, two threads",
            &check,
            &|| self.forget(),
            "≥ 1.7",
        )?;
        self.memory(&check)?;
        say(&within::source_checks(self.folder, self.options.runs)?)?;
        check.run()?;
        self.row("`check`, nothing changed", &check, "`git status`", &status, &warm, "3")?;
        self.staged(&status)?;
        let review = self.deckle(&["review", "main..proposal"]);
        let diff = Job::new(Path::new("git"), &["diff", "main..proposal"], self.folder);
        review.run()?;
        self.row("`review` of 50 cards", &review, "`git diff`", &diff, &warm, "3")?;
        if self.options.ten_times { self.ten_times(&check) } else { Ok(()) }
    }

    /// One card changed and staged; the check of the index has been made for what stood there before.
    fn staged(&self, status: &Job) -> io::Result<()> {
        let staged = self.deckle(&["check", "--staged"]);
        let card = std::cell::Cell::new(0);
        staged.run()?;
        let before = || {
            card.set(card.get() + 1);
            repository::git(self.folder, &["reset", "--quiet", "--hard"])?;
            repository::edit(self.folder, self.options.size.decks / 2, card.get())?;
            repository::git(self.folder, &["add", "--all"])
        };
        self.row("`check --staged`, one card changed", &staged, "`git status`", status, &before, "8")?;
        repository::git(self.folder, &["reset", "--quiet", "--hard"])
    }

    fn memory(&self, check: &Job) -> io::Result<()> {
        let peaks: io::Result<Vec<u64>> = (0..self.options.runs.max(1))
            .map(|_| {
                self.forget()?;
                Ok(check.watched().run()?.peak)
            })
            .collect();
        let (peak, read) = (median(peaks?), self.written.decks + self.written.notes);
        let (shown, ratio) = (format!("{:.0} MB", peak as f64 / 1e6), peak as f64 / read as f64);
        say(&format!(
            "| peak memory of `check`, cold | {shown} | bytes read | {:.0} MB | {ratio:.2} | 4 |",
            read as f64 / 1e6
        ))
    }

    fn ten_times(&self, check: &Job) -> io::Result<()> {
        let temporary = tempfile::tempdir()?;
        let folder = temporary.path().join("large");
        corpus::write(&folder, Size { decks: 10 * self.options.size.decks, ..self.options.size })?;
        let large = Job::new(&self.options.program, &["check"], &folder);
        let (mut larges, mut smalls) = (Vec::new(), Vec::new());
        for _ in 0..self.options.runs.clamp(1, 3) {
            let Taken { time, .. } = large.run()?;
            larges.push(time);
            self.forget()?;
            smalls.push(check.run()?.time);
        }
        say(&line(
            "`check`, ten times the cards",
            median(larges),
            "ten times `check`, cold",
            median(smalls) * 10,
            "1.15",
        ))
    }

    fn row(
        &self,
        what: &str,
        job: &Job,
        against: &str,
        other: &Job,
        before: &dyn Fn() -> io::Result<()>,
        most: &str,
    ) -> io::Result<()> {
        let (took, other) = both(job, other, self.options.runs, before)?;
        say(&line(what, took, against, other, most))
    }

    fn deckle(&self, arguments: &[&str]) -> Job {
        Job::new(&self.options.program, arguments, self.folder)
    }

    /// Takes away what the program keeps between runs.
    fn forget(&self) -> io::Result<()> {
        match std::fs::remove_dir_all(self.folder.join(".git/deckle")) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }
}

/// A row of the table.
pub fn line(what: &str, took: Duration, against: &str, other: Duration, most: &str) -> String {
    let shown = |time: Duration| format!("{:.1} ms", time.as_secs_f64() * 1e3);
    let ratio = took.as_secs_f64() / other.as_secs_f64();
    format!("| {what} | {} | {against} | {} | {ratio:.2} | {most} |", shown(took), shown(other))
}
