//! The checks: a registry of rules, one file a rule, and the runner.
//!
//! Rules look at a department and say what they found; they read and write nothing.

mod agree;
mod cited;
mod compare;
mod context;
mod limit;
mod listed;
mod near;
mod part;
pub mod partial;
mod picture;
mod policy;
mod refers;
mod registry;
pub mod repair;
mod repeats;
mod rule;
mod rules;
mod run;
mod similar;
mod sourced;
mod teaching;
mod whole;

pub(crate) use cited::section_of;
pub use compare::{brought_in, cleared};
pub use context::{CardView, Context, DeckView};
pub use part::Part;
pub use registry::{all, find};
pub use rule::{Rule, Scope};
pub use run::{Report, Summary, check};
pub(crate) use sourced::{source_in, states};
pub use whole::needs_whole;
