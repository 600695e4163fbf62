//! Steps on the way to a new state. Whatever changes a file, git's index or a reference takes one
//! first, so that tests can let each in turn fail, or end the program there.
//!
//! Only builds with debug assertions know plans; in a released program a step is nothing.

use std::io;

/// What happens at the planned step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It fails, as on a full disk.
    Fails,
    /// The program is gone at once; nothing is cleaned up.
    Ends,
}

/// The exit status of a program that ended at a step.
pub const ENDED: i32 = 86;

/// The variable of the environment in which the command line of a debug build is told a plan:
/// `fails:3`, `ends:3`, or `count` to be told on stderr how many steps there were.
pub const FAULT: &str = "DECKLE_FAULT";

/// Takes the next step of this process.
///
/// # Errors
///
/// Only when it was planned so.
pub fn step() -> io::Result<()> {
    #[cfg(debug_assertions)]
    planned::take()?;
    Ok(())
}

#[cfg(debug_assertions)]
pub use planned::{plan, taken};

#[cfg(debug_assertions)]
mod planned {
    use std::io;
    use std::sync::OnceLock;
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::{ENDED, Fault};

    static TAKEN: AtomicUsize = AtomicUsize::new(0);
    static PLAN: OnceLock<(usize, Fault)> = OnceLock::new();

    /// Plans a fault at step number `at`, from 1. The first plan of a process counts.
    pub fn plan(at: usize, fault: Fault) {
        _ = PLAN.set((at, fault));
    }

    /// How many steps the process has taken.
    pub fn taken() -> usize {
        TAKEN.load(Ordering::SeqCst)
    }

    pub(super) fn take() -> io::Result<()> {
        let now = TAKEN.fetch_add(1, Ordering::SeqCst) + 1;
        match PLAN.get() {
            Some((at, Fault::Fails)) if *at == now => {
                Err(io::Error::new(io::ErrorKind::StorageFull, "no room is left (planned by a test)"))
            }
            Some((at, Fault::Ends)) if *at == now => std::process::exit(ENDED),
            _ => Ok(()),
        }
    }
}
