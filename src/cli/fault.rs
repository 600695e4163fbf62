//! Faults that tests plan for a build with debug assertions; see `src/snapshot/step.rs`.

use super::output;
use crate::snapshot::step::{self, FAULT, Fault};

/// Plans what the environment says.
pub fn plan() {
    let Some(text) = planned() else { return };
    let (fault, at) = match text.split_once(':') {
        Some(("fails", at)) => (Fault::Fails, at),
        Some(("ends", at)) => (Fault::Ends, at),
        _ => return,
    };
    if let Ok(at) = at.parse() {
        step::plan(at, fault);
    }
}

/// Says how many steps there were, when asked to.
pub fn count() {
    if planned().as_deref() == Some("count") {
        output::note(&format!("steps: {}", step::taken()));
    }
}

fn planned() -> Option<String> {
    std::env::var(FAULT).ok()
}
