//! Putting edits together so that nothing anybody wrote is lost: first the algebra, then what is
//! built from it.

pub mod algebra;
