//! Whose a value is.

/// Whose a value is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Label {
    /// `ours`, `theirs`, or a branch.
    pub side: String,
    /// Who wrote it.
    pub by: Option<String>,
    /// When, as a date.
    pub when: Option<String>,
}

/// Tells whose the value of a field is, from the number of the side, the card's id (empty for the
/// deck's own fields) and the field's name.
pub type Labels<'a> = dyn Fn(usize, &str, &str) -> Label + 'a;
