//! What the tour is played on: folders, people, and commands that are run and shown.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use include_dir::{Dir, include_dir};

use crate::cli::error::CliError;
use crate::cli::output;
use crate::git::install::{self, ATTRIBUTES, HOOKS};
use crate::report::harmless;
use crate::snapshot::write;

/// The demonstration department.
static DEMONSTRATION: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/decks");

/// An invented person of the invented school.
#[derive(Clone, Copy, Debug)]
pub struct Person {
    pub name: &'static str,
    pub email: &'static str,
}

/// How a command of the tour must end, so that the tour tells the truth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    Well,
    /// It refuses, or leaves something to decide.
    Refusing,
}

pub struct Stage {
    /// The department.
    pub folder: PathBuf,
    git_config: PathBuf,
    path: std::ffi::OsString,
    step: usize,
    /// Seconds since the first commit, so that dates are the same on every tour.
    clock: i64,
}

/// 2026-11-23, 09:00 in London.
const START: i64 = 1_795_424_400;

impl Stage {
    /// Sets up the demonstration department in `folder`; `aside` is for files that nobody keeps.
    pub fn new(folder: &Path, aside: &Path) -> Result<Self, CliError> {
        let program = std::env::current_exe()?;
        let own = program.parent().map(Path::to_path_buf).into_iter();
        let rest = std::env::var_os("PATH").unwrap_or_default();
        let path = std::env::join_paths(own.chain(std::env::split_paths(&rest)))
            .map_err(|error| CliError::new(error.to_string()))?;
        let git_config = aside.join("no-git-settings");
        write::replace(&git_config, b"")?;
        let stage = Self { folder: folder.join("department"), git_config, path, step: 0, clock: START };
        stage.unpack()?;
        Ok(stage)
    }

    fn unpack(&self) -> Result<(), CliError> {
        unpack(&DEMONSTRATION, &self.folder.join("decks"))?;
        for (name, text) in HOOKS {
            let hook = self.folder.join("hooks").join(name);
            write::replace(&hook, text.as_bytes())?;
            install::executable(&hook)?;
        }
        for (name, text) in crate::schemas::ALL {
            write::replace(&self.folder.join("schema").join(name), text.as_bytes())?;
        }
        write::replace(&self.folder.join(".gitattributes"), ATTRIBUTES.as_bytes())?;
        Ok(())
    }

    /// Starts a step: a heading and a sentence.
    pub fn step(&mut self, title: &str, sentence: &str) -> Result<(), CliError> {
        self.step += 1;
        let bold = anstyle::Style::new().bold();
        output::result(&format!("\n{bold}{}. {title}{bold:#}\n{sentence}\n", self.step))
    }

    /// A sentence.
    pub fn say(&self, sentence: &str) -> Result<(), CliError> {
        output::result(&format!("\n{sentence}\n"))
    }

    /// Runs a command as `person` and shows it with what it printed.
    pub fn run(&mut self, person: Person, ends: Ends, arguments: &[&str]) -> Result<(), CliError> {
        let shown: Vec<String> = arguments.iter().map(|word| quoted(word)).collect();
        output::result(&format!("\n$ {}\n", shown.join(" ")))?;
        let ran = self.command(person, arguments)?;
        let printed = [ran.stdout, ran.stderr].concat();
        for line in String::from_utf8_lossy(&printed).lines() {
            output::result(&format!("  {}\n", harmless(&self.without_folders(line))))?;
        }
        let well = ran.status.success();
        if well != (ends == Ends::Well) {
            return Err(CliError::new(format!(
                "the tour expected `{}` to {}",
                arguments.join(" "),
                if well { "refuse" } else { "work" }
            )));
        }
        Ok(())
    }

    /// Runs a command that works, keeps what it printed in a file beside the department, and shows the
    /// command.
    pub fn keep(&mut self, person: Person, arguments: &[&str], name: &str) -> Result<(), CliError> {
        output::result(&format!("\n$ {} > ../{name}\n", arguments.join(" ")))?;
        let ran = self.command(person, arguments)?;
        if !ran.status.success() {
            return Err(CliError::new(format!("the tour expected `{}` to work", arguments.join(" "))));
        }
        Ok(write::replace(&self.folder.join("..").join(name), &ran.stdout)?)
    }

