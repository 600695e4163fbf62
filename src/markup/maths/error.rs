//! Why a formula cannot be shown.

use std::ops::Range;

/// What is not among the maths that cards can show, for the teacher who wrote it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}: {help}")]
pub struct MathsError {
    /// The bytes of the formula that it is about.
    pub span: Range<usize>,
    /// What is wrong, without a full stop.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

impl MathsError {
    pub(super) fn new(span: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { span, message: message.into(), help: help.into() }
    }
}
