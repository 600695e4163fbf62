//! What long work says about itself while it runs, to whoever wants to show it.

/// Is told what is being done.
pub trait Progress: Sync {
    /// Work goes on to this, in words such as `checking the cards of year 7`.
    fn step(&self, what: &str);

    /// Somebody else speaks to the person now, such as a program that asks for a passphrase: nothing may be
    /// shown until the next step.
    fn rest(&self);
}

/// Shows nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Quiet;

impl Progress for Quiet {
    fn step(&self, _: &str) {}

    fn rest(&self) {}
}