    /// Runs a command that is not worth showing.
    pub fn quietly(&mut self, person: Person, arguments: &[&str]) -> Result<(), CliError> {
        let ran = self.command(person, arguments)?;
        if ran.status.success() {
            return Ok(());
        }
        let said = String::from_utf8_lossy(&ran.stderr).into_owned();
        Err(CliError::new(format!("`{}` did not work on the tour: {}", arguments.join(" "), said.trim())))
    }

    fn command(&mut self, person: Person, arguments: &[&str]) -> Result<Output, CliError> {
        self.clock += 600;
        let date = format!("{} +0000", self.clock);
        let mut command = Command::new(arguments[0]);
        command.args(&arguments[1..]).current_dir(&self.folder).env("PATH", &self.path);
        for name in ["GIT_DIR", "GIT_INDEX_FILE", "GIT_WORK_TREE", "GIT_PREFIX"] {
            command.env_remove(name);
        }
        command.env("GIT_CONFIG_NOSYSTEM", "1").env("GIT_CONFIG_GLOBAL", &self.git_config).env("NO_COLOR", "1");
        command
            .env("GIT_PAGER", "cat")
            .env("GIT_EDITOR", "true")
            .env("LC_ALL", "C.UTF-8")
            .env("GIT_MERGE_AUTOEDIT", "no");
        for role in ["AUTHOR", "COMMITTER"] {
            command.env(format!("GIT_{role}_NAME"), person.name);
            command.env(format!("GIT_{role}_EMAIL"), person.email);
            command.env(format!("GIT_{role}_DATE"), &date);
        }
        command.stdin(std::process::Stdio::null());
        let missing = |error| {
            let help = match arguments[0] {
                "deckle" => "hooks call the program by this name: keep it in a file called `deckle`",
                _ => "the tour needs git",
            };
            CliError::new(format!("`{}` cannot be run: {error}", arguments[0])).help(help)
        };
        command.output().map_err(missing)
    }

    /// Puts text behind a file's last line, and shows it.
    pub fn append(&self, path: &str, text: &str) -> Result<(), CliError> {
        let before = self.read(path)?;
        self.write(path, &format!("{before}{text}"))?;
        show(&format!("writes at the end of {path}"), text)
    }

    /// Replaces a text that stands in a file once, and shows it.
    pub fn replace(&self, path: &str, old: &str, new: &str) -> Result<(), CliError> {
        self.replace_quietly(path, old, new)?;
        show(&format!("writes in {path}"), new)
    }

    pub fn replace_quietly(&self, path: &str, old: &str, new: &str) -> Result<(), CliError> {
        let before = self.read(path)?;
        if before.matches(old).count() != 1 {
            return Err(CliError::new(format!("the tour expected `{old}` once in {path}")));
        }
        self.write(path, &before.replace(old, new))
    }

    pub fn read(&self, path: &str) -> Result<String, CliError> {
        std::fs::read_to_string(self.folder.join(path))
            .map_err(|error| CliError::new(format!("{path} cannot be read: {error}")))
    }

    fn write(&self, path: &str, text: &str) -> Result<(), CliError> {
        Ok(write::replace(&self.folder.join(path), text.as_bytes())?)
    }

    /// Folders that differ from tour to tour are left out of what is shown.
    fn without_folders(&self, line: &str) -> String {
        let above = self.folder.parent().unwrap_or(&self.folder).display().to_string();
        line.replace(&format!("{above}/"), "../")
    }
}

fn show(what: &str, text: &str) -> Result<(), CliError> {
    output::result(&format!("\n({what})\n"))?;
    for line in text.trim_matches('\n').lines() {
        output::result(&format!("  | {line}\n"))?;
    }
    Ok(())
}

fn quoted(word: &str) -> String {
    if word.contains(' ') { format!("\"{word}\"") } else { word.to_owned() }
}

fn unpack(from: &Dir<'_>, into: &Path) -> Result<(), CliError> {
    for file in from.files() {
        let name = file.path().file_name().unwrap_or_default();
        write::replace(&into.join(name), file.contents())?;
    }
    for folder in from.dirs() {
        unpack(folder, &into.join(folder.path().file_name().unwrap_or_default()))?;
    }
    Ok(())
}
