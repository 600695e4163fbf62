//! Integration tests: one binary, a module a subject.

mod docs;
mod house;
mod merging;
