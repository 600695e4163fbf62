//! A place for running commands that nothing outside it has an influence on.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// A home and a working folder of its own, a cleared environment, and an identity, a clock, a time
/// zone, a language and a width that are always the same.
#[derive(Debug)]
pub struct TestEnv {
    temp: TempDir,
    root: PathBuf,
    author: String,
    date: String,
}

/// What a command said: all of it as one text, and its parts.
#[derive(Clone, Debug, PartialEq, Eq)]
#[must_use]
pub struct Said {
    /// What went to stdout.
    pub stdout: String,
    /// What went to stderr.
    pub stderr: String,
    /// The exit status; `None` when a signal ended it.
    pub status: Option<i32>,
}

impl Said {
    /// Stdout, then stderr, then the status, with a line before each that has something to show.
    pub fn text(&self) -> String {
        let mut text = self.stdout.clone();
        if !self.stderr.is_empty() {
            _ = write!(text, "--- stderr\n{}", self.stderr);
        }
        match self.status {
            Some(0) => {}
            Some(status) => _ = writeln!(text, "--- exit status {status}"),
            None => text.push_str("--- ended by a signal\n"),
        }
        text
    }

    /// Stdout of a command that must have gone well.
    #[track_caller]
    pub fn fine(self) -> String {
        assert_eq!(self.status, Some(0), "{}", self.text());
        self.stdout
    }
}

impl TestEnv {
    /// A new one, empty.
    pub fn new() -> Self {
        let temp = tempfile::Builder::new().prefix("deckle-").tempdir().expect("a temporary folder");
        let root = temp.path().canonicalize().expect("it is there");
        for folder in ["home", "department"] {
            std::fs::create_dir(root.join(folder)).expect("a folder");
        }
        let config = "[init]\n\tdefaultBranch = main\n[user]\n\tname = Mara Okonjo\n\temail = mara.okonjo@ambleford-quay.example\n";
        std::fs::write(root.join("home/.gitconfig"), config).expect("written");
        Self { temp, root, author: "Mara Okonjo".to_owned(), date: "2026-09-07T09:00:00+00:00".to_owned() }
    }

    /// Another one with the same home and the same files.
    pub fn copy(&self) -> Self {
        let copy = Self { author: self.author.clone(), date: self.date.clone(), ..Self::new() };
        for entry in walkdir::WalkDir::new(&self.root).min_depth(1) {
            let entry = entry.expect("it can be read");
            let to = copy.root.join(entry.path().strip_prefix(&self.root).expect("it is inside"));
            if entry.file_type().is_dir() {
                std::fs::create_dir_all(to).expect("a folder");
            } else {
                std::fs::copy(entry.path(), to).expect("copied");
            }
        }
        copy
    }

    /// Lets the commits from now on be made by somebody else, or at another time, such as
    /// `2026-09-08T10:30:00+00:00`.
    pub fn author(&mut self, name: &str, date: &str) {
        (self.author, self.date) = (name.to_owned(), date.to_owned());
    }

    /// The folder in which commands run.
    pub fn work(&self) -> PathBuf {
        self.root.join("department")
    }

    /// A path in the working folder.
    pub fn path(&self, path: &str) -> PathBuf {
        self.work().join(path)
    }

    /// Writes a file in the working folder, and the folders above it.
    pub fn write(&self, path: &str, text: impl AsRef<[u8]>) {
        let path = self.path(path);
        std::fs::create_dir_all(path.parent().expect("it has a folder")).expect("folders");
        std::fs::write(path, text).expect("written");
    }

    /// What a file in the working folder holds.
    #[track_caller]
    pub fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.path(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
    }

    /// Runs the program.
    pub fn deckle(&self, args: &[&str]) -> Said {
        let mut command = assert_cmd::Command::from_std(self.command(env!("CARGO_BIN_EXE_deckle")));
        self.said(command.args(args).output().expect("deckle runs"))
    }

    /// Runs the program with more in its environment.
    pub fn deckle_with(&self, variables: &[(&str, &str)], args: &[&str]) -> Said {
        let mut command = self.command(env!("CARGO_BIN_EXE_deckle"));
        self.said(command.envs(variables.iter().copied()).args(args).output().expect("deckle runs"))
    }

    /// Runs git.
    pub fn git(&self, args: &[&str]) -> Said {
        self.said(self.command("git").args(args).output().expect("git runs"))
    }

