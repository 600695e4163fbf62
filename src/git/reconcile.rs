//! Putting branches together in memory: which of them bring something, group by group over their
//! history, until one tree is left; nothing is written but objects that nobody sees yet.

mod astray;
mod files;
mod history;
mod labels;
mod memory;
mod others;
mod step;
mod touched;
mod write;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use git2::Oid;

pub use self::astray::{Astray, astray_here, follow_links, has_new_ids};
use self::files::{File, Files};
use self::labels::Labeller;
pub use self::memory::Memory;
use self::step::Conflict;
pub use self::step::Merger;
pub use self::touched::{Touched, changed_decks};
pub use self::write::{
    Blocked, Unfinished, blocked, commit_merge, commit_to_branch, fast_forward, start_merge, unfinished,
};
use crate::deck::Value;
use crate::merge::Undecided;
use crate::snapshot::SnapshotError;

/// A branch by the name that people gave, and its commit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tip {
    /// The name.
    pub name: String,
    /// The newest commit.
    pub id: Oid,
}

/// What the branches come to together.
#[derive(Debug)]
pub struct Reconciled {
    /// Where everything goes.
    pub into: Tip,
    /// The branches that bring something, in the order given.
    pub branches: Vec<Tip>,
    /// The merged tree; files in conflict stand in it as in the working folder.
    pub tree: Oid,
    /// Whether the one branch simply goes on from where everything goes.
    pub fast_forward: bool,
    /// What somebody has to decide on cards, with the versions.
    pub undecided: Vec<OpenValue>,
    /// Cards that got a free id: the branch, the id it had, the id it has.
    pub renamed: Vec<(String, String, String)>,
    /// Ids that a branch gave up for another one, with that one.
    pub followed: Vec<(String, String)>,
    /// Files that could not be merged.
    pub conflicts: Vec<OpenFile>,
    stages: Stages,
    /// The files of where everything goes, and those of the merged tree.
    before: Arc<Files>,
    files: Arc<Files>,
}

/// What git's index keeps of files that somebody has to decide, by path: base, ours, theirs.
type Stages = BTreeMap<Vec<u8>, [Option<File>; 3]>;

/// Something undecided on a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenValue {
    /// Which.
    pub which: Undecided,
    /// The versions as they stand on the card.
    pub versions: Vec<Value>,
}

/// A file that could not be merged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenFile {
    /// Its path in the repository.
    pub path: String,
    /// The branch with which it could not be merged.
    pub with: String,
    /// Whether it holds both texts between markers.
    pub marked: bool,
}

impl Reconciled {
    /// Whether nothing is left to decide.
    pub fn is_clean(&self) -> bool {
        self.undecided.is_empty() && self.conflicts.is_empty()
    }
}

