//! Merging decks: laws over random decks, a comparison with `git merge-file`, and named cases.

mod called;
mod compare;
mod department;
mod departments;
mod histories;
mod laws;
mod model;
mod oracle;
