//! How most commands can show what they found.

use clap::ValueEnum;

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    Text,
    /// For programs, by a schema of its own under schema/.
    Json,
}
