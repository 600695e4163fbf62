//! Typesetting alone, which the making of packs is held against.

use super::options::Options;
use super::typeset::{self, TypesetError};
use super::world::PrintWorld;
use super::{MAIN, data, parts};
use crate::deck::Department;
use crate::pack::model::Pack;

/// The documents that [`cards`](super::cards) makes of a pack, ready for the typesetter.
pub struct Bare(Vec<PrintWorld>);

impl Bare {
    /// Those of a pack.
    pub fn new(pack: &Pack, department: &Department, options: Options) -> Self {
        let cards: Vec<_> = pack.cards.iter().collect();
        let jobs = parts(pack, department, options, &cards);
        Self(
            jobs.map(|(job, _)| {
                let (document, pictures) = data::document(&job);
                PrintWorld::new(MAIN, serde_json::to_vec(&document).unwrap_or_default(), pictures)
            })
            .collect(),
        )
    }

    /// Lays them out and exports them; how many bytes there are.
    ///
    /// # Errors
    ///
    /// When the typesetter refuses them.
    pub fn typeset(&self) -> Result<usize, TypesetError> {
        self.0.iter().try_fold(0, |bytes, world| {
            let exported = typeset::with_room(|| typeset::export(&typeset::lay_out(world)?, "bare"));
            comemo::evict(0);
            Ok(bytes + exported?.len())
        })
    }
}

impl std::fmt::Debug for Bare {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Bare").field("documents", &self.0.len()).finish()
    }
}
