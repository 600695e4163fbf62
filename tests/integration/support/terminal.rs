//! The program at a terminal of its own, with a person who waits for a question and answers it.

use std::io::{Read, Write};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use pty_process::blocking::{Command, Pty, open};

use super::env::TestEnv;

/// How long a question is waited for.
const PATIENCE: Duration = Duration::from_secs(60);

/// A program that runs at a terminal.
pub struct Terminal {
    child: std::process::Child,
    keyboard: std::sync::Arc<Pty>,
    screen: Receiver<Vec<u8>>,
    unread: String,
}

impl Terminal {
    /// Runs the program, without colours.
    pub fn deckle(env: &TestEnv, args: &[&str]) -> Self {
        Self::deckle_with(env, &[("TERM", "dumb"), ("NO_COLOR", "1")], args)
    }

    /// Runs the program with these variables in its environment; colours are shown unless one of them says not to.
    pub fn deckle_with(env: &TestEnv, variables: &[(&str, &str)], args: &[&str]) -> Self {
        let mut command = env.command(env!("CARGO_BIN_EXE_deckle"));
        command.args(args).env_remove("NO_COLOR").envs(variables.iter().copied());
        let (pty, pts) = open().expect("a terminal");
        let child = Command::from(command).spawn(pts).expect("deckle runs");
        let keyboard = std::sync::Arc::new(pty);
        let (shown, screen) = channel();
        let display = keyboard.clone();
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            // A terminal that nobody holds any more cannot be read.
            while let Ok(count @ 1..) = (&*display).read(&mut bytes) {
                if shown.send(bytes[..count].to_vec()).is_err() {
                    break;
                }
            }
        });
        Self { child, keyboard, screen, unread: String::new() }
    }

    /// Waits until `text` is shown.
    #[track_caller]
    pub fn sees(&mut self, text: &str) {
        let start = Instant::now();
        loop {
            if let Some(at) = self.unread.find(text) {
                self.unread.drain(..at + text.len());
                return;
            }
            let left = PATIENCE.saturating_sub(start.elapsed());
            let Ok(bytes) = self.screen.recv_timeout(left) else { panic!("`{text}` is not in: {}", self.unread) };
            self.unread.push_str(&String::from_utf8_lossy(&bytes).replace('\r', ""));
        }
    }

    /// Waits for a question, then types a line.
    #[track_caller]
    pub fn answers(&mut self, question: &str, line: &str) {
        self.sees(question);
        (&*self.keyboard).write_all(format!("{line}\n").as_bytes()).expect("typed");
    }

    /// Waits until the program has ended, with that status, and gives what was shown last.
    #[track_caller]
    pub fn ends(mut self, status: i32) -> String {
        let ended = self.child.wait().expect("it has ended");
        let rest: Vec<u8> = self.screen.iter().flatten().collect();
        let shown = self.unread + &String::from_utf8_lossy(&rest);
        assert_eq!(ended.code(), Some(status), "{shown}");
        shown
    }
}
