//! Files that are not merged card by card: one side after another, as git merges them.

use std::collections::BTreeMap;

use git2::{MergeFileInput, MergeFileOptions, MergeOptions, Oid};

use super::files::{File, Files, content, tree_of};
use super::step::{Conflict, Merger};
use crate::deck::settings;
use crate::merge::merge_settings;
use crate::snapshot::SnapshotError;

impl Merger<'_> {
    /// Merges files one side after another as git merges them.
    pub(super) fn fold(
        &self,
        base: &Files,
        sides: &[Files],
        names: &[String],
        conflicts: &mut BTreeMap<Vec<u8>, Conflict>,
    ) -> Result<Files, SnapshotError> {
        let mut done = sides[0].clone();
        let mut done_name = names[0].clone();
        for (number, side) in sides.iter().enumerate().skip(1) {
            if side == base || *side == done {
                continue;
            }
            if done == *base {
                done.clone_from(side);
            } else {
                let pair = Pair { number, names: [&done_name, &names[number]] };
                done = self.two(base, &done, side, &pair, conflicts)?;
            }
            done_name = format!("{done_name}, {}", names[number]);
        }
        Ok(done)
    }

    fn two(
        &self,
        base: &Files,
        ours: &Files,
        theirs: &Files,
        pair: &Pair<'_>,
        conflicts: &mut BTreeMap<Vec<u8>, Conflict>,
    ) -> Result<Files, SnapshotError> {
        let what = || SnapshotError::git("files to merge");
        let [base_tree, our_tree, their_tree] = [base, ours, theirs].map(|files| tree_of(self.repository, files));
        let find = |tree: Oid| self.repository.find_tree(tree).map_err(what());
        let (base_tree, our_tree, their_tree) = (find(base_tree?)?, find(our_tree?)?, find(their_tree?)?);
        let mut options = MergeOptions::new();
        options.find_renames(true);
        let index = self.repository.merge_trees(&base_tree, &our_tree, &their_tree, Some(&options)).map_err(what())?;
        let mut result = Files::new();
        for entry in index.iter().filter(|entry| entry.flags >> 12 & 3 == 0) {
            result.insert(entry.path, File { mode: entry.mode, id: entry.id });
        }
        for conflict in index.conflicts().map_err(what())? {
            let conflict = conflict.map_err(what())?;
            let versions = [conflict.ancestor, conflict.our, conflict.their]
                .map(|entry| entry.map(|entry| (entry.path, File { mode: entry.mode, id: entry.id })));
            self.decide(versions, pair, &mut result, conflicts)?;
        }
        Ok(result)
    }

    /// What stands in the working folder for a file that both changed, and whether it is in conflict.
    fn decide(
        &self,
        versions: [Option<(Vec<u8>, File)>; 3],
        pair: &Pair<'_>,
        result: &mut Files,
        conflicts: &mut BTreeMap<Vec<u8>, Conflict>,
    ) -> Result<(), SnapshotError> {
        let path = versions[1].iter().chain(&versions[2]).chain(&versions[0]).map(|(path, _)| path.clone()).next();
        let Some(path) = path else { return Ok(()) };
        let same_place = versions.iter().flatten().all(|(other, _)| *other == path);
        let stages = versions.each_ref().map(|version| version.as_ref().map(|(_, file)| *file));
        if let ([base, Some(ours), Some(theirs)], true) = (stages, same_place)
            && let Some(text) = self.texts(&path, base, ours, theirs, pair)?
        {
            let id = self.repository.blob(&text.bytes).map_err(SnapshotError::git("a merged file"))?;
            result.insert(path.clone(), File { mode: ours.mode, id });
            if !text.clean {
                conflicts.entry(path).or_insert(Conflict { stages, side: pair.number, marked: true });
            }
            return Ok(());
        }
        // Nothing to put between markers: what is there stays, ours first.
        for (stage, version) in versions.iter().enumerate().rev() {
            let Some((path, file)) = version else { continue };
            if stage > 0 {
                result.insert(path.clone(), *file);
            }
            let conflict =
                conflicts.entry(path.clone()).or_insert(Conflict { side: pair.number, ..Conflict::default() });
            conflict.stages[stage] = conflict.stages[stage].or(Some(*file));
        }
        Ok(())
    }

    /// Two texts with their base: by key for the settings, else with markers; `None` for what is no text.
    fn texts(
        &self,
        path: &[u8],
        base: Option<File>,
        ours: File,
        theirs: File,
        pair: &Pair<'_>,
    ) -> Result<Option<Text>, SnapshotError> {
        if !ours.is_ordinary() || !theirs.is_ordinary() || base.is_some_and(|base| !base.is_ordinary()) {
            return Ok(None);
        }
        let base = base.map(|base| content(self.repository, base)).transpose()?.unwrap_or_default();
        let (ours, theirs) = (content(self.repository, ours)?, content(self.repository, theirs)?);
        if [&base, &ours, &theirs].iter().any(|bytes| bytes.contains(&0)) {
            return Ok(None);
        }
        if path == format!("{}{}", self.prefix, settings::PATH).as_bytes()
            && let (Ok(base), Ok(ours), Ok(theirs)) =
                (std::str::from_utf8(&base), std::str::from_utf8(&ours), std::str::from_utf8(&theirs))
            && let Some(text) = merge_settings(base, &[ours, theirs])
        {
            return Ok(Some(Text { bytes: text.into_bytes(), clean: true }));
        }
        let what = || SnapshotError::git("a file to merge");
        let input = |bytes| {
            let mut input = MergeFileInput::new();
            input.content(bytes);
            input
        };
        let (base, ours, theirs) = (input(&base), input(&ours), input(&theirs));
        let mut options = MergeFileOptions::new();
        options.our_label(pair.names[0].as_str()).their_label(pair.names[1].as_str());
        let merged = git2::merge_file(&base, &ours, &theirs, Some(&mut options)).map_err(what())?;
        Ok(Some(Text { bytes: merged.content().to_vec(), clean: merged.is_automergeable() }))
    }
}

/// The two sides of a merge of files.
struct Pair<'a> {
    number: usize,
    names: [&'a String; 2],
}

/// A merged text.
struct Text {
    bytes: Vec<u8>,
    clean: bool,
}
