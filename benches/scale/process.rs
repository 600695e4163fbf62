//! Running a program and taking its time and its memory.

use std::io;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// What one run took.
#[derive(Clone, Copy, Debug)]
pub struct Taken {
    /// From start to end.
    pub time: Duration,
    /// The most memory it held, in bytes; nothing where the system does not say.
    pub peak: u64,
}

/// A command that is run again and again.
#[derive(Clone, Debug)]
pub struct Job {
    program: String,
    arguments: Vec<String>,
    folder: String,
    threads: usize,
    watched: bool,
}

impl Job {
    /// The program with these arguments, in a folder, on two threads.
    pub fn new(program: &Path, arguments: &[&str], folder: &Path) -> Self {
        Self {
            program: program.display().to_string(),
            arguments: arguments.iter().map(|argument| (*argument).to_owned()).collect(),
            folder: folder.display().to_string(),
            threads: 2,
            watched: false,
        }
    }

    /// The same on another number of threads.
    pub fn threads(&self, threads: usize) -> Self {
        Self { threads, ..self.clone() }
    }

    /// The same with its memory watched, which costs it a little time.
    pub fn watched(&self) -> Self {
        Self { watched: true, ..self.clone() }
    }

    /// Runs it once; its output is thrown away.
    pub fn run(&self) -> io::Result<Taken> {
        let start = Instant::now();
        let mut child = self.start()?;
        let peak = if self.watched { peak(&mut child)? } else { 0 };
        let status = child.wait()?;
        let time = start.elapsed();
        if status.code().is_none_or(|code| code > 1) {
            return Err(io::Error::other(format!("{} {:?} ended with {status}", self.program, self.arguments)));
        }
        Ok(Taken { time, peak })
    }

    fn start(&self) -> io::Result<Child> {
        Command::new(&self.program)
            .args(&self.arguments)
            .current_dir(&self.folder)
            .env("RAYON_NUM_THREADS", self.threads.to_string())
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
    }
}

/// The most memory that the child ever held, looked up until it has ended.
fn peak(child: &mut Child) -> io::Result<u64> {
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    while child.try_wait()?.is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kilobytes = line.and_then(|line| line.trim().trim_end_matches(" kB").trim().parse::<u64>().ok());
        peak = peak.max(kilobytes.unwrap_or(0) * 1024);
        std::thread::sleep(Duration::from_millis(1));
    }
    Ok(peak)
}

/// Both jobs in turn, so many times, `before` called before each of them; the median time of each.
pub fn both(
    one: &Job,
    other: &Job,
    runs: usize,
    before: &dyn Fn() -> io::Result<()>,
) -> io::Result<(Duration, Duration)> {
    let (mut ones, mut others) = (Vec::new(), Vec::new());
    for _ in 0..runs.max(1) {
        before()?;
        ones.push(one.run()?.time);
        before()?;
        others.push(other.run()?.time);
    }
    Ok((median(ones), median(others)))
}

/// The middle one.
pub fn median<T: Ord + Copy>(mut values: Vec<T>) -> T {
    values.sort_unstable();
    values[values.len() / 2]
}