/// Why branches cannot be put together.
#[derive(Debug, thiserror::Error)]
pub enum ReconcileError {
    /// They never had a commit in common.
    #[error("`{0}` and `{1}` have no history in common")]
    Unrelated(String, String),
    /// Git says no.
    #[error(transparent)]
    Snapshot(#[from] SnapshotError),
    /// The `git` program says no.
    #[error(transparent)]
    Git(#[from] super::GitError),
}

/// Merges `branches` into `into`, in memory. `None` when none of them brings anything.
///
/// The order of the branches makes no difference to the tree.
///
/// # Errors
///
/// When the repository cannot be read, or a branch has no history in common with the others.
pub fn reconcile(merger: &Merger<'_>, into: &Tip, branches: &[Tip]) -> Result<Option<Reconciled>, ReconcileError> {
    let repository = merger.repository;
    let branches = history::independent(repository, into.id, branches)?;
    if branches.is_empty() {
        return Ok(None);
    }
    let mut tips = vec![into.clone()];
    tips.extend(branches.iter().cloned());
    let labeller = Labeller::new(merger, &tips);
    let mut result = Running::new(merger.tree(into.id)?);
    let mut rest: Vec<usize> = (1..tips.len()).collect();
    let mut fast_forward = false;
    while !rest.is_empty() {
        let done: Vec<Oid> = result.done.iter().map(|at| tips[*at].id).collect();
        let group = history::next_group(repository, &done, &rest, &tips)?;
        if group.bases.is_empty() {
            let other = group.members.first().map_or("", |at| tips[*at].name.as_str());
            if repository.is_shallow() {
                return Err(SnapshotError::Cut(format!("where `{}` and `{other}` parted", into.name)).into());
            }
            return Err(ReconcileError::Unrelated(into.name.clone(), other.to_owned()));
        }
        fast_forward = branches.len() == 1 && group.bases == [into.id];
        result.add(merger, &labeller, &group, &tips)?;
        rest.retain(|at| !group.members.contains(at));
    }
    let files = merger.files(Some(result.tree))?;
    let undecided = open_values(merger, &files, &tips)?;
    let mut stages: Stages = result.conflicts.iter().map(|(path, conflict)| (path.clone(), conflict.stages)).collect();
    for path in undecided.iter().map(|open| merger.path_of(&open.which.deck)).collect::<BTreeSet<_>>() {
        stages.insert(path.clone(), stages_of(merger, &path, &files, &tips)?);
    }
    let open = |(path, conflict): (&Vec<u8>, &Conflict)| OpenFile {
        path: files::shown(path),
        with: tips.get(conflict.side).map(|tip| tip.name.clone()).unwrap_or_default(),
        marked: conflict.marked,
    };
    Ok(Some(Reconciled {
        into: into.clone(),
        branches,
        tree: result.tree,
        fast_forward,
        undecided,
        renamed: result.renamed,
        followed: result.followed,
        conflicts: result.conflicts.iter().map(open).collect(),
        stages,
        before: merger.files(Some(merger.tree(into.id)?))?,
        files,
    }))
}

/// What is merged so far.
struct Running {
    tree: Oid,
    done: Vec<usize>,
    renamed: Vec<(String, String, String)>,
    followed: Vec<(String, String)>,
    conflicts: BTreeMap<Vec<u8>, Conflict>,
}

impl Running {
    /// Nothing but where everything goes.
    fn new(tree: Oid) -> Self {
        Self { tree, done: vec![0], renamed: Vec::new(), followed: Vec::new(), conflicts: BTreeMap::new() }
    }

    fn add(
        &mut self,
        merger: &Merger<'_>,
        labeller: &Labeller<'_, '_>,
        group: &history::Group,
        tips: &[Tip],
    ) -> Result<(), ReconcileError> {
        let base = merger.base(&group.bases, 8)?;
        let mut members: Vec<Vec<usize>> = vec![self.done.clone()];
        members.extend(group.members.iter().map(|at| vec![*at]));
        let mut trees = vec![self.tree];
        for at in &group.members {
            trees.push(merger.tree(tips[*at].id)?);
        }
        let name =
            |members: &Vec<usize>| members.iter().map(|at| tips[*at].name.as_str()).collect::<Vec<_>>().join(", ");
        let names: Vec<String> = members.iter().map(name).collect();
        let step = merger.merge(base, &trees, &names, &|at| labeller.label(&members[at.side], at))?;
        self.tree = step.tree;
        self.renamed.extend(step.renamed.into_iter().map(|new| (names[new.side].clone(), new.from, new.to)));
        self.followed.extend(step.followed);
        for (path, mut conflict) in step.conflicts {
            conflict.side = members.get(conflict.side).and_then(|members| members.first()).copied().unwrap_or_default();
            self.conflicts.entry(path).or_insert(conflict);
        }
        self.done.extend(&group.members);
        Ok(())
    }
}

/// What is undecided in the result and was not so on any of the branches.
fn open_values(merger: &Merger<'_>, files: &Files, tips: &[Tip]) -> Result<Vec<OpenValue>, SnapshotError> {
    let mut known: BTreeSet<(String, String, Value)> = BTreeSet::new();
    let mut names: BTreeSet<String> = BTreeSet::new();
    for tip in tips {
        let of_tip = merger.files(Some(merger.tree(tip.id)?))?;
        let differing = merger.differing(&of_tip, files);
        for name in &differing {
            let open = open_in(merger, &of_tip, name)?;
            known.extend(open.into_iter().map(|open| (open.which.card, open.which.field, Value::List(open.versions))));
        }
        names.extend(differing);
    }
    merger.read_ahead(names.iter().filter_map(|name| files.get(&merger.path_of(name)).copied()))?;
    let mut all = Vec::new();
    for name in &names {
        let open = open_in(merger, files, name)?;
        all.extend(open.into_iter().filter(|open| {
            let which = (open.which.card.clone(), open.which.field.clone(), Value::List(open.versions.clone()));
            !known.contains(&which)
        }));
    }
    Ok(all)
}

fn open_in(merger: &Merger<'_>, files: &Files, deck: &str) -> Result<Vec<OpenValue>, SnapshotError> {
    let Some(file) = files.get(&merger.path_of(deck)) else { return Ok(Vec::new()) };
    let Some(parts) = merger.outline(*file)? else { return Ok(Vec::new()) };
    let own = std::iter::once(("", parts.fields.iter().find(|field| field.name == "undecided")));
    let cards = parts.cards.iter().map(|card| (card.id.as_str(), card.field("undecided")));
    let mut all = Vec::new();
    for (card, field) in own.chain(cards) {
        let entries = field.and_then(|field| field.value.as_map()).into_iter().flatten();
        all.extend(entries.map(|(field, versions)| OpenValue {
            which: Undecided { deck: deck.to_owned(), card: card.to_owned(), field: field.clone() },
            versions: versions.as_list().unwrap_or_default().to_vec(),
        }));
    }
    Ok(all)
}

/// What git's index keeps of a deck with something undecided: the common base, ours, the first that differs.
fn stages_of(
    merger: &Merger<'_>,
    path: &[u8],
    files: &Files,
    tips: &[Tip],
) -> Result<[Option<File>; 3], SnapshotError> {
    let at = |commit: Oid| -> Result<Option<File>, SnapshotError> {
        Ok(merger.files(Some(merger.tree(commit)?))?.get(path).copied())
    };
    let ours = at(tips[0].id)?;
    let mut theirs = None;
    for tip in &tips[1..] {
        theirs = theirs.or(at(tip.id)?.filter(|file| Some(*file) != ours));
    }
    let all: Vec<Oid> = tips.iter().map(|tip| tip.id).collect();
    let base = merger.repository.merge_base_octopus(&all).ok().map(at).transpose()?.flatten();
    // A deck under a name that no side has alone is theirs as it came out.
    let theirs = theirs.or(files.get(path).copied());
    Ok([base, ours, theirs])
}
