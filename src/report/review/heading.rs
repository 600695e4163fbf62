//! What stands above a review.

/// Of what the review is, and whose work it shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heading {
    /// Of what, such as `what flood-plains adds to main`.
    pub what: String,
    /// Who made it, and when; sentences that stand below.
    pub about: Vec<String>,
    /// A name for the page of a browser, such as the branch.
    pub name: String,
}

impl Heading {
    /// A heading without more to say.
    pub fn of(what: impl Into<String>) -> Self {
        let what = what.into();
        Self { name: what.clone(), what, about: Vec::new() }
    }
}