    /// A command in the working folder with this environment and no other. Hooks find the program.
    pub fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.current_dir(self.work()).env_clear().envs(self.vars());
        command
    }

    fn vars(&self) -> Vec<(&'static str, String)> {
        let program = Path::new(env!("CARGO_BIN_EXE_deckle")).parent().expect("it has a folder");
        let path = std::env::var("PATH").unwrap_or_default();
        let home = self.root.join("home").display().to_string();
        vec![
            ("PATH", format!("{}:{path}", program.display())),
            ("XDG_CONFIG_HOME", format!("{home}/.config")),
            ("TMPDIR", self.root.display().to_string()),
            ("TZ", "UTC".to_owned()),
            ("LC_ALL", "C.UTF-8".to_owned()),
            ("NO_COLOR", "1".to_owned()),
            ("COLUMNS", "100".to_owned()),
            ("GIT_CONFIG_NOSYSTEM", "1".to_owned()),
            ("GIT_CONFIG_GLOBAL", format!("{home}/.gitconfig")),
            ("GIT_TERMINAL_PROMPT", "0".to_owned()),
            // No repository above the folder is ever found.
            ("GIT_CEILING_DIRECTORIES", self.root.display().to_string()),
            ("GIT_AUTHOR_NAME", self.author.clone()),
            ("GIT_AUTHOR_EMAIL", self.email()),
            ("GIT_AUTHOR_DATE", self.date.clone()),
            ("GIT_COMMITTER_NAME", self.author.clone()),
            ("GIT_COMMITTER_EMAIL", self.email()),
            ("GIT_COMMITTER_DATE", self.date.clone()),
            ("HOME", home),
        ]
    }

    fn email(&self) -> String {
        format!("{}@ambleford-quay.example", self.author.to_lowercase().replace(' ', "."))
    }

    fn said(&self, output: Output) -> Said {
        let text = |bytes: Vec<u8>| self.normal(&String::from_utf8_lossy(&bytes));
        Said { stdout: text(output.stdout), stderr: text(output.stderr), status: output.status.code() }
    }

    /// `text` with `[TEMP]` for the temporary folder, however it is spelt.
    fn normal(&self, text: &str) -> String {
        let temp = self.temp.path().display().to_string();
        text.replace(&self.root.display().to_string(), "[TEMP]").replace(&temp, "[TEMP]")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commits_are_the_same_bytes_wherever_they_are_made() {
        let commit = || {
            let mut env = TestEnv::new();
            env.write("a b/ü.txt", "one\n");
            env.author("Idris Penhale", "2026-09-08T10:30:00+00:00");
            for args in [&["init", "--quiet"][..], &["add", "."], &["commit", "--quiet", "--message", "one"]] {
                assert_eq!(env.git(args).fine(), "");
            }
            env.git(&["log", "--format=%H %an <%ae> %ct %D"]).fine()
        };
        let once = commit();
        assert!(
            once.ends_with(" Idris Penhale <idris.penhale@ambleford-quay.example> 1788863400 HEAD -> main\n"),
            "{once}"
        );
        assert_eq!(commit(), once);
    }

    #[test]
    fn what_is_said_is_one_text_without_paths_of_the_machine() {
        let env = TestEnv::new();
        let said = env.git(&["-C", env.path("none").to_str().expect("UTF-8"), "status"]);
        assert_eq!(said.status, Some(128));
        let expected = "--- stderr\nfatal: cannot change to '[TEMP]/department/none': No such file or directory\n--- exit status 128\n";
        assert_eq!(said.text(), expected);
    }

    #[test]
    fn nothing_of_the_environment_outside_comes_in() {
        let env = TestEnv::new();
        let output = env.command("env").output().expect("env runs");
        let names = String::from_utf8_lossy(&output.stdout).into_owned();
        let names: Vec<_> = names.lines().filter_map(|line| line.split_once('=')).map(|(name, _)| name).collect();
        assert_eq!(names.len(), env.vars().len(), "{names:?}");
        assert_eq!(env.git(&["config", "--list", "--show-scope"]).fine().matches("system").count(), 0);
    }

    #[test]
    fn asking_the_program_for_help_leaves_no_trace() {
        let env = TestEnv::new();
        env.write("kept.txt", "kept\n");
        let said = env.deckle(&["--help"]);
        assert_eq!(said.status, Some(0), "{}", said.text());
        let files = walkdir::WalkDir::new(&env.root).into_iter().filter_map(Result::ok);
        let files: Vec<_> = files.filter(|entry| entry.file_type().is_file()).map(|entry| entry.into_path()).collect();
        assert_eq!(files.len(), 2, "{files:?}");
        assert_eq!(env.read("kept.txt"), "kept\n");
    }
}
